package safefile

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"time"
)

// Change is several files that change together. From Begin to End no other
// program changes files of their folders.
type Change struct {
	journal  *Journal
	ctx      context.Context
	deadline time.Time
	releases map[string]func() // by folder
	files    []*staged
	made     []string
	gone     []string // folders to remove where they are empty
	to       *int
}

// staged is a file with what it holds and what is to be written to it.
type staged struct {
	path     string // as the user names it
	real     string
	old, new []byte
	was, is  Stamp
}

// Begin waits until no other program is at work in the journal's folder and in
// those of the files that paths name, and completes or drops what was
// interrupted there. End must follow.
func (j *Journal) Begin(ctx context.Context, paths ...string) (*Change, error) {
	c := &Change{journal: j, ctx: ctx, deadline: time.Now().Add(j.Wait), releases: map[string]func(){}}
	folders := []string{j.folder}
	for _, path := range paths {
		if real, err := follow(path); err == nil {
			folders = append(folders, filepath.Dir(real))
		}
	}
	slices.Sort(folders) // all programs in the same order: none waits for one that waits for it
	for _, folder := range folders {
		if err := c.hold(folder); err != nil {
			c.End()
			return nil, err
		}
	}
	if err := c.settle(); err != nil {
		c.End()
		return nil, err
	}
	return c, nil
}

// hold locks a folder, once.
func (c *Change) hold(folder string) error {
	if c.releases[folder] != nil {
		return nil
	}
	release, err := lock(c.ctx, folder, c.journal.By, c.deadline, c.journal.tell)
	if err == nil {
		c.releases[folder] = release
	}
	return err
}

// End lets others go on. What was not committed is forgotten. It may be called
// again.
func (c *Change) End() {
	for _, folder := range slices.Backward(c.made) {
		_ = os.Remove(folder) // where it is empty
	}
	for _, release := range c.releases {
		release()
	}
	c.releases, c.files, c.made = map[string]func(){}, nil, nil
}

// MakeFolder makes a folder with those above it; an undo removes them again
// where they are empty by then.
func (c *Change) MakeFolder(path string) error {
	var missing []string
	for at := filepath.Clean(path); ; at = filepath.Dir(at) {
		if _, err := os.Stat(at); err == nil || filepath.Dir(at) == at {
			break
		}
		missing = append(missing, at)
	}
	for _, folder := range slices.Backward(missing) {
		if err := os.Mkdir(folder, 0o777); err != nil {
			return fmt.Errorf("make folder %q: %w", folder, cause(err))
		}
		real, err := follow(folder)
		if err != nil {
			return err
		}
		c.made = append(c.made, real)
	}
	return nil
}

// Write has a file replaced by data, or made, when Commit is called. was is the
// Stamp of the file as it was read; the error for a file that is otherwise by
// now wraps ErrChanged. A symbolic link stays and the file it leads to is
// replaced, which keeps its permissions.
func (c *Change) Write(path string, data []byte, was Stamp) error {
	if err := c.stage(path, data, StampOf(data), was); err != nil {
		return fmt.Errorf("write %q: %w", path, cause(err))
	}
	return nil
}

// Remove has a file taken away when Commit is called; was is as for Write, and
// so is the error. Undo brings it back.
func (c *Change) Remove(path string, was Stamp) error {
	if err := c.stage(path, nil, Absent, was); err != nil {
		return fmt.Errorf("remove %q: %w", path, cause(err))
	}
	return nil
}

func (c *Change) stage(path string, data []byte, is, was Stamp) error {
	real, err := follow(path)
	if err != nil {
		return err
	}
	s, err := c.open(path, real)
	if err != nil {
		return err
	}
	if s.is != was {
		return ErrChanged
	}
	s.new, s.is = data, is
	return nil
}

// open is the file of the change at a real path, read the first time it is asked for.
func (c *Change) open(path, real string) (*staged, error) {
	for _, s := range c.files {
		if s.real == real {
			return s, nil
		}
	}
	folder := filepath.Dir(real)
	if _, err := os.Stat(folder); err == nil && !slices.Contains(c.made, folder) && !slices.Contains(c.gone, folder) {
		if err := c.hold(folder); err != nil {
			return nil, err
		}
	}
	data, stamp, err := current(real)
	if err != nil {
		return nil, err
	}
	s := &staged{path: path, real: real, old: data, new: data, was: stamp, is: stamp}
	c.files = append(c.files, s)
	return s, nil
}

// apply changes what is to be written.
func (s *staged) apply(d delta) (err error) {
	s.new, err = d.applied(s.new)
	s.is = d.Is
	return err
}

// Commit writes all files and returns when they are on the disk. Where one
// cannot be written, none is. A sudden end leaves either all old or, at the
// next Begin, all new files.
func (c *Change) Commit() error {
	c.files = slices.DeleteFunc(c.files, func(s *staged) bool { return s.is == s.was })
	if len(c.files) == 0 && c.to == nil {
		return nil
	}
	failed := func(err error) error {
		return fmt.Errorf("write the journal in %q: %w", c.journal.folder, cause(err))
	}
	journal, err := openLog(c.journal.folder, c.eyes())
	if err != nil {
		return failed(err)
	}
	defer journal.Close()
	if err := journal.add(c.record()); err != nil {
		return fmt.Errorf("%w; nothing was changed", failed(err))
	}
	if whole, err := c.put(); err != nil {
		if whole {
			journal.cut(journal.size)
		}
		return err
	}
	if err := journal.settle(); err != nil {
		return failed(err)
	}
	for _, folder := range c.gone {
		_ = os.Remove(folder)
	}
	c.made, c.gone, c.to = nil, nil, nil
	_ = c.journal.shorten() // what was to be written is
	return nil
}

// eyes is who may read all files of the change.
func (c *Change) eyes() fs.FileMode {
	eyes := fs.FileMode(0o777)
	for _, s := range c.files {
		if info, err := os.Stat(s.real); err == nil {
			eyes &= info.Mode().Perm()
		}
	}
	return eyes
}

// record is the change as the journal holds it.
func (c *Change) record() record {
	r := record{Call: c.journal.call, Did: c.journal.Did, When: time.Now(), Home: c.journal.folder, To: c.to}
	for _, folder := range c.made {
		r.Made = append(r.Made, c.journal.within(folder))
	}
	for _, s := range c.files {
		d := between(s.old, s.new)
		d.Path, d.Was, d.Is = c.journal.within(s.real), s.was, s.is
		r.Files = append(r.Files, d)
	}
	return r
}

// put writes all files: first beside the old ones, then into their places. Where
// one cannot be, those before get their old content back; whole tells whether
// all files are old or all new.
func (c *Change) put() (whole bool, err error) {
	if err := c.prepareAll(); err != nil {
		return true, err
	}
	for i, s := range c.files {
		if err = s.put(); err == nil {
			continue
		}
		err = fmt.Errorf("write %q: %w", s.path, cause(err))
		for _, s := range c.files[i:] {
			discard(s.real)
		}
		for _, s := range c.files[:i] {
			s.is, s.new = s.was, s.old
			if again := errors.Join(s.prepare(), s.put()); again != nil {
				return false, fmt.Errorf("%w; and %q could not be put back: the next call of the program does it", err, s.path)
			}
		}
		return true, fmt.Errorf("%w; nothing was changed", err)
	}
	for folder := range c.releases {
		syncFolder(folder)
	}
	for _, folder := range c.made {
		syncFolder(folder)
	}
	c.files = nil
	return true, nil
}

// prepareAll puts all new files beside the old ones.
func (c *Change) prepareAll() error {
	for i, s := range c.files {
		if err := s.prepare(); err != nil {
			for _, s := range c.files[:i] {
				discard(s.real)
			}
			return fmt.Errorf("write %q: %w; nothing was changed", s.path, cause(err))
		}
	}
	return nil
}

// prepare puts the new file beside the old one, where it is not to be removed.
func (s *staged) prepare() error {
	if s.is == Absent {
		return nil
	}
	return prepare(s.real, s.new)
}

// put puts the prepared file into its place, or removes what is there.
func (s *staged) put() error {
	if s.is == Absent {
		return os.Remove(s.real)
	}
	return commit(s.real)
}
