// Package safefile changes files that belong together so that all of them
// change or none does, whatever ends the process in between, that two
// programs wait for each other, that nothing which was edited elsewhere is
// overwritten, and that every change can be taken back.
//
// A Journal belongs to a folder, that of the drawer. It keeps two hidden files
// there: .shuntwright.journal, in which every change is written down before it
// is made, and .shuntwright.lock, which says who is at work. Folders of other
// files that are written have a lock of their own.
package safefile

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
)

// ErrChanged is wrapped by the error of a Change.Write whose file is not as it
// was when it was read.
var ErrChanged = errors.New("the file has changed since it was read; read it again and repeat the change")

// Stamp tells what a file held when it was read: half of a checksum in hex, which
// is more than enough to tell two states of a file apart.
type Stamp string

// Absent is the Stamp of a file that is not there.
const Absent Stamp = ""

// StampOf is the Stamp of a file that holds data.
func StampOf(data []byte) Stamp {
	sum := sha256.Sum256(data)
	return Stamp(hex.EncodeToString(sum[:sha256.Size/2]))
}

// largest is how long a file may be; what is longer was not meant.
const largest = 1 << 28

// Files are where files are read from: those of the disk, or of a file system that
// is handed in, which nothing is written to.
type Files struct{ FS fs.FS }

// OnDisk tells that files are those of the disk.
func (f Files) OnDisk() bool { return f.FS == nil }

// Read is the function Read, of these files.
func (f Files) Read(path string) ([]byte, Stamp, error) {
	if f.OnDisk() {
		return Read(path)
	}
	data, err := fs.ReadFile(f.FS, path)
	if err != nil {
		return nil, Absent, fmt.Errorf("read %q: %w", path, cause(err))
	}
	return data, StampOf(data), nil
}

// Read returns what a file holds, and the Stamp that Change.Write asks for. The
// error for a file that is not there wraps fs.ErrNotExist.
func Read(path string) ([]byte, Stamp, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, Absent, fmt.Errorf("read %q: %w", path, cause(err))
	}
	defer f.Close()
	if info, err := f.Stat(); err == nil && info.IsDir() {
		return nil, Absent, fmt.Errorf("read %q: it is a folder; name a file in it", path)
	}
	data, err := io.ReadAll(io.LimitReader(f, largest+1))
	if err != nil {
		return nil, Absent, fmt.Errorf("read %q: %w", path, cause(err))
	}
	if len(data) > largest {
		return nil, Absent, fmt.Errorf("read %q: it is longer than %d MiB", path, largest>>20)
	}
	return data, StampOf(data), nil
}

// current returns what a file holds at this moment, nothing where it is Absent. A
// file that may not be written is an error.
func current(real string) ([]byte, Stamp, error) {
	info, err := os.Stat(real)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, Absent, nil
	}
	if err != nil {
		return nil, Absent, err
	}
	if !info.Mode().IsRegular() {
		return nil, Absent, errors.New("it is not an ordinary file")
	}
	f, err := os.OpenFile(real, os.O_WRONLY, 0)
	if err != nil {
		return nil, Absent, err
	}
	f.Close()
	return Read(real)
}

// cause strips the operation and the path from an error of package os: the
// caller says both, in the user's words.
func cause(err error) error {
	var path *fs.PathError
	if errors.As(err, &path) {
		return path.Err
	}
	var link *os.LinkError
	if errors.As(err, &link) {
		return link.Err
	}
	return err
}
