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

// read returns what a file holds; a file that is not there is "-".
func read(t *testing.T, path string) string {
	t.Helper()
	data, err := os.ReadFile(path)
	if errors.Is(err, fs.ErrNotExist) {
		return "-"
	}
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}

func write(t *testing.T, path, text string) {
	t.Helper()
	if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
}

// change reads a file and writes text to it.
func change(t *testing.T, path, text string) {
	t.Helper()
	_, stamp, err := Read(path)
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		t.Fatal(err)
	}
	if _, err := Write(path, []byte(text), stamp); err != nil {
		t.Fatal(err)
	}
}

func TestWriteAndUndo(t *testing.T) {
	path := filepath.Join(t.TempDir(), "d.csv")
	change(t, path, "one")
	change(t, path, "two")
	change(t, path, "three")
	steps := []string{"two", "three", "two"} // undo, redo, undo
	for i, want := range steps {
		if err := Undo(path); err != nil {
			t.Fatal(err)
		}
		if got := read(t, path); got != want {
			t.Errorf("undo %d: %q, want %q", i+1, got, want)
		}
	}
	change(t, path, "four")
	if err := Undo(path); err != nil || read(t, path) != "two" {
		t.Errorf("undo after a change: %q, %v, want two", read(t, path), err)
	}
}

// Before the first change there was no file.
func TestUndoOfTheFirstWrite(t *testing.T) {
	path := filepath.Join(t.TempDir(), "d.csv")
	if err := Undo(path); !errors.Is(err, ErrNothingToUndo) {
		t.Errorf("undo of nothing: %v", err)
	}
	change(t, path, "one")
	for _, want := range []string{"-", "one", "-"} {
		if err := Undo(path); err != nil || read(t, path) != want {
			t.Fatalf("got %q, %v, want %q", read(t, path), err, want)
		}
	}
}

// What an editor has changed since is not lost by an undo.
func TestUndoKeepsWhatWasEditedElsewhere(t *testing.T) {
	path := filepath.Join(t.TempDir(), "d.csv")
	change(t, path, "one")
	change(t, path, "two")
	write(t, path, "edited")
	for _, want := range []string{"one", "edited"} {
		if err := Undo(path); err != nil || read(t, path) != want {
			t.Fatalf("got %q, %v, want %q", read(t, path), err, want)
		}
	}
	write(t, path, "one")
	if err := Undo(path); !errors.Is(err, ErrNothingToUndo) || read(t, path) != "one" {
		t.Errorf("undo to what is there: %v", err)
	}
}

func TestWriteRefusesAChangedFile(t *testing.T) {
	path := filepath.Join(t.TempDir(), "d.csv")
	write(t, path, "one")
	_, stamp, err := Read(path)
	if err != nil {
		t.Fatal(err)
	}
	for name, now := range map[string]string{"edited": "edited", "emptied": "", "same length": "eno"} {
		write(t, path, now)
		if _, err := Write(path, []byte("two"), stamp); !errors.Is(err, ErrChanged) || read(t, path) != now {
			t.Errorf("%s: %v, the file holds %q", name, err, read(t, path))
		}
	}
	if err := os.Remove(path); err != nil {
		t.Fatal(err)
	}
	if _, err := Write(path, []byte("two"), stamp); !errors.Is(err, ErrChanged) || read(t, path) != "-" {
		t.Errorf("removed: %v, the file holds %q", err, read(t, path))
	}
	write(t, path, "made by another")
	if _, err := Write(path, []byte("two"), Stamp{}); !errors.Is(err, ErrChanged) || read(t, path) != "made by another" {
		t.Errorf("made: %v, the file holds %q", err, read(t, path))
	}
	write(t, path, "one") // changed and changed back is as it was
	stamp, err = Write(path, []byte("two"), stamp)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := Write(path, []byte("three"), stamp); err != nil || read(t, path) != "three" {
		t.Errorf("with the stamp of the last write: %v", err)
	}
}

func TestWriteKeepsPermissionsAndLinks(t *testing.T) {
	folder := t.TempDir()
	elsewhere := t.TempDir()
	real, link := filepath.Join(elsewhere, "real.csv"), filepath.Join(folder, "link.csv")
	write(t, real, "one")
	if err := os.Chmod(real, 0o640); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink(real, link); err != nil {
		t.Skip("no symbolic links here: ", err)
	}
	change(t, link, "two")
	if info, err := os.Lstat(link); err != nil || info.Mode()&fs.ModeSymlink == 0 {
		t.Errorf("the link is %v, %v", info.Mode(), err)
	}
	if got := read(t, real); got != "two" {
		t.Errorf("the file holds %q", got)
	}
	for _, path := range []string{real, filepath.Join(elsewhere, ".real.csv.undo")} {
		if info, err := os.Stat(path); err != nil || info.Mode().Perm() != 0o640 {
			t.Errorf("%s has %v, %v, want 0640", path, info.Mode(), err)
		}
	}
	if err := Undo(link); err != nil || read(t, real) != "one" {
		t.Errorf("undo through the link: %v", err)
	}
	if names := list(t, folder); len(names) != 1 {
		t.Errorf("beside the link are %q", names)
	}
	if names := list(t, elsewhere); len(names) != 3 { // file, undo, lock
		t.Errorf("beside the file are %q", names)
	}
	if err := os.Remove(real); err != nil {
		t.Fatal(err)
	}
	if _, err := Write(link, []byte("two"), Stamp{}); err == nil || !strings.Contains(err.Error(), "link to a file that is not there") {
		t.Errorf("through a dead link: %v", err)
	}
}

func list(t *testing.T, folder string) (names []string) {
	t.Helper()
	entries, err := os.ReadDir(folder)
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range entries {
		names = append(names, e.Name())
	}
	return names
}

// A relative path and one that begins with a dot have their files beside them
// all the same.
func TestNamesBeside(t *testing.T) {
	t.Chdir(t.TempDir())
	change(t, "d.csv", "one")
	change(t, ".hidden", "one")
	want := "[.d.csv.lock .d.csv.undo .hidden .hidden.lock .hidden.undo d.csv]"
	if got := fmt.Sprint(list(t, ".")); got != want {
		t.Errorf("files %s, want %s", got, want)
	}
}

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
