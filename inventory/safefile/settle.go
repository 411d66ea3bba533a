package safefile

import (
	"context"
	"fmt"
	"slices"
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
func (c *Change) settle() error {
	j := c.journal
	end, err := readEnd(j.folder)
	if err != nil || end.settled() {
		return err
	}
	journal, err := openLog(j.folder, 0o777)
	if err != nil {
		return fmt.Errorf("write the journal in %q: %w", j.folder, cause(err))
	}
	defer journal.Close()
	journal.cut(end.whole)
	if end.last == nil {
		return nil
	}
	reached, edited, err := c.complete(end.last)
	if err != nil {
		return fmt.Errorf("complete what was interrupted (%s): %w", end.last.Did, cause(err))
	}
	if !reached {
		journal.cut(end.from)
		return nil
	}
	for _, path := range edited {
		j.tell(fmt.Sprintf("%s was interrupted, and %q was edited since: it stays as it is", end.last.Did, path))
	}
	return journal.settle()
}

// complete writes the files of a record that are still as before, where one is as
// after it: else the change has reached none, and what was prepared goes. Those
// outside of a folder that was copied are not its own.
func (c *Change) complete(r *record) (reached bool, edited []string, err error) {
	j := c.journal
	left := map[*staged]delta{}
	for _, d := range r.Files {
		if outside(d.Path) && r.Home != j.folder {
			edited = append(edited, j.show(d.Path))
			continue
		}
		s, err := c.open(j.show(d.Path), j.real(d.Path))
		if err != nil {
			return false, nil, err
		}
		discard(s.real)
		switch s.is {
		case d.Is:
			reached = true
		case d.Was:
			left[s] = d
		default:
			edited = append(edited, j.show(d.Path))
		}
	}
	if !reached {
		c.files = nil
		return false, nil, nil
	}
	c.files = slices.DeleteFunc(c.files, func(s *staged) bool { _, is := left[s]; return !is })
	for s, d := range left {
		if err := s.apply(d); err != nil {
			return true, nil, err
		}
	}
	_, err = c.put()
	return true, edited, err
}
