package safefile

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"
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
		if err := journal(t, folder, "").change(path, ""); err == nil || !strings.Contains(err.Error(), says) && !strings.Contains(err.Error(), "it is a folder") && !strings.HasPrefix(err.Error(), "read ") {
			t.Errorf("write %q: %v, want it to say %q", path, err, says)
		}
		c, err := journal(t, folder, "").Begin(context.Background())
		if err != nil {
			t.Fatal(err)
		}
		if err := c.Write(path, nil, Absent); err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("write %q: %v, want it to say %q", path, err, says)
		}
		c.End()
	}
	for _, by := range []int{-1, +1} {
		if _, _, err := move(t, folder, by); !errors.Is(err, ErrNothing) {
			t.Errorf("nothing: %v", err)
		}
	}
}

// Many at once: every change waits for the one before it, and none is lost.
func TestNoChangeIsLost(t *testing.T) {
	folder := t.TempDir()
	path := filepath.Join(folder, "drawer.csv")
	const writers, changes = 4, 10
	var all sync.WaitGroup
	for w := range writers {
		all.Go(func() {
			j := journal(t, folder, fmt.Sprint("writer ", w))
			for i := range changes {
				c, err := j.Begin(context.Background(), path)
				if err != nil {
					t.Error(err)
					return
				}
				data, was, err := Read(path)
				if err != nil && !errors.Is(err, fs.ErrNotExist) {
					t.Error(err)
				}
				if err := errors.Join(c.Write(path, fmt.Appendf(data, "%d-%d\n", w, i), was), c.Commit()); err != nil {
					t.Error(err)
				}
				c.End()
			}
		})
	}
	all.Wait()
	text := read(t, path)
	for w := range writers {
		for i := range changes {
			if line := fmt.Sprintf("%d-%d\n", w, i); strings.Count(text, line) != 1 {
				t.Errorf("%q stands %d times in the file", line, strings.Count(text, line))
			}
		}
	}
	back, _, err := journal(t, folder, "").Steps()
	if err != nil {
		t.Fatal(err)
	}
	if _, _, err := move(t, folder, -len(back)); err != nil || read(t, path) != "-" {
		t.Errorf("all taken back: %q, %v", read(t, path), err)
	}
}

// A file that another program makes at this moment is no link.
func TestFollowWhatComesAndGoes(t *testing.T) {
	path := filepath.Join(t.TempDir(), "drawer.csv")
	var other sync.WaitGroup
	other.Go(func() {
		for range 1500 {
			if err := errors.Join(os.WriteFile(path, nil, 0o600), os.Remove(path)); err != nil {
				t.Error(err)
				return
			}
		}
	})
	for range 1500 {
		if _, err := follow(path); err != nil {
			t.Fatal(err)
		}
	}
	other.Wait()
}

// Two that need each other's folder do not wait for each other for ever.
func TestNoDeadlock(t *testing.T) {
	a, b := t.TempDir(), t.TempDir()
	var both sync.WaitGroup
	for _, folders := range [][2]string{{a, b}, {b, a}} {
		both.Go(func() {
			for range 300 {
				j := journal(t, folders[0], "")
				j.Wait = 3 * time.Second
				c, err := j.Begin(context.Background(), filepath.Join(folders[1], "m.json"))
				if err != nil {
					t.Error(err)
					return
				}
				c.End()
			}
		})
	}
	both.Wait()
}

// Who waits is told for whom, and gives up in the end.
func TestWaiting(t *testing.T) {
	folder := t.TempDir()
	first := journal(t, folder, "")
	first.By = "shuntwright fit"
	c, err := first.Begin(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	second := journal(t, folder, "")
	var told []string
	second.Tell = func(text string) { told = append(told, text) }
	second.Wait = 1200 * time.Millisecond
	whom := fmt.Sprintf("shuntwright fit, process %d", os.Getpid())
	if _, err := second.Begin(context.Background()); err == nil || !strings.Contains(err.Error(), "still in use by "+whom) {
		t.Errorf("gave up: %v", err)
	}
	if len(told) != 1 || !strings.Contains(told[0], "waiting for "+whom) {
		t.Errorf("told: %q", told)
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := second.Begin(ctx); err == nil || !strings.Contains(err.Error(), "interrupted") {
		t.Errorf("interrupted: %v", err)
	}
	second.Wait = 0
	if _, err := second.Begin(context.Background()); err == nil {
		t.Error("without waiting: locked twice")
	}
	c.End()
	time.Sleep(50 * time.Millisecond) // those who gave up let go of what they got meanwhile
	if c, err = second.Begin(context.Background()); err != nil {
		t.Fatalf("after the end: %v", err)
	}
	c.End()
	write(t, filepath.Join(folder, lockName), "stale\x1b[31m") // of a process that is dead
	if c, err = second.Begin(context.Background()); err != nil {
		t.Fatalf("after a dead process: %v", err)
	}
	c.End()
}

// A folder that was copied has its own undo; what lies outside of it belongs
// to the original.
func TestCopiedFolder(t *testing.T) {
	top := t.TempDir()
	original, copied, moved := filepath.Join(top, "original"), filepath.Join(top, "copy"), filepath.Join(top, "moved")
	if err := os.Mkdir(original, 0o755); err != nil {
		t.Fatal(err)
	}
	drawer, outside := filepath.Join(original, "drawer.csv"), filepath.Join(top, "m.json")
	change(t, original, drawer, "one")
	change(t, original, drawer, "two", outside, "m")
	change(t, original, drawer, "three")
	if err := os.CopyFS(copied, os.DirFS(original)); err != nil {
		t.Fatal(err)
	}
	if _, _, err := move(t, copied, -1); err != nil || read(t, filepath.Join(copied, "drawer.csv")) != "two" || read(t, drawer) != "three" {
		t.Errorf("in the copy: %v", err)
	}
	if _, _, err := move(t, copied, -1); err == nil || !strings.Contains(err.Error(), "copy of") || read(t, outside) != "m" || read(t, filepath.Join(copied, "drawer.csv")) != "two" {
		t.Errorf("beyond the copy: %v", err)
	}
	if err := os.Rename(original, moved); err != nil {
		t.Fatal(err)
	}
	if _, _, err := move(t, moved, -3); err != nil || read(t, outside) != "-" || read(t, filepath.Join(moved, "drawer.csv")) != "-" {
		t.Errorf("after a move: %v", err)
	}
}

// A journal that was cut or damaged ends what can be taken back, not the work.
func TestDamagedJournal(t *testing.T) {
	for name, damage := range map[string]func(string) string{
		"torn":    func(text string) string { return text + `{"call":"x","files":[{"path":"drawer.csv","is":"` },
		"damaged": func(text string) string { return strings.Replace(text, `"call"`, `call`, 1) },
		"removed": func(string) string { return "" },
	} {
		folder := t.TempDir()
		path := filepath.Join(folder, "drawer.csv")
		change(t, folder, path, "one")
		change(t, folder, path, "two")
		write(t, filepath.Join(folder, journalName), damage(read(t, filepath.Join(folder, journalName))))
		change(t, folder, path, "three")
		back, _, err := journal(t, folder, "").Steps()
		if want := map[string]int{"torn": 3, "damaged": 2, "removed": 1}[name]; err != nil || len(back) != want {
			t.Errorf("%s: %d steps, %v, want %d", name, len(back), err, want)
		}
		if _, _, err := move(t, folder, -1); err != nil || read(t, path) != "two" {
			t.Errorf("%s: %q, %v", name, read(t, path), err)
		}
	}
}

// The journal drops its oldest steps, never what is undone nor the last step.
func TestJournalIsBounded(t *testing.T) {
	folder := t.TempDir()
	path := filepath.Join(folder, "drawer.csv")
	const limit = 8_000
	for i := range 50 {
		j := journal(t, folder, "")
		j.limit = limit
		if err := j.change(path, strings.Repeat(fmt.Sprint(i%10), 300)); err != nil {
			t.Fatal(err)
		}
		if i%20 == 10 {
			if _, _, err := move(t, folder, -3); err != nil {
				t.Fatal(err)
			}
		}
		if info, err := os.Stat(filepath.Join(folder, journalName)); err != nil || info.Size() > limit+2000 {
			t.Fatalf("%d bytes, %v", info.Size(), err)
		}
	}
	back, _, err := journal(t, folder, "").Steps()
	if err != nil || len(back) < 3 {
		t.Fatalf("%d steps, %v", len(back), err)
	}
	if _, _, err := move(t, folder, -len(back)); err != nil {
		t.Fatal(err)
	}
	for i := range 20 { // what was taken back stays while the rest is shortened
		change(t, folder, path, strings.Repeat(fmt.Sprint(i), 500))
	}
	last := journal(t, folder, "undo")
	last.limit = 1000
	c, err := last.Begin(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	if _, _, err := c.Undo(8); err != nil || c.Commit() != nil {
		t.Fatal(err)
	}
	c.End()
	if back, again, err := last.Steps(); err != nil || len(back) != 1 || len(again) != 8 {
		t.Errorf("shortened to %d steps back and %d again, %v", len(back), len(again), err)
	}
	if _, _, err := move(t, folder, +8); err != nil || read(t, path) != strings.Repeat("19", 500) {
		t.Errorf("redo of what was taken back: %v", err)
	}
	if _, _, err := move(t, folder, -9); err != nil {
		t.Errorf("undo of all: %v", err)
	}
}
