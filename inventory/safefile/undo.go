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
	h, err := readHistory(j.folder)
	if err != nil {
		return nil, nil, fmt.Errorf("read the journal in %q: %w", j.folder, cause(err))
	}
	for i := h.done - 1; i >= 0; i-- {
		back = append(back, j.step(h.steps[i]))
	}
	for _, s := range h.steps[h.done:] {
		again = append(again, j.step(s))
	}
	return back, again, nil
}

// step is a step of the journal as others see it.
func (j *Journal) step(s *step) Step {
	out := Step{Did: s.Did, When: s.When}
	for _, path := range s.paths() {
		out.Files = append(out.Files, j.show(path))
	}
	return out
}

// paths are the files of a step in the order in which they were first written.
func (s *step) paths() []string {
	var out []string
	for _, part := range s.parts {
		for _, d := range part {
			if !slices.Contains(out, d.Path) {
				out = append(out, d.Path)
			}
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
func (c *Change) move(by int) ([]Step, []Moved, error) {
	h, err := readHistory(c.journal.folder)
	if err != nil {
		return nil, nil, fmt.Errorf("read the journal in %q: %w", c.journal.folder, cause(err))
	}
	to := h.done + by
	if to < 0 || to > len(h.steps) {
		return nil, nil, ErrNothing
	}
	var steps []Step
	w := walk{change: c, files: map[string]*walked{}}
	for at := h.done; at != to; {
		forward := by > 0
		if !forward {
			at--
		}
		s := h.steps[at]
		if err := w.take(s, forward); err != nil {
			return nil, nil, err
		}
		steps = append(steps, c.journal.step(s))
		if forward {
			at++
		}
	}
	moved, err := w.stage()
	if err != nil {
		return nil, nil, err
	}
	c.to = &to
	return steps, moved, nil
}

// walk goes through steps of the journal and holds what the files will be.
type walk struct {
	change *Change
	files  map[string]*walked
	order  []string
	gone   []string
}

// walked is a file on the way.
type walked struct {
	real   string
	before []byte
	was    Stamp
	now    []byte
	is     string
}

// take applies a step to the files, or its way back. All files must be as the
// step left them, or found them.
func (w *walk) take(s *step, forward bool) error {
	j, want := w.change.journal, s.is
	if forward {
		want = s.was
	}
	var edited []string
	for _, path := range s.paths() {
		if err := j.own(s, path); err != nil {
			return err
		}
		f, err := w.file(path)
		if err != nil {
			return err
		}
		if f.is != want[path] {
			edited = append(edited, fmt.Sprintf("%q", j.show(path)))
		}
	}
	if len(edited) > 0 {
		return fmt.Errorf("%s changed since, by hand or by a call with a drawer of another folder; nothing was done", strings.Join(edited, " and "))
	}
	if err := w.folders(s, forward); err != nil {
		return err
	}
	parts := s.parts
	if !forward {
		parts = slices.Clone(parts)
		slices.Reverse(parts)
	}
	for _, part := range parts {
		for _, d := range part {
			if !forward {
				d = d.reversed()
			}
			f := w.files[d.Path]
			now, err := d.applied(f.now)
			if err != nil {
				return err
			}
			f.now, f.is = now, d.Is
		}
	}
	return nil
}

// own refuses a file that lies outside of a folder which is a copy: it belongs
// to the original. A folder that was moved has none.
func (j *Journal) own(s *step, path string) error {
	if !outside(path) || s.Home == j.folder {
		return nil
	}
	if _, err := os.Stat(filepath.Join(s.Home, journalName)); err != nil {
		return nil
	}
	return fmt.Errorf("this folder is a copy of %q, and the change (%s) wrote %q too, which lies outside of it and belongs to the original; nothing was done", s.Home, s.Did, j.show(path))
}

// folders makes the folders of a step again, or has them removed.
func (w *walk) folders(s *step, forward bool) error {
	for _, path := range s.Made {
		folder := w.change.journal.real(path)
		if !forward {
			w.gone = append([]string{folder}, w.gone...)
			continue
		}
		if err := w.change.MakeFolder(folder); err != nil {
			return err
		}
	}
	return nil
}

// file reads a file the first time that it is met.
func (w *walk) file(path string) (*walked, error) {
	if f, met := w.files[path]; met {
		return f, nil
	}
	f := &walked{real: w.change.journal.real(path)}
	var err error
	if f.before, f.was, err = current(f.real); err != nil {
		return nil, fmt.Errorf("read %q: %w", w.change.journal.show(path), cause(err))
	}
	f.now, f.is = f.before, f.was.text()
	w.files[path] = f
	w.order = append(w.order, path)
	return f, nil
}

// stage has all files written that are not as before.
func (w *walk) stage() ([]Moved, error) {
	var out []Moved
	w.change.gone = w.gone
	for _, path := range w.order {
		f := w.files[path]
		is := Stamp{}
		if f.is != "" {
			is = StampOf(f.now)
		}
		if is == f.was {
			continue
		}
		shown := w.change.journal.show(path)
		if err := w.change.stage(f.real, f.now, is, f.was); err != nil {
			return nil, fmt.Errorf("write %q: %w", shown, cause(err))
		}
		out = append(out, moved(shown, f, is))
	}
	return out, nil
}

func moved(shown string, f *walked, is Stamp) Moved {
	m := Moved{Path: shown}
	if f.was.there {
		m.Before = append([]byte{}, f.before...)
	}
	if is.there {
		m.After = append([]byte{}, f.now...)
	}
	return m
}
