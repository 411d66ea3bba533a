package safefile

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
)

// Settle completes or drops a change that was interrupted, where there is one:
// whoever only reads should see all old or all new files too. Where nothing can
// be written it tells so and leaves everything.
func (j *Journal) Settle(ctx context.Context) {
	if end, err := readEnd(j.folder); end.settled() || err != nil {
		return
	}
	c, err := j.Begin(ctx)
	if err != nil {
		j.tell(err.Error())
		return
	}
	c.End()
}

// settle completes the last change where it has reached a file, and drops it
// where it has not. Files that are neither as before nor as after it were edited
// since and stay.
func (j *Journal) settle() error {
	end, err := readEnd(j.folder)
	if err != nil || end.settled() {
		return err
	}
	journal, err := openLog(j.folder, 0o777)
	if err != nil {
		return fmt.Errorf("write the journal in %q: %w", j.folder, cause(err))
	}
	defer journal.file.Close()
	journal.cut(end.whole)
	r := end.last
	if r == nil {
		return nil
	}
	left, reached, strange, err := j.look(r)
	if err != nil {
		return j.interrupted(r, err)
	}
	if !reached {
		for _, d := range r.Files {
			discard(j.real(d.Path))
		}
		journal.cut(end.from)
		return nil
	}
	for _, d := range left {
		if err := j.finish(d); err != nil {
			return j.interrupted(r, err)
		}
	}
	for _, d := range strange {
		j.tell(fmt.Sprintf("%s was interrupted, and %q was edited since: it stays as it is", r.Did, j.show(d.Path)))
	}
	return journal.settle()
}

func (j *Journal) interrupted(r *record, err error) error {
	return fmt.Errorf("complete what was interrupted (%s): %w", r.Did, cause(err))
}

// look tells which files of a record are still as before, whether any is as
// after it, and which are neither. Those outside of a folder that was copied
// are not its own.
func (j *Journal) look(r *record) (left []delta, reached bool, strange []delta, err error) {
	for _, d := range r.Files {
		if outside(d.Path) && r.Home != j.folder {
			strange = append(strange, d)
			continue
		}
		_, now, err := current(j.real(d.Path))
		if err != nil {
			return nil, false, nil, err
		}
		switch now.text() {
		case d.Is:
			reached = true
		case d.Was:
			left = append(left, d)
		default:
			strange = append(strange, d)
		}
	}
	return left, reached, strange, nil
}

// finish brings a file that is as before to what it was to be. What was
// prepared for it is used: a disk that is full by now does not stop that.
func (j *Journal) finish(d delta) error {
	real := j.real(d.Path)
	if d.Is == "" {
		if err := os.Remove(real); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return err
		}
		syncFolder(filepath.Dir(real))
		return nil
	}
	if _, is, err := Read(temporaryFor(real)); err != nil || is.text() != d.Is {
		old, _, err := current(real)
		if err != nil {
			return err
		}
		prepared, err := d.applied(old)
		if err != nil {
			return err
		}
		if err := prepare(real, prepared); err != nil {
			return err
		}
	}
	if err := commit(real); err != nil {
		return err
	}
	syncFolder(filepath.Dir(real))
	return nil
}
