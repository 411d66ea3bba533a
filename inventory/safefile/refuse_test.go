package safefile

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
)

func TestRefusals(t *testing.T) {
	folder := t.TempDir()
	inFile := filepath.Join(folder, "file")
	write(t, inFile, "x")
	noFolder := filepath.Join(folder, "none", "d.csv")
	if _, _, err := Read(noFolder); !errors.Is(err, fs.ErrNotExist) {
		t.Errorf("read: %v", err)
	}
	if _, _, err := Read(folder); err == nil || !strings.Contains(err.Error(), "it is a folder") {
		t.Errorf("read a folder: %v", err)
	}
	for path, says := range map[string]string{
		noFolder:                       "its folder: no such file",
		folder:                         "not an ordinary file",
		filepath.Join(inFile, "d.csv"): "not a directory",
		folder + "/\x00":               "invalid argument",
	} {
		if _, err := Write(path, nil, Stamp{}); err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("write %q: %v, want it to say %q", path, err, says)
		}
		if err := Undo(path); err == nil || strings.Contains(err.Error(), "\n") {
			t.Errorf("undo %q: %v", path, err)
		}
	}
	if os.Getuid() == 0 {
		t.Log("the superuser may write to everything: read-only files are not tested")
		return
	}
	if err := os.Chmod(inFile, 0o444); err != nil {
		t.Fatal(err)
	}
	_, stamp, _ := Read(inFile)
	if _, err := Write(inFile, nil, stamp); !errors.Is(err, fs.ErrPermission) {
		t.Errorf("a read-only file: %v", err)
	}
}

// A write that fails half way leaves the old file and no litter.
func TestFailedWriteLeavesTheOldFile(t *testing.T) {
	folder := t.TempDir()
	path := filepath.Join(folder, "d.csv")
	write(t, path, "one")
	_, stamp, _ := Read(path)
	// A folder in the place of the undo file lets everything go well up to a
	// rename.
	if err := os.MkdirAll(filepath.Join(folder, ".d.csv.undo", "in the way"), 0o755); err != nil {
		t.Fatal(err)
	}
	if _, err := Write(path, []byte("two"), stamp); err == nil || read(t, path) != "one" {
		t.Errorf("got %v, the file holds %q", err, read(t, path))
	}
	if err := Undo(path); err == nil || !strings.Contains(err.Error(), "it is a folder") {
		t.Errorf("undo: %v", err)
	}
	if names := list(t, folder); len(names) != 3 {
		t.Errorf("left behind: %q", names)
	}
}

// Nor does an undo that fails half way lose either.
func TestFailedUndoLosesNothing(t *testing.T) {
	folder := t.TempDir()
	path := filepath.Join(folder, "d.csv")
	change(t, path, "one")
	change(t, path, "two")
	for _, name := range []string{"d.csv.new", "d.csv.undo.new"} {
		inTheWay := filepath.Join(folder, "."+name)
		if err := os.MkdirAll(filepath.Join(inTheWay, "x"), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := Undo(path); err == nil || read(t, path) != "two" || read(t, undoPath(path)) != "one" {
			t.Errorf("%s: %v, the files hold %q and %q", name, err, read(t, path), read(t, undoPath(path)))
		}
		if err := os.RemoveAll(inTheWay); err != nil {
			t.Fatal(err)
		}
	}
	if names := list(t, folder); len(names) != 3 {
		t.Errorf("left behind: %q", names)
	}
}

func TestReadRefusesWhatIsTooLong(t *testing.T) {
	if os.Getenv("SHUNTWRIGHT_SLOW") == "" {
		t.Skip("reads 256 MiB; set SHUNTWRIGHT_SLOW=1")
	}
	path := filepath.Join(t.TempDir(), "d.csv")
	write(t, path, "")
	if err := os.Truncate(path, largest+1); err != nil { // takes no room on the disk
		t.Fatal(err)
	}
	if _, _, err := Read(path); err == nil || !strings.Contains(err.Error(), "longer than 256 MiB") {
		t.Errorf("got %v", err)
	}
}

// Many at once: every change is made on top of the one before it, or refused.
func TestNoChangeIsLost(t *testing.T) {
	path := filepath.Join(t.TempDir(), "d.csv")
	write(t, path, "")
	const writers, changes = 4, 5
	var all sync.WaitGroup
	for w := range writers {
		all.Go(func() {
			for c := range changes {
				for {
					data, stamp, err := Read(path)
					if err != nil {
						t.Error(err)
						return
					}
					_, err = Write(path, fmt.Appendf(data, "%d-%d\n", w, c), stamp)
					if err == nil {
						break
					}
					if !errors.Is(err, ErrChanged) {
						t.Error(err)
						return
					}
				}
			}
		})
	}
	all.Wait()
	text := read(t, path)
	for w := range writers {
		for c := range changes {
			if line := fmt.Sprintf("%d-%d\n", w, c); strings.Count(text, line) != 1 {
				t.Errorf("%q stands %d times in the file", line, strings.Count(text, line))
			}
		}
	}
}
