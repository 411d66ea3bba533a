package safefile

import (
	"crypto/rand"
	"fmt"
	"path/filepath"
	"strings"
	"time"
)

// Journal is where the changes of one call of the program are written down, in
// the folder of the drawer. It is for one goroutine at a time.
type Journal struct {
	// Did is the call as it was typed, for undo to name it.
	Did string
	// By names the program for others that wait; Wait is how long this one
	// waits for others.
	By   string
	Wait time.Duration
	// Tell is told what somebody has to know who waits, or after something was
	// interrupted. Nil: nobody.
	Tell func(string)

	folder string // absolute, symbolic links followed
	shown  string // the same as the user names it
	call   string
	limit  int64 // bytes
}

// NewJournal is the journal of the folder in which the file at path is, or
// would be; the folder must be there.
func NewJournal(path string) (*Journal, error) {
	real, err := follow(path)
	if err != nil {
		return nil, fmt.Errorf("write %q: %w", path, cause(err))
	}
	j := &Journal{By: "another program", folder: filepath.Dir(real), call: rand.Text()[:12], limit: journalLimit}
	j.shown = j.folder
	if given, err := follow(filepath.Dir(path)); err == nil && given == j.folder {
		j.shown = filepath.Dir(path)
	}
	return j, nil
}

func (j *Journal) tell(text string) {
	if j.Tell != nil {
		j.Tell(text)
	}
}

// within is a path as the journal keeps it: from its folder on, so that a
// folder can be moved and copied; absolute where the file is not in it.
func (j *Journal) within(real string) string {
	path, err := filepath.Rel(j.folder, real)
	if err != nil || path == ".." || strings.HasPrefix(path, ".."+string(filepath.Separator)) {
		path = real
	}
	return filepath.ToSlash(path)
}

// real is where a path of the journal leads.
func (j *Journal) real(path string) string {
	if outside(path) {
		return filepath.FromSlash(path)
	}
	return filepath.Join(j.folder, filepath.FromSlash(path))
}

// show is a path of the journal as the user knows it.
func (j *Journal) show(path string) string {
	if outside(path) {
		return filepath.FromSlash(path)
	}
	return filepath.Join(j.shown, filepath.FromSlash(path))
}

// outside tells whether a path of the journal leads out of its folder.
func outside(path string) bool { return filepath.IsAbs(filepath.FromSlash(path)) }
