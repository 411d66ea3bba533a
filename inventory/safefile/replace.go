package safefile

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
)

// follow returns the absolute path that symbolic links lead to, so that a file
// is one file whichever way it is named.
func follow(path string) (string, error) {
	real, err := filepath.EvalSymlinks(path)
	if err == nil {
		return filepath.Abs(real)
	}
	if !errors.Is(err, fs.ErrNotExist) {
		return "", err
	}
	// What is no link has been made since by somebody else.
	if at, err := os.Lstat(path); err == nil && at.Mode()&fs.ModeSymlink != 0 {
		return "", errors.New("it is a link to a file that is not there")
	}
	folder, err := filepath.EvalSymlinks(filepath.Dir(path))
	if err != nil {
		return "", fmt.Errorf("its folder: %w", cause(err))
	}
	return filepath.Abs(filepath.Join(folder, filepath.Base(path)))
}

// prepare writes data to a new file beside path, with the permissions of the
// file that is there. The data is on the disk when it returns. The name is
// always the same, which the lock allows: so what a killed process left is
// replaced by the next.
func prepare(path string, data []byte) error {
	temporary := temporaryFor(path)
	discard(path)
	f, err := os.OpenFile(temporary, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o666)
	if err != nil {
		return err
	}
	_, err = f.Write(data)
	if info, absent := os.Stat(path); err == nil && absent == nil {
		err = f.Chmod(info.Mode().Perm())
	}
	if err == nil {
		err = f.Sync()
	}
	if err = errors.Join(err, f.Close()); err != nil {
		discard(path)
	}
	return err
}

// commit renames a prepared file to path.
func commit(path string) error {
	err := os.Rename(temporaryFor(path), path)
	if err != nil {
		discard(path)
	}
	return err
}

// discard removes a prepared file, if there is one.
func discard(path string) { _ = os.Remove(temporaryFor(path)) }

// syncFolder asks the system to keep the renames in a folder. Where folders
// cannot be synced, as on Windows, they stand all the same.
func syncFolder(path string) {
	if folder, err := os.Open(path); err == nil {
		_ = folder.Sync()
		folder.Close()
	}
}

// temporaryFor returns a name in the same folder that file listings leave out.
func temporaryFor(path string) string {
	folder, name := filepath.Split(path)
	return folder + "." + strings.TrimPrefix(name, ".") + ".new"
}
