package safefile

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"
)

// ErrNothing is wrapped by the error of Undo and Redo where there are not so
// many steps.
var ErrNothing = errors.New("there is nothing left")

// Step is what one undo takes back.
type Step struct {
	Did  string    // the call that did it, as it was typed
	When time.Time // when its last file was written
	// Files are those that it wrote, as the user names them.
	Files []string
}

// Moved is a file that an undo or a redo writes, before and after; nil where
// there is no file.
type Moved struct {
	Path          string
	Before, After []byte
}

// Steps returns what can be taken back and what can be brought again, the next
// one first in both.
func (j *Journal) Steps() (back, again []Step, err error) {
	h, err := j.history()
	if err != nil {
		return nil, nil, err
	}
	for _, r := range slices.Backward(h.steps[:h.done]) {
		back = append(back, j.step(r))
	}
	for _, r := range h.steps[h.done:] {
		again = append(again, j.step(r))
	}
	return back, again, nil
}

// step is a step of the journal as others see it.
func (j *Journal) step(r *record) Step {
	out := Step{Did: r.Did, When: r.When}
	for _, d := range r.Files {
		if path := j.show(d.Path); !slices.Contains(out.Files, path) {
			out.Files = append(out.Files, path)
		}
	}
	return out
}

// Undo stages what takes the last count steps back, all files together, and
// tells what it is; Commit does it. A file that is not as its step left it was
// edited since: the error names all such files, and nothing is staged.
func (c *Change) Undo(count int) ([]Step, []Moved, error) { return c.move(-count) }

// Redo stages what brings count steps again, like Undo.
func (c *Change) Redo(count int) ([]Step, []Moved, error) { return c.move(count) }

// move goes by so many steps, back where by is negative.
func (c *Change) move(by int) (steps []Step, moved []Moved, err error) {
	h, err := c.journal.history()
	if err != nil {
		return nil, nil, err
	}
	to := h.done + by
	if to < 0 || to > len(h.steps) {
		return nil, nil, ErrNothing
	}
	way := h.steps[min(h.done, to):max(h.done, to)]
	if by < 0 {
		slices.Reverse(way)
	}
	for _, r := range way {
		steps = append(steps, c.journal.step(r))
		if err := c.take(r, by < 0); err != nil {
			c.files, c.gone = nil, nil
			return nil, nil, err
		}
	}
	c.to = &to
	for _, s := range c.files {
		if s.is != s.was {
			moved = append(moved, Moved{s.path, s.was.of(s.old), s.is.of(s.new)})
		}
	}
	return steps, moved, nil
}

// of is data where there is a file, which may be empty, else nil.
func (s Stamp) of(data []byte) []byte {
	if s == Absent {
		return nil
	}
	return append([]byte{}, data...)
}

// changes are the changes of the files, or the way back.
func (r *record) changes(back bool) []delta {
	if !back {
		return r.Files
	}
	var out []delta
	for _, d := range slices.Backward(r.Files) {
		out = append(out, d.reversed())
	}
	return out
}

// take applies a step to the files, or its way back. All must be as the step found
// them, or left them. Its folders are made again, or go.
func (c *Change) take(r *record, back bool) error {
	for _, path := range r.Made {
		folder := c.journal.real(path)
		if back {
			c.gone = slices.Insert(c.gone, 0, folder)
		} else if err := c.MakeFolder(folder); err != nil {
			return err
		}
	}
	files, edited := map[string]*staged{}, map[string]bool{}
	for _, d := range r.Files {
		s, err := c.file(r, d.Path)
		if err != nil {
			return err
		}
		files[d.Path] = s
	}
	for _, d := range r.changes(back) {
		s := files[d.Path]
		if s.is != d.Was {
			edited[s.path] = true
		} else if err := s.apply(d); err != nil {
			return err
		}
	}
	if len(edited) == 0 {
		return nil
	}
	var names []string
	for _, path := range c.journal.step(r).Files {
		if edited[path] {
			names = append(names, fmt.Sprintf("%q", path))
		}
	}
	return fmt.Errorf("%s changed since, by hand or by a call with a drawer of another folder; nothing was done", strings.Join(names, " and "))
}

// file is a file of a step.
func (c *Change) file(r *record, path string) (*staged, error) {
	j := c.journal
	if err := j.own(r, path); err != nil {
		return nil, err
	}
	real := j.real(path)
	if to, err := follow(real); err == nil {
		real = to
	}
	s, err := c.open(j.show(path), real)
	if err != nil {
		return nil, fmt.Errorf("read %q: %w", j.show(path), cause(err))
	}
	return s, nil
}

// own refuses a file that lies outside of a folder which is a copy: it belongs
// to the original. A folder that was moved has none.
func (j *Journal) own(r *record, path string) error {
	if !outside(path) || r.Home == j.folder {
		return nil
	}
	if _, err := os.Stat(filepath.Join(r.Home, journalName)); err != nil {
		return nil
	}
	return fmt.Errorf("this folder is a copy of %q, and the change (%s) wrote %q too, which lies outside of it and belongs to the original; nothing was done", r.Home, r.Did, j.show(path))
}

// Earlier is what a file held before a step changed it; nil where there was none.
type Earlier struct {
	Step
	Held []byte
}

// Since is how the file at path, which holds data, was changed after a time, as
// the journal has it, the latest change first; what was taken back is none. An
// error where it was edited by hand in between, or the journal does not fit it.
func (j *Journal) Since(path string, data []byte, at time.Time) ([]Earlier, error) {
	h, err := j.history()
	if err != nil {
		return nil, err
	}
	real, err := follow(path)
	if err != nil {
		return nil, err
	}
	var out []Earlier
	for _, r := range slices.Backward(h.steps[:h.done]) {
		if !r.When.After(at) {
			break
		}
		touched := false
		for _, d := range r.changes(true) {
			if d.Path != j.within(real) {
				continue
			}
			touched = true
			if data, err = d.applied(data); err != nil {
				return nil, err
			}
		}
		if touched {
			out = append(out, Earlier{j.step(r), data})
		}
	}
	return out, nil
}

// Held is what the last step left in the file at path, which may be gone since; nil
// where it left none, or the journal does not reach back to where the file was made
// or does not fit it.
func (j *Journal) Held(path string) []byte {
	h, err := j.history()
	if err != nil {
		return nil
	}
	return h.held(j, path)
}

func (h history) held(j *Journal, path string) (data []byte) {
	real, err := follow(path)
	if err != nil {
		return nil
	}
	for _, r := range h.steps[:h.done] {
		for _, d := range r.Files {
			switch {
			case d.Path != j.within(real):
			case d.Is == Absent || d.Was != Absent && data == nil:
				data = nil
			default:
				if data, err = d.applied(data); err != nil {
					data = nil
				}
			}
		}
	}
	return data
}

// Restore stages a file that is gone as the last step left it, and returns that: no
// step of its own. Nil where the journal does not have it.
func (c *Change) Restore(path string) (held []byte, err error) {
	h, err := c.journal.history()
	if err != nil {
		return nil, err
	}
	if held = h.held(c.journal, path); held == nil {
		return nil, nil
	}
	c.to = &h.done
	return held, c.Write(path, held, Absent)
}
