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
	do(t, "demo --write .")
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
	do(t, "demo --write .")
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

// TestInstrumentAssumed: an answer says that resistances of the meter file were
// read with the movement's instrument, and which limits rest on that an
// instrument errs alike on all its ranges: those of shunts whose coil it read,
// not those of multipliers, nor where another instrument read the shunt.
func TestInstrumentAssumed(t *testing.T) {
	dir := t.TempDir()
	instruments := put(t, dir, "instruments.json", `{"bridge": {"gain_percent": 0.1, "floor": "1 mohm"}, "pocket": {"gain_percent": 0.8, "floor": "1 mohm"}}`)
	drawer := put(t, dir, "drawer.csv", "id,ohms,instrument\nA,10.95,bridge\nB,10.95,pocket\nC,9.9k,bridge\n")
	const alike = "an instrument errs alike on all its ranges"
	for _, c := range []struct {
		shunt, volts  string
		written, near bool
	}{
		{"A", "C", false, true}, {"B", "C", false, false}, {"10.95 ohm", "C", true, true}, {"B", "9.9 kohm", true, false},
	} {
		meter := put(t, t.TempDir(), "m.json", `{"movement": {"full_scale": "1 mA", "coil": "98.6 ohm", "instrument": "bridge"}, "circuits": [
			{"circuit": "shunt", "range": "10 mA", "fitted": "`+c.shunt+`"}, {"circuit": "multiplier", "range": "10 V", "fitted": "`+c.volts+`"}]}`)
		text := plainText(program("predict", meter, "--drawer", drawer, "--instruments", instruments).out)
		if got := strings.Contains(text, `resistances in the file were read with "bridge" (fit --instrument)`); got != c.written {
			t.Errorf("%s and %s: written %v, want %v: %s", c.shunt, c.volts, got, c.written, text)
		}
		if got := strings.Contains(text, alike); got != c.near || got && !strings.Contains(text, "; matters most on 10 mA assumed") {
			t.Errorf("%s and %s: alike %v, want %v: %s", c.shunt, c.volts, got, c.near, text)
		}
	}
	meter := put(t, t.TempDir(), "m.json", `{"movement": {"full_scale": "1 mA", "coil": "98.6 ohm"}, "circuits": [{"circuit": "shunt", "range": "10 mA"}]}`)
	if s := program("fit", meter, "10 mA", "11 5%", "--drawer", drawer, "--instruments", instruments); s.code != exitWrong || !strings.Contains(s.err, "drawer add --nominal 4M --tolerance 5 --id NAME, then fit NAME") {
		t.Errorf("%+v", s)
	}
}
