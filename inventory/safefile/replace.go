package safefile

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	"github.com/rogpeppe/go-internal/lockedfile"
)

// locked runs change while no other process does so for the same file, with
// the path that symbolic links lead to.
func locked(path string, change func(real string) error) error {
	real, err := follow(path)
	if err != nil {
		return err
	}
	unlock, err := lockedfile.MutexAt(beside(real, ".lock")).Lock()
	if err != nil {
		return err
	}
	defer unlock()
	return change(real)
}

// follow returns the path that symbolic links lead to, so that the lock is the
// same one whichever way the file is named.
func follow(path string) (string, error) {
	real, err := filepath.EvalSymlinks(path)
	if err == nil {
		return filepath.Abs(real)
	}
	if !errors.Is(err, fs.ErrNotExist) {
		return "", err
	}
	if _, err := os.Lstat(path); err == nil {
		return "", errors.New("it is a link to a file that is not there")
	}
	folder, err := filepath.EvalSymlinks(filepath.Dir(path))
	if err != nil {
		return "", fmt.Errorf("its folder: %w", cause(err))
	}
	return filepath.Abs(filepath.Join(folder, filepath.Base(path)))
}

// replace puts data into the file at path in one step: until the rename the
// old file is there, from it on the new one.
func replace(path string, data []byte, like string) error {
	temporary, err := prepare(path, data, like)
	if err != nil {
		return err
	}
	return commit(temporary, path)
}

// prepare writes data to a new file beside path, with the permissions of the
// file at like if that is there, and returns its name. The data is on the disk
// when it returns. The name is always the same, which the lock allows: so what
// a killed process left is replaced by the next.
func prepare(path string, data []byte, like string) (string, error) {
	temporary := beside(path, ".new")
	if err := os.Remove(temporary); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return "", err
	}
	f, err := os.OpenFile(temporary, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o666)
	if err != nil {
		return "", err
	}
	_, err = f.Write(data)
	if info, absent := os.Stat(like); err == nil && absent == nil {
		err = f.Chmod(info.Mode().Perm())
	}
	if err == nil {
		err = f.Sync()
	}
	if err = errors.Join(err, f.Close()); err != nil {
		return "", errors.Join(err, os.Remove(temporary))
	}
	return temporary, nil
}

// commit renames a prepared file to path and asks the system to keep the
// rename. Where folders cannot be synced, as on Windows, the rename stands
// all the same.
func commit(temporary, path string) error {
	if err := os.Rename(temporary, path); err != nil {
		return errors.Join(err, os.Remove(temporary))
	}
	if folder, err := os.Open(filepath.Dir(path)); err == nil {
		_ = folder.Sync()
		folder.Close()
	}
	return nil
}
