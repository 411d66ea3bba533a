package safefile

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
	"time"
)

// read returns what a file holds; a file that is not there is "-".
func read(t testing.TB, path string) string {
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

func write(t testing.TB, path, text string) {
	t.Helper()
	if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
}

// journal is a new call of the program with a drawer in a folder.
func journal(t testing.TB, folder, did string) *Journal {
	t.Helper()
	j, err := NewJournal(filepath.Join(folder, "drawer.csv"))
	if err != nil {
		t.Fatal(err)
	}
	j.Did, j.By, j.Wait = did, "test", 10*time.Second
	return j
}

// change has texts written to files, by path, in one change of a call.
func (j *Journal) change(texts ...string) error {
	c, err := j.Begin(context.Background())
	if err != nil {
		return err
	}
	defer c.End()
	for i := 0; i < len(texts); i += 2 {
		_, was, err := Read(texts[i])
		if err != nil && !errors.Is(err, fs.ErrNotExist) {
			return err
		}
		if err := c.Write(texts[i], []byte(texts[i+1]), was); err != nil {
			return err
		}
	}
	return c.Commit()
}

// change is one call of the program with one change.
func change(t testing.TB, folder string, texts ...string) {
	t.Helper()
	if err := journal(t, folder, "write "+texts[1]).change(texts...); err != nil {
		t.Fatal(err)
	}
}

// move takes back so many steps, or brings them again where by is positive.
func move(t testing.TB, folder string, by int) ([]Step, []Moved, error) {
	t.Helper()
	c, err := journal(t, folder, "undo").Begin(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	defer c.End()
	steps, files, err := c.move(by)
	if failed := c.Commit(); err == nil { // what was refused has staged nothing
		err = failed
	}
	return steps, files, err
}

func list(t testing.TB, folder string) (names []string) {
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

func TestUndoAndRedo(t *testing.T) {
	folder := t.TempDir()
	drawer, meter := filepath.Join(folder, "drawer.csv"), filepath.Join(folder, "m.json")
	change(t, folder, drawer, "one")
	change(t, folder, drawer, "two", meter, "m")
	change(t, folder, meter, "mm")
	states := []string{"- -", "one -", "two m", "two mm"}
	at := 3
	for _, by := range []int{-1, -1, +1, +1, -1, -1, -1, +3, -2, +1, -2, +2} {
		steps, _, err := move(t, folder, by)
		if err != nil {
			t.Fatal(err)
		}
		at += by
		if got := read(t, drawer) + " " + read(t, meter); got != states[at] {
			t.Fatalf("after %d steps: %q, want %q", at, got, states[at])
		}
		if len(steps) != max(by, -by) {
			t.Errorf("%d steps, want %d", len(steps), by)
		}
	}
	if _, _, err := move(t, folder, -3); !errors.Is(err, ErrNothing) || read(t, drawer) != "two" {
		t.Errorf("more than there is: %v", err)
	}
	change(t, folder, meter, "other") // what was taken back is gone
	if _, _, err := move(t, folder, +1); !errors.Is(err, ErrNothing) {
		t.Errorf("redo after a change: %v", err)
	}
	steps, files, err := move(t, folder, -1)
	if err != nil || len(steps) != 1 || steps[0].Did != "write other" || len(files) != 1 || files[0].Path != meter ||
		string(files[0].Before) != "other" || string(files[0].After) != "m" {
		t.Errorf("undo: %+v %q %v", steps, files, err)
	}
	if names := list(t, folder); len(names) != 4 {
		t.Errorf("files %q", names)
	}
}

// One call of the program is one step, however often it writes, unless another
// writes in between.
func TestOneCallIsOneStep(t *testing.T) {
	folder := t.TempDir()
	path, other := filepath.Join(folder, "drawer.csv"), filepath.Join(folder, "o")
	a, b := journal(t, folder, "a"), journal(t, folder, "b")
	write(t, path, "0\n")
	for i, j := range []*Journal{a, a, a, b, b, a, a} {
		if err := j.change(path, read(t, path)+fmt.Sprintln(i), other, fmt.Sprint(i)); err != nil {
			t.Fatal(err)
		}
	}
	back, _, err := a.Steps()
	if err != nil || len(back) != 3 || back[0].Did != "a" || back[1].Did != "b" || back[2].Did != "a" {
		t.Fatalf("steps %+v, %v", back, err)
	}
	for _, want := range []string{"0\n0\n1\n2\n3\n4\n", "0\n0\n1\n2\n", "0\n"} {
		if _, _, err := move(t, folder, -1); err != nil || read(t, path) != want {
			t.Fatalf("%q, %v, want %q", read(t, path), err, want)
		}
	}
	if read(t, other) != "-" {
		t.Errorf("the other file holds %q", read(t, other))
	}
	if _, _, err := move(t, folder, +3); err != nil || read(t, path) != "0\n0\n1\n2\n3\n4\n5\n6\n" || read(t, other) != "6" {
		t.Errorf("redo: %q, %v", read(t, path), err)
	}
}

// What was edited since is never lost: not by a change, not by an undo.
func TestEditedByHand(t *testing.T) {
	folder := t.TempDir()
	drawer, meter := filepath.Join(folder, "drawer.csv"), filepath.Join(folder, "m.json")
	change(t, folder, drawer, "one", meter, "m")
	j := journal(t, folder, "long")
	if err := j.change(drawer, "two"); err != nil {
		t.Fatal(err)
	}
	write(t, drawer, "two, edited")
	if err := j.change(drawer, "two, edited, more"); err != nil {
		t.Fatal(err)
	}
	for range 2 { // the edit parts the call in two steps; only one can go
		_, _, err := move(t, folder, -1)
		if got := read(t, drawer); got != "two, edited" || err != nil && !strings.HasPrefix(err.Error(), fmt.Sprintf("%q changed since", drawer)) {
			t.Fatalf("%q, %v", got, err)
		}
	}
	write(t, drawer, "two") // edited back
	if _, _, err := move(t, folder, -1); err != nil || read(t, drawer) != "one" {
		t.Fatalf("%q, %v", read(t, drawer), err)
	}
	write(t, meter, "m, edited")
	if err := os.Remove(drawer); err != nil {
		t.Fatal(err)
	}
	_, _, err := move(t, folder, -1)
	if err == nil || !strings.Contains(err.Error(), fmt.Sprintf("%q and %q changed since", drawer, meter)) || read(t, meter) != "m, edited" {
		t.Errorf("%q, %v", read(t, meter), err)
	}
}

func TestWriteRefusesAChangedFile(t *testing.T) {
	folder := t.TempDir()
	path := filepath.Join(folder, "drawer.csv")
	one := StampOf([]byte("one"))
	for name, test := range map[string]struct {
		now string
		was Stamp
	}{"edited": {"edited", one}, "emptied": {"", one}, "same length": {"eno", one}, "removed": {"-", one}, "made by another": {"x", Absent}} {
		os.Remove(path)
		if test.now != "-" {
			write(t, path, test.now)
		}
		c, err := journal(t, folder, "").Begin(context.Background())
		if err != nil {
			t.Fatal(err)
		}
		if err := c.Write(path, []byte("two"), test.was); !errors.Is(err, ErrChanged) {
			t.Errorf("%s: %v", name, err)
		}
		if err := c.Commit(); err != nil || read(t, path) != test.now {
			t.Errorf("%s: %v, the file holds %q", name, err, read(t, path))
		}
		c.End()
	}
}

func TestWriteKeepsPermissionsAndLinks(t *testing.T) {
	folder, elsewhere := t.TempDir(), t.TempDir()
	real, link := filepath.Join(elsewhere, "real.csv"), filepath.Join(folder, "drawer.csv")
	write(t, real, "one")
	if err := os.Chmod(real, 0o640); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink(real, link); err != nil && runtime.GOOS == "windows" {
		t.Skip("Windows lets only some users make symbolic links: ", err)
	} else if err != nil {
		t.Fatal(err)
	}
	change(t, folder, link, "two")
	if info, err := os.Lstat(link); err != nil || info.Mode()&fs.ModeSymlink == 0 {
		t.Errorf("the link is %v, %v", info.Mode(), err)
	}
	if got := read(t, real); got != "two" {
		t.Errorf("the file holds %q", got)
	}
	for _, name := range []string{"real.csv", journalName} {
		if info, err := os.Stat(filepath.Join(elsewhere, name)); err != nil || info.Mode().Perm() != 0o640 {
			t.Errorf("%s has %v, %v, want 0640", name, info.Mode(), err)
		}
	}
	if _, _, err := move(t, folder, -1); err != nil || read(t, real) != "one" {
		t.Errorf("undo through the link: %v", err)
	}
	moved := filepath.Join(elsewhere, "moved.csv") // a link comes into its place
	if err := errors.Join(os.Rename(real, moved), os.Symlink(moved, real)); err != nil {
		t.Fatal(err)
	}
	if _, _, err := move(t, folder, +1); err != nil || read(t, moved) != "two" {
		t.Errorf("redo through a link that came since: %v", err)
	}
	if names := list(t, folder); len(names) != 1 {
		t.Errorf("beside the link are %q", names)
	}
	if names := list(t, elsewhere); len(names) != 4 { // file, link to it, journal, lock
		t.Errorf("beside the file are %q", names)
	}
	if err := os.Remove(real); err != nil {
		t.Fatal(err)
	}
	if _, err := NewJournal(link); err == nil || !strings.Contains(err.Error(), "link to a file that is not there") {
		t.Errorf("through a dead link: %v", err)
	}
}

// Folders that a change made go again with it, and a journal does not need the
// name by which its folder was called.
func TestFoldersGoAgain(t *testing.T) {
	t.Chdir(t.TempDir())
	c, err := journal(t, ".", "demo").Begin(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	path := filepath.Join("a", "b", "m.json")
	if err := errors.Join(c.MakeFolder(filepath.Dir(path)), c.Write(path, []byte("m"), Absent), c.Commit()); err != nil {
		t.Fatal(err)
	}
	c.End()
	for _, step := range []struct {
		by   int
		want string
	}{{-1, "-"}, {+1, "m"}, {-1, "-"}} {
		_, files, err := move(t, ".", step.by)
		if err != nil || read(t, path) != step.want || len(files) != 1 || files[0].Path != path {
			t.Fatalf("%q, %+v, %v", read(t, path), files, err)
		}
	}
	if exists, _ := filepath.Glob("a"); exists != nil {
		t.Error("the folder is still there")
	}
}
