package main

import (
	"slices"
	"strings"
	"testing"

	"github.com/jedib0t/go-pretty/v6/text"
)

// TestDemoEndsWithACheck: the demo's last step accuses the part that its
// readings were made with, and mends it with what the plan has left over; its
// files say the same once the plan is fitted.
func TestDemoEndsWithACheck(t *testing.T) {
	t.Chdir(t.TempDir())
	var demo struct {
		Plan  struct{ Positions []struct{ Parts []string } }
		Check checkedAnswer
	}
	answered(t, &demo, "demo")
	if s := program("demo", "--write", "."); s.code != exitGood {
		t.Fatal(s.err)
	}
	if s := program("fit", "meter.json"); s.code != exitGood {
		t.Fatal(s.err)
	}
	var filed checkedAnswer
	answered(t, &filed, "check", "meter.json", "readings.csv", "--reference-limit", "0.2% + 1 count")
	for _, got := range []checkedAnswer{demo.Check, filed} {
		if got.Verdict != "fail" || len(got.Diagnosis) == 0 || got.Diagnosis[0].Cause != "multiplier 10 V" || len(got.Repair) == 0 || !*got.Repair[0].Within {
			t.Errorf("verdict %q, diagnosis %+v, repair %+v", got.Verdict, got.Diagnosis, got.Repair)
		}
		for _, r := range got.Repair {
			for _, p := range demo.Plan.Positions {
				if slices.ContainsFunc(r.Added, func(id string) bool { return slices.Contains(p.Parts, id) }) {
					t.Errorf("repair by %q, and %q are in the meter", r.Added, p.Parts)
				}
			}
		}
	}
	if demo.Check.Repair[0].Network != filed.Repair[0].Network {
		t.Errorf("repair by %s in the demo, by %s with its files", demo.Check.Repair[0].Network, filed.Repair[0].Network)
	}
}

// TestCheckFits: no answer of check is wider than 80 columns, but for the
// command that is there to be copied; and no command in it is broken.
func TestCheckFits(t *testing.T) {
	meter, readings, drawer := faulty(t)
	const circuits = "../../testdata/circuits/"
	calls := [][]string{{"check", meter, readings, "--drawer", drawer}, {"check", meter, readings, "--drawer", drawer, "--class", "0.1"},
		{"check", meter, readings, "--drawer", drawer, "--save", "--date", "2024-05-31", "--as", "found"}, {"check", meter, "--history"}}
	for _, one := range published {
		first, _, _ := strings.Cut(one.meter, ".")
		calls = append(calls, []string{"check", circuits + one.meter + ".json", circuits + one.readings + ".readings.csv", "--drawer", circuits + first + ".drawer.csv"})
	}
	for _, call := range calls {
		s := program(call...)
		if s.code == exitWrong {
			t.Fatalf("%q: %s", call, s.err)
		}
		for line := range strings.Lines(s.out) {
			line = strings.TrimRight(line, "\n")
			if strings.Contains(line, meter) || strings.HasPrefix(line, "  shuntwright ") {
				continue // the test's own folder, or a command to copy
			}
			if wide := text.StringWidth(line); wide > 80 || strings.TrimRight(line, " ") != line {
				t.Errorf("%q: %d columns: %q", call, wide, line)
			}
		}
	}
}
