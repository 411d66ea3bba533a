package main

import (
	"encoding/json"
	"slices"
	"strings"
	"testing"
)

// limitless are the errors that cannot have a limit beside them, and why.
var limitless = map[string]string{
	"buy.worst_full_scale_error_percent":  "at the nominal values of parts that nobody has measured; tolerance_percent stands beside it",
	"why_outside[].nearest.error_percent": "of a network that is not taken; what counts is that it is too far off",
	"leakage[].error_percent":             "an order of magnitude: published parameters of a diode differ by factors",
}

// TestLimitBesideEveryError walks the answers of all commands: an error in
// percent has its limit beside it, or is known to have none.
func TestLimitBesideEveryError(t *testing.T) {
	t.Chdir(t.TempDir())
	if s := program("demo", "--write", "."); s.code != exitGood {
		t.Fatal(s.err)
	}
	put(t, ".", "r.csv", "range,reference,indicated\ngrid 5 mA,5 mA,5.2 mA\ngrid 5 mA,2.5 mA,2.6 mA\nscreen 50 mA,50 mA,50 mA\n")
	met := map[string]int{}
	for _, line := range []string{
		"demo", "drawer list", "pick 24.65", "pick 24.65 --sure", "pick 24.65 --enough measured", "targets meter.json",
		"plan meter.json", "plan meter.json --sure", "plan meter.json --enough measured", "plan meter.json --class 0.73 --buy 1", "meter show meter.json",
		"fit meter.json", "predict meter.json", "predict meter.json --temperature 40C --source-ohms 1k --ratings --budget --trials 20000 --sensitivity",
		"predict meter.json --from 0C --to 45C", "check meter.json r.csv", "protect meter.json --supply 300V --source-ohms 1k",
		`unfit meter.json "multiplier 10 V"`, `fit meter.json "multiplier 10 V" "21 kohm"`, "plan meter.json --trim", "fit meter.json --trim --class 2",
	} {
		s := program(append(words(line), "--format", "json")...)
		if s.code == exitWrong {
			t.Fatalf("%s: %s", line, s.err)
		}
		var answer any
		if err := json.Unmarshal([]byte(s.out), &answer); err != nil {
			t.Fatalf("%s: %v", line, err)
		}
		wantLimits(t, line, "", answer, met)
	}
	if met["beside"] < 100 || len(met) < 1+len(limitless) {
		t.Errorf("met %v: errors of too few kinds", met)
	}
}

// wantLimits looks for errors in percent without their limit.
func wantLimits(t *testing.T, line, path string, value any, met map[string]int) {
	switch v := value.(type) {
	case []any:
		for _, one := range v {
			wantLimits(t, line, path+"[]", one, met)
		}
	case map[string]any:
		for name, one := range v {
			below := strings.TrimPrefix(path+"."+name, ".")
			wantLimits(t, line, below, one, met)
			if !strings.HasSuffix(name, "error_percent") {
				continue
			}
			_, beside := v["limit_percent"]
			below = strings.TrimPrefix(below, "check.") // in demo's answer
			_, none := limitless[below]
			switch {
			case beside && !none:
				met["beside"]++
			case none && !beside:
				met[below]++
			default:
				t.Errorf("%s: %s, limit beside it: %v", line, below, beside)
			}
		}
	}
}

// TestLimitBesideInTables: a column of errors has one of limits in the same
// table, wherever an answer shows one.
func TestLimitBesideInTables(t *testing.T) {
	t.Chdir(t.TempDir())
	if s := program("demo", "--write", "."); s.code != exitGood {
		t.Fatal(s.err)
	}
	for _, test := range []struct{ line, tables string }{
		{"pick 24.65", "choices"},
		{"plan meter.json", "positions ranges fewer-parts"},
		{"plan meter.json --trim", "positions ranges"},
		{"fit meter.json", "ranges"},
		{"predict meter.json --from 0C --to 45C --source-ohms 1k", "ranges positions temperature loading"},
	} {
		for _, name := range strings.Fields(test.tables) {
			s := program(append(words(test.line), "--format", "csv", "--table", name)...)
			head, _, _ := strings.Cut(s.out, "\n")
			if columns := strings.Split(head, ","); s.code == exitWrong || !slices.Contains(columns, "limit_percent") {
				t.Errorf("%s: table %s has %s %s", test.line, name, head, s.err)
			}
		}
	}
}
