package table

import (
	"strings"
	"testing"
)

func TestGuard(t *testing.T) {
	for text, want := range map[string]string{
		"": "", "tin A": "tin A", "-5": "-5", "+50": "+50", "-5,3": "-5,3", "5-3": "5-3", "'quoted'": "'quoted'", "1e3": "1e3",
		"=1+2": "'=1+2", "+cmd": "'+cmd", "-a": "'-a", "@SUM(A1)": "'@SUM(A1)", "'=1": "''=1", "''-x": "'''-x", "-Inf": "'-Inf", "+0x1p2": "'+0x1p2", "-5e-3": "-5e-3", "-": "'-", "-5 V": "'-5 V", "'-5": "''-5",
	} {
		if got := Guard(text); got != want || Unguard(got) != text {
			t.Errorf("%q: %q, read back as %q; want %q", text, got, Unguard(got), want)
		}
	}
	for _, cell := range []string{"'", "''", "'quoted'", "=1+2"} {
		if got := Unguard(cell); got != cell {
			t.Errorf("%q is read as %q", cell, got)
		}
	}
}

// FuzzGuard: every text comes back, and no cell that is no number begins as a
// formula does.
func FuzzGuard(f *testing.F) {
	for _, text := range []string{"=1", "'=1", "''", "'-5", "-5", "@", "+1+1"} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		cell := Guard(text)
		if Unguard(cell) != text || cell != text && cell != "'"+text {
			t.Fatalf("%q is written as %q and read as %q", text, cell, Unguard(cell))
		}
		if cell != "" && strings.Contains("=@", cell[:1]) {
			t.Fatalf("%q is written as %q", text, cell)
		}
	})
}
