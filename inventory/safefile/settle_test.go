package safefile

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// interrupted leaves a folder as a change from old to new leaves it that was
// ended when the files at some indexes were renamed; prepared tells whether the
// new contents of the others lie beside them. The first file is made, the
// second changed, the third removed: that is the undo of a change that did the
// opposite.
func interrupted(t *testing.T, renamed [3]bool, prepared bool) (folder string, paths [3]string) {
	t.Helper()
	folder = t.TempDir()
	for i, name := range []string{"a", "b", "c"} {
		paths[i] = filepath.Join(folder, name)
	}
	write(t, paths[0], "A")
	write(t, paths[1], "B")
	change(t, folder, paths[1], "B before", paths[2], "C")
	c, err := journal(t, folder, "interrupted").Begin(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	defer c.End()
	if _, _, err := c.Undo(1); err != nil {
		t.Fatal(err)
	}
	if err := c.Write(paths[0], []byte("A after"), StampOf([]byte("A"))); err != nil {
		t.Fatal(err)
	}
	l, err := openLog(folder, 0o777)
	if err != nil {
		t.Fatal(err)
	}
	defer l.Close()
	if err := l.add(c.record()); err != nil {
		t.Fatal(err)
	}
	if err := c.prepareAll(); err != nil {
		t.Fatal(err)
	}
	for _, s := range c.files {
		switch i := strings.Index("abc", filepath.Base(s.path)); {
		case renamed[i]:
			if err := s.put(); err != nil {
				t.Fatal(err)
			}
		case !prepared:
			discard(s.real)
		}
	}
	return folder, paths
}

// Wherever a change ends, the next call finds all files old or makes them all
// new, and undo knows which.
func TestInterrupted(t *testing.T) {
	for bits := range 16 {
		renamed := [3]bool{bits&1 != 0, bits&2 != 0, bits&4 != 0}
		folder, paths := interrupted(t, renamed, bits&8 != 0)
		journal(t, folder, "look").Settle(context.Background())
		want, done := "A B before C", 1
		if renamed != [3]bool{} {
			want, done = "A after B -", 0
		}
		state := read(t, paths[0]) + " " + read(t, paths[1]) + " " + read(t, paths[2])
		if back, again, err := journal(t, folder, "").Steps(); err != nil || state != want || len(back) != done || len(back)+len(again) != 1 {
			t.Errorf("%b: %q, want %q; %d steps back and %d again, %v", bits, state, want, len(back), len(again), err)
		}
		if e, err := readEnd(folder); !e.settled() || err != nil {
			t.Errorf("%b: the journal does not know that it is done: %v", bits, err)
		}
		for _, name := range list(t, folder) {
			if strings.HasSuffix(name, ".new") {
				t.Errorf("%b: left behind %q", bits, name)
			}
		}
	}
}

// A file that was edited after the end stays, the others are completed, and it
// is said.
func TestInterruptedAndEdited(t *testing.T) {
	folder, paths := interrupted(t, [3]bool{true, false, false}, false)
	write(t, paths[1], "B edited")
	j := journal(t, folder, "look")
	var told []string
	j.Tell = func(text string) { told = append(told, text) }
	j.Settle(context.Background())
	if read(t, paths[1]) != "B edited" || read(t, paths[2]) != "-" || read(t, paths[0]) != "A after" {
		t.Errorf("%q %q %q", read(t, paths[0]), read(t, paths[1]), read(t, paths[2]))
	}
	if want := fmt.Sprintf("interrupted was interrupted, and %q was edited since: it stays as it is", paths[1]); len(told) != 1 || told[0] != want {
		t.Errorf("told %q", told)
	}
}

// In a copy of a folder only its own files are completed.
func TestInterruptedInACopy(t *testing.T) {
	folder, paths := interrupted(t, [3]bool{true, false, true}, false)
	top := t.TempDir()
	outside, copied := filepath.Join(top, "b"), filepath.Join(top, "copy")
	write(t, outside, "B before")
	path := filepath.Join(folder, journalName)
	write(t, path, strings.ReplaceAll(read(t, path), `"path":"b"`, `"path":"`+filepath.ToSlash(outside)+`"`))
	if err := os.CopyFS(copied, os.DirFS(folder)); err != nil {
		t.Fatal(err)
	}
	journal(t, copied, "look").Settle(context.Background())
	if read(t, outside) != "B before" || read(t, filepath.Join(copied, "a")) != "A after" {
		t.Errorf("in the copy: %q, %q", read(t, outside), read(t, filepath.Join(copied, "a")))
	}
	journal(t, folder, "look").Settle(context.Background())
	if read(t, outside) != "B" || read(t, paths[0]) != "A after" {
		t.Errorf("in the original: %q, %q", read(t, outside), read(t, paths[0]))
	}
}

// A rename that fails half way puts back what was written before it.
func TestFailedRename(t *testing.T) {
	folder := t.TempDir()
	paths := []string{filepath.Join(folder, "a"), filepath.Join(folder, "b")}
	change(t, folder, paths[0], "A", paths[1], "B")
	c, err := journal(t, folder, "fails").Begin(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	defer c.End()
	for i, path := range paths {
		if err := c.Write(path, []byte("new"), StampOf([]byte("AB"[i:i+1]))); err != nil {
			t.Fatal(err)
		}
	}
	if err := os.Remove(paths[1]); err != nil { // a folder comes into its place
		t.Fatal(err)
	}
	if err := os.MkdirAll(filepath.Join(paths[1], "x"), 0o755); err != nil {
		t.Fatal(err)
	}
	if err := c.Commit(); err == nil || !strings.Contains(err.Error(), "nothing was changed") || read(t, paths[0]) != "A" {
		t.Errorf("%v, the first file holds %q", err, read(t, paths[0]))
	}
	if names := list(t, folder); len(names) != 4 {
		t.Errorf("left behind: %q", names)
	}
	if back, _, err := journal(t, folder, "").Steps(); err != nil || len(back) != 1 {
		t.Errorf("%d steps, %v", len(back), err)
	}
}
