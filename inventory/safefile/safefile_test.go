package safefile

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"strings"
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
	if err := os.Symlink(real, link); err != nil && runtime.GOOS == "windows" {
		t.Skip("Windows lets only some users make symbolic links: ", err)
	} else if err != nil {
		t.Fatal(err)
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

// Before tells what Undo would bring back and changes nothing.
func TestBefore(t *testing.T) {
	path := filepath.Join(t.TempDir(), "f")
	if _, err := Before(path); !errors.Is(err, ErrNothingToUndo) {
		t.Errorf("before any change: %v", err)
	}
	stamp, err := Write(path, []byte("one"), Stamp{})
	if err != nil {
		t.Fatal(err)
	}
	if before, err := Before(path); err != nil || len(before) != 0 {
		t.Errorf("of a new file: %q, %v", before, err)
	}
	if _, err := Write(path, []byte("two"), stamp); err != nil {
		t.Fatal(err)
	}
	before, err := Before(path)
	if err != nil || string(before) != "one" {
		t.Errorf("%q, %v", before, err)
	}
	if data, _, err := Read(path); err != nil || string(data) != "two" {
		t.Errorf("the file is %q now, %v", data, err)
	}
	if err := Undo(path); err != nil {
		t.Fatal(err)
	}
	if data, _, err := Read(path); err != nil || string(data) != string(before) {
		t.Errorf("after Undo the file is %q, %v; want %q", data, err, before)
	}
}
