package safefile

import (
	"path/filepath"
	"slices"
	"testing"
	"time"
)

// TestSince: what a file held before each change since a time; what was taken back
// is none, and where somebody edited it nothing is known.
func TestSince(t *testing.T) {
	folder := t.TempDir()
	path, other := filepath.Join(folder, "m.json"), filepath.Join(folder, "drawer.csv")
	var at []time.Time
	for _, text := range []string{"one", "two", "three"} {
		at = append(at, time.Now())
		if err := journal(t, folder, "write "+text).change(path, text, other, "parts of "+text); err != nil {
			t.Fatal(err)
		}
	}
	at = append(at, time.Now())
	since := func(data string, at time.Time, want ...string) {
		t.Helper()
		found, err := journal(t, folder, "").Since(path, []byte(data), at)
		var got []string
		for _, e := range found {
			got = append(got, e.Did+" on "+string(e.Held))
		}
		if err != nil || !slices.Equal(got, want) {
			t.Errorf("%q, %v; want %q", got, err, want)
		}
	}
	since("three", at[0], "write three on two", "write two on one", "write one on ")
	since("three", at[1], "write three on two", "write two on one")
	since("three", at[3])
	if _, err := journal(t, folder, "").Since(path, []byte("by hand"), at[1]); err == nil {
		t.Error("of a file that was edited by hand nothing is known")
	}
	c, err := journal(t, folder, "undo").Begin(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	defer c.End()
	if _, _, err = c.Undo(1); err == nil {
		err = c.Commit()
	}
	if err != nil {
		t.Fatal(err)
	}
	since("two", at[2])
	since("two", at[1], "write two on one")
}
