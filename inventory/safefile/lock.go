package safefile

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"time"

	"github.com/rogpeppe/go-internal/lockedfile"
)

const (
	lockName = ".shuntwright.lock"
	// patience is how long somebody waits before he is told for whom.
	patience = time.Second
	// leastWait is what a lock that is free may take to get.
	leastWait = 100 * time.Millisecond
)

// lock holds a folder until release is called, or the process ends: the system
// sees to that. Where another has it, tell is told after a second who that is,
// and at the deadline the error says so. A drive that knows no locks is used
// without: what was changed meanwhile is noticed all the same.
func lock(ctx context.Context, folder, by string, deadline time.Time, tell func(string)) (release func(), err error) {
	path := filepath.Join(folder, lockName)
	type outcome struct {
		file *lockedfile.File
		err  error
	}
	got, given := make(chan outcome), make(chan struct{})
	defer close(given)
	go func() {
		f, err := lockedfile.OpenFile(path, os.O_RDWR|os.O_CREATE, sharedIn(folder))
		select {
		case got <- outcome{f, err}:
		case <-given:
			if err == nil {
				f.Close()
			}
		}
	}()
	notice, end := time.NewTimer(patience), time.NewTimer(max(leastWait, time.Until(deadline)))
	defer notice.Stop()
	defer end.Stop()
	for {
		select {
		case o := <-got:
			switch {
			case errors.Is(o.err, errors.ErrUnsupported):
				return func() {}, nil
			case o.err != nil:
				return nil, fmt.Errorf("%q cannot be written to: %w", folder, cause(o.err))
			}
			return sign(o.file, by, sharedIn(folder)), nil
		case <-notice.C:
			tell(fmt.Sprintf("waiting for %s, which is writing to %q", holder(path), folder))
		case <-end.C:
			return nil, fmt.Errorf("%q is still in use by %s; try again when it is done, or wait longer with --wait", folder, holder(path))
		case <-ctx.Done():
			return nil, fmt.Errorf("interrupted while waiting for %s", holder(path))
		}
	}
}

// sharedIn is the mode of what all must be able to write who work in a folder, and
// nobody else: they can write to the folder itself.
func sharedIn(folder string) fs.FileMode {
	mode := fs.FileMode(0o644)
	if info, err := os.Stat(folder); err == nil {
		mode |= info.Mode().Perm() & 0o022
	}
	return mode
}

// sign writes into a lock who has it, for those who wait. Everybody may lock it
// who can write to the folder.
func sign(f *lockedfile.File, by string, mode fs.FileMode) (release func()) {
	_ = f.Chmod(mode)
	_ = f.Truncate(0)
	_, _ = fmt.Fprintf(f, "%s, process %d", by, os.Getpid())
	return func() {
		_ = f.Truncate(0)
		f.Close()
	}
}

// holder is who has a lock, as far as that can be read.
func holder(path string) string {
	const most = 200
	if f, err := os.Open(path); err == nil {
		defer f.Close()
		text, err := io.ReadAll(io.LimitReader(f, most))
		if by := strings.Map(printable, string(text)); err == nil && by != "" {
			return by
		}
	}
	return "another program"
}

// printable leaves out what a terminal would take for a command.
func printable(r rune) rune {
	if r < ' ' || r == 0x7f || 0x80 <= r && r < 0xa0 {
		return -1
	}
	return r
}
