// Package safefile replaces files so that a process that is killed leaves the
// old file or the new one, that two processes do not undo each other's work,
// and that the last change can be taken back.
//
// Beside a file drawer.csv it keeps .drawer.csv.undo, the file as it was
// before the last change, and .drawer.csv.lock, which is empty.
package safefile

import (
	"crypto/sha256"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
)

// ErrChanged is wrapped by the error of a Write whose file is not as it was
// when it was read.
var ErrChanged = errors.New("the file has changed since it was read; read it again and repeat the change")

// ErrNothingToUndo is wrapped by the error of an Undo that has nothing to go
// back to.
var ErrNothingToUndo = errors.New("there is no change to undo")

// Stamp tells what a file held when it was read. The zero Stamp is a file that
// was not there.
type Stamp struct {
	there bool
	sum   [sha256.Size]byte
}

func stampOf(data []byte) Stamp { return Stamp{there: true, sum: sha256.Sum256(data)} }

// largest is how long a file may be; what is longer was not meant.
const largest = 1 << 28

// Read returns what a file holds, and the Stamp that Write asks for. The error
// for a file that is not there wraps fs.ErrNotExist.
func Read(path string) ([]byte, Stamp, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, Stamp{}, fmt.Errorf("read %q: %w", path, cause(err))
	}
	defer f.Close()
	if info, err := f.Stat(); err == nil && info.IsDir() {
		return nil, Stamp{}, fmt.Errorf("read %q: it is a folder; name a file in it", path)
	}
	data, err := io.ReadAll(io.LimitReader(f, largest+1))
	if err != nil {
		return nil, Stamp{}, fmt.Errorf("read %q: %w", path, cause(err))
	}
	if len(data) > largest {
		return nil, Stamp{}, fmt.Errorf("read %q: it is longer than %d MiB", path, largest>>20)
	}
	return data, stampOf(data), nil
}

// Write replaces a file by data, or makes it. was is the Stamp of the file as
// it was read; a file that is otherwise by now is left alone, and the error
// wraps ErrChanged. A symbolic link stays and the file it leads to is
// replaced, which keeps its permissions. What was there goes into the undo
// file. The Stamp returned is the new file's.
func Write(path string, data []byte, was Stamp) (Stamp, error) {
	err := locked(path, func(real string) error {
		old, is, err := current(real)
		if err != nil {
			return err
		}
		if is != was {
			return ErrChanged
		}
		if err := replace(undoPath(real), old, real); err != nil {
			return err
		}
		return replace(real, data, real)
	})
	if err != nil {
		return Stamp{}, fmt.Errorf("write %q: %w", path, cause(err))
	}
	return stampOf(data), nil
}

// Undo puts back what was in a file before the last Write, and keeps what was
// there now, so that a second Undo takes back the first. Before the first
// Write there was no file, so Undo removes it then. The error wraps
// ErrNothingToUndo where nothing is kept, or nothing that is different.
func Undo(path string) error {
	err := locked(path, func(real string) error {
		before, now, err := beforeAndNow(real)
		if err != nil {
			return err
		}
		return swap(real, before, now)
	})
	if err != nil {
		return fmt.Errorf("undo the last change of %q: %w", path, cause(err))
	}
	return nil
}

// Before returns what a file would hold after Undo, nothing where there would
// be no file. Its errors are those of Undo; no file is changed.
func Before(path string) (before []byte, err error) {
	err = locked(path, func(real string) error {
		before, _, err = beforeAndNow(real)
		return err
	})
	if err != nil {
		return nil, fmt.Errorf("undo the last change of %q: %w", path, cause(err))
	}
	return before, nil
}

// beforeAndNow returns what a file held before the last Write, and holds now.
func beforeAndNow(real string) (before, now []byte, err error) {
	before, _, err = Read(undoPath(real))
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil, ErrNothingToUndo
	}
	if err != nil {
		return nil, nil, err
	}
	if now, _, err = current(real); err == nil && string(now) == string(before) {
		err = ErrNothingToUndo
	}
	return before, now, err
}

// swap puts before into the file and now into its undo file. An undo file that
// is empty stands for no file. The file goes first: if the process ends in
// between, the change is undone and only the way forward again is lost.
func swap(real string, before, now []byte) error {
	kept, err := prepare(undoPath(real), now, real)
	if err != nil {
		return err
	}
	if len(before) == 0 {
		err = os.Remove(real)
	} else {
		err = replace(real, before, real)
	}
	if err != nil {
		return errors.Join(err, os.Remove(kept))
	}
	return commit(kept, undoPath(real))
}

// current returns what a file holds at this moment; nothing, and the zero
// Stamp, where it is not there. A file that may not be written is an error.
func current(real string) ([]byte, Stamp, error) {
	info, err := os.Stat(real)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, Stamp{}, nil
	}
	if err != nil {
		return nil, Stamp{}, err
	}
	if !info.Mode().IsRegular() {
		return nil, Stamp{}, errors.New("it is not an ordinary file")
	}
	f, err := os.OpenFile(real, os.O_WRONLY, 0)
	if err != nil {
		return nil, Stamp{}, err
	}
	f.Close()
	return Read(real)
}

// undoPath returns the name of the file that keeps what was there before.
func undoPath(real string) string { return beside(real, ".undo") }

// beside returns a name in the same folder that file listings leave out.
func beside(real, suffix string) string {
	folder, name := filepath.Split(real)
	return folder + "." + strings.TrimPrefix(name, ".") + suffix
}

// cause strips the operation and the path from an error of package os: the
// caller says both, in the user's words.
func cause(err error) error {
	var path *fs.PathError
	if errors.As(err, &path) {
		return path.Err
	}
	return err
}
