package main

import (
	"os"
	"strings"
	"testing"
)

// TestAnswersAreShort: what the README's commands answer is what a bench needs,
// and its first lines say what to do.
func TestAnswersAreShort(t *testing.T) {
	readme, err := os.ReadFile("../../README.md")
	if err != nil {
		t.Fatal(err)
	}
	for _, test := range []struct {
		call  string
		most  int // lines
		first []string
	}{
		{"plan bench.json", 25, []string{"all 4 ranges within class 2.5", "8 parts to solder in 4 positions", "proven"}},
		{"check bench.json readings.csv", 35, []string{"FAIL", "outside: 10 V, -4.00", "to blame: multiplier 10 V", "repair: replace multiplier 10 V by R010 + R011"}},
		{`fit bench.json "multiplier 10 V"`, 10, []string{"multiplier 10 V now holds R010 + R011; 10 V reads", "all 4 ranges within class 2.5", "free again: R003, R012"}},
	} {
		_, rest, found := strings.Cut(string(readme), "$ shuntwright "+test.call)
		if !found {
			t.Fatalf("the README has no %s", test.call)
		}
		_, said, _ := strings.Cut(rest, "\n")
		said, _, _ = strings.Cut(said, "\n```")
		said, _, _ = strings.Cut(said, "\n$ ")
		lines := strings.Split(said, "\n")
		if len(lines) > test.most {
			t.Errorf("%s: %d lines, more than %d", test.call, len(lines), test.most)
		}
		for _, want := range test.first {
			if first := strings.Join(lines[:5], "\n"); !strings.Contains(first, want) {
				t.Errorf("%s: no %q in its first five lines:\n%s", test.call, want, first)
			}
		}
		if !strings.HasPrefix(lines[len(lines)-1], "next: shuntwright ") {
			t.Errorf("%s ends with %q", test.call, lines[len(lines)-1])
		}
	}
}
