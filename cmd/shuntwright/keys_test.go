package main

import (
	"slices"
	"strings"
	"testing"
)

// TestPointerAtRest: a pointer far from zero with nothing applied is asked about;
// what is no answer is the next line.
func TestPointerAtRest(t *testing.T) {
	for _, test := range []struct {
		lines string
		want  []string
		asks  int
	}{
		{"50\ny\n12.5\n.\n", []string{"5 mA 0 0.005", "5 mA 0.00125 0.00125"}, 1},
		{"50\n\n0.2\n12.5\n.\n", []string{"5 mA 0 2e-05", "5 mA 0.00125 0.00125"}, 1},
		{"50\n0.2\n12.5\n.\n", []string{"5 mA 0 2e-05", "5 mA 0.00125 0.00125"}, 1},
		{"-4\n4\n2.4\n12.5\n.\n", []string{"5 mA 0 0.00024", "5 mA 0.00125 0.00125"}, 2},
	} {
		s := newVisit(t).types(test.lines, "--in", "div")
		if got := firstCells(s.out); !slices.Equal(got, test.want) || strings.Count(s.err, "with nothing applied? y takes it; Enter drops it: ") != test.asks {
			t.Errorf("%q: read %q, want %q\n%s", test.lines, got, test.want, s.err)
		}
	}
}

// TestSlipAtThePrompt: a reading of another point than was asked for, and a pointer
// far from what is applied, are asked about; what was meant is not asked again.
func TestSlipAtThePrompt(t *testing.T) {
	for _, test := range []struct {
		lines string
		want  []string
		asks  []string
	}{
		{"0\n1.25 12.4\n0.755\n25\n.\n", []string{"5 mA 0 0", "5 mA 0.00125 0.00124", "5 mA 0.0025 0.0025"}, []string{"0.755 div shown with 2.5 mA applied?"}},
		{"1.25 12.4\n0\n12.5\n.\n", []string{"5 mA 0 0", "5 mA 0.00125 0.00125"}, []string{"1.25 mA applied, where 0 mA was asked for?"}},
		{"0\n30\ny\n40\n50\n.\n", []string{"5 mA 0 0", "5 mA 0.00125 0.003", "5 mA 0.0025 0.004", "5 mA 0.00375 0.005"}, []string{"30 div shown with 1.25 mA applied?"}},
		{"\n\n\n\n>\n3.5 40\n.\n", []string{"5 mA 0.0035 0.004"}, nil},
	} {
		s := newVisit(t).types(test.lines, "--in", "div")
		if got := firstCells(s.out); !slices.Equal(got, test.want) || strings.Count(s.err, "y takes it") != len(test.asks) {
			t.Errorf("%q: read %q, want %q\n%s", test.lines, got, test.want, s.err)
		}
		for _, ask := range test.asks {
			if !strings.Contains(s.err, "  "+ask+" y takes it; Enter drops it: ") {
				t.Errorf("%q: not asked %q\n%s", test.lines, ask, s.err)
			}
		}
	}
}

// TestKeys: ? says at every prompt what else can be typed.
func TestKeys(t *testing.T) {
	if s := newVisit(t).types("?\n0\n12.5\n.\n", "--in", "div"); !strings.Contains(s.err, "\n  b                       goes back one reading\n") || len(firstCells(s.out)) != 2 {
		t.Errorf("%+v", s)
	}
	t.Chdir(t.TempDir())
	if _, s := askedMeter(t, "?", "bench", "?", "1 mA", "98.6"); strings.Count(s.err, "b goes back one question; ") != 3 || !strings.Contains(s.err, `--name bench --full-scale "1 mA" --coil 98.6`) {
		t.Errorf("%+v", s)
	}
}
