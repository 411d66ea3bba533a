package main

import (
	"math"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"shuntwright/cmd/shuntwright/internal/check"
	"shuntwright/cmd/shuntwright/internal/predict"
)

// checkedAnswer is what check says, as far as the tests ask.
type checkedAnswer struct {
	Verdict string
	Rule    string
	Ranges  []struct {
		Range   string
		Points  int
		Error   float64 `json:"worst_error_percent"`
		Limit   float64 `json:"limit_percent"`
		Ratio   float64 `json:"class_to_limit"`
		Verdict string
	}
	Diagnosis      []check.Diagnosed
	AsPredicted    bool `json:"as_predicted"`
	Contradictions []check.Contradiction
	Next           *check.NextReading `json:"next_reading"`
	Repair         []check.Repaired
	Saved          string
	Assumptions    []string
	Warnings       []string
	Cautions       []string
}

// size is how large a cause is, in whatever unit; +Inf where it is open.
func sizeOf(d check.Diagnosed) float64 {
	for _, x := range []*float64{d.ImpliedOhms, d.ImpliedAmperes, d.ImpliedDivisions, d.ImpliedPercent} {
		if x != nil {
			return *x
		}
	}
	return math.Inf(1)
}

// A bench with a fault that the test plants: the 10 mA shunt is 5 % high.
// Invented, as are the readings, which are what the circuit shows to 0.1
// division.
const (
	faultyMeter = `{"name": "bench meter", "class": 2.5,
 "movement": {"full_scale": "1 mA", "full_scale_limit_percent": 0.2, "coil": "98.6 ohm", "coil_gain_percent": 0.1, "divisions": 50, "instrument": "bridge"},
 "circuits": [
  {"circuit": "shunt", "range": "10 mA", "fitted": "10.956 ohm"},
  {"circuit": "shunt", "range": "100 mA", "fitted": "0.9960 ohm", "circuit_volts": "300 V"},
  {"circuit": "multiplier", "range": "15 V", "fitted": "14.901 kohm"}]}
`
	faultyReadings = `range,reference,indicated,direction,reference_limit,reading_limit
10 mA,0,0 div,up,0,
10 mA,2.5,13.1 div,up,0.1%,
10 mA,5,26.1 div,up,0.1%,0.1 div
10 mA,10,52.2 div,up,0.1%,
10 mA,5,26.1 div,down,0.1%,
100 mA,50,25.0 div,,0.1%,
100 mA,100,50.0 div,,0.1%,
15 V,7.5,25.0 div,,0.1%,
`
	faultyDrawer = `id,ohms,instrument
P1,10.91,bridge
P2,240.1,bridge
P3,5.43,bridge
P4,47.2k,bridge
`
	faultyBridge = `{"bridge": {"gain_percent": 0.05, "floor": "0.5 mohm", "wires": 4}}`
)

// faulty lays out that bench and returns meter, readings and drawer.
func faulty(t *testing.T) (meter, readings, drawer string) {
	dir := t.TempDir()
	put(t, dir, "instruments.json", faultyBridge)
	return put(t, dir, "bench.json", faultyMeter), put(t, dir, "readings.csv", faultyReadings), put(t, dir, "drawer.csv", faultyDrawer)
}

// TestCheckToRepair: from readings to the resistor and the part of the drawer.
func TestCheckToRepair(t *testing.T) {
	meter, readings, drawer := faulty(t)
	var got checkedAnswer
	if s := answered(t, &got, "check", meter, readings, "--drawer", drawer); s.code != exitPoor {
		t.Errorf("exit code %d, want %d", s.code, exitPoor)
	}
	if got.Verdict != "fail" || got.Ranges[0].Verdict != "fail" || got.Ranges[1].Verdict != "pass" || got.Ranges[2].Verdict != "pass" {
		t.Errorf("verdicts %q, %+v", got.Verdict, got.Ranges)
	}
	if len(got.Diagnosis) == 0 || got.Diagnosis[0].Cause != "shunt 10 mA" {
		t.Fatalf("diagnosis %+v", got.Diagnosis)
	}
	d := got.Diagnosis[0]
	// The circuit that shows 52.2 of 50 divisions: I·Rs/(Rs+Rm) = 1.044 mA.
	if want := 98.6 / (10/1.044 - 1); math.Abs(*d.ImpliedOhms-want) > *d.LimitOhms || !(*d.LimitOhms < 0.1) || *d.FromOhms != 10.956 {
		t.Errorf("implied %v ± %v from %v, want %v from 10.956", *d.ImpliedOhms, *d.LimitOhms, *d.FromOhms, want)
	}
	if len(got.Repair) != 2 {
		t.Fatalf("repair %+v, want two ways", got.Repair)
	}
	for i, want := range []struct{ action, parts string }{{"replace", "P1"}, {"trim", "P2"}} {
		r := got.Repair[i]
		if r.Position != "shunt 10 mA" || r.Action != want.action || strings.Join(r.Parts, " ") != want.parts || !*r.Within {
			t.Errorf("repair %d: %+v, want %s by %s", i, r, want.action, want.parts)
		}
		// The readings afterwards, from the circuit's own equation.
		for _, p := range r.Predicted {
			shows := p.Reference * r.Ohms / (r.Ohms + 98.6) * 10
			if p.Range != "10 mA" || p.Unit != "A" || math.Abs(p.Indicated-shows) > 1e-6 || math.Abs(p.Error-100*(p.Indicated-p.Reference)/0.01) > 1e-9 {
				t.Errorf("predicted %+v, want %v", p, shows)
			}
		}
		if len(r.Predicted) != 5 {
			t.Errorf("%d predicted readings, want those of the range, 5", len(r.Predicted))
		}
	}
	if trim := got.Repair[1].Network; !strings.HasPrefix(trim, "11.") || !strings.HasSuffix(trim, " ohm || P2") {
		t.Errorf("network %q", trim)
	}
	// The exact next command leaves the meter true.
	for _, r := range got.Repair {
		fit := words(r.Command)
		if s := program(append(fit[1:], "--drawer", drawer)...); s.code != exitGood {
			t.Fatalf("%q: %s", r.Command, s.err)
		}
		var after predict.Answer
		answered(t, &after, "predict", meter, "--drawer", drawer)
		if e := *after.Ranges[0].FullScaleError; math.Abs(e-r.Ranges[0].Error) > 1e-9 || math.Abs(e) > 1 {
			t.Errorf("predict says %v %% after it, check said %v %%", e, r.Ranges[0].Error)
		}
	}
	if len(got.Cautions) != 1 {
		t.Errorf("cautions %q", got.Cautions)
	}
}

// TestAsPredicted: a meter that reads just as its file predicts is repaired
// where the file itself is off, and the file's measured value is trimmed.
func TestAsPredicted(t *testing.T) {
	_, readings, drawer := faulty(t)
	meter := put(t, t.TempDir(), "off.json", strings.Replace(faultyMeter, "10.956 ohm", "11.493 ohm", 1))
	var got checkedAnswer
	answered(t, &got, "check", meter, readings, "--drawer", drawer)
	if got.Verdict != "fail" || !got.AsPredicted || len(got.Repair) != 2 || got.Repair[0].Network != "11.493 ohm || P2" {
		t.Errorf("verdict %q, as predicted %v, diagnosis %+v, repair %+v", got.Verdict, got.AsPredicted, got.Diagnosis, got.Repair)
	}
	s := program("check", meter, readings, "--drawer", drawer)
	if !strings.Contains(plainText(s.out), "what it says is fitted is itself off, at shunt 10 mA (11.49 Ω, and should be 10.96 Ω)") {
		t.Errorf("it does not name the position:\n%s", s.out)
	}
	if strings.Contains(s.out, "no single cause") {
		t.Errorf("it accuses nobody and says that it cannot:\n%s", s.out)
	}

	// Two positions that are off by the file, the smaller part of the drawer
	// being good for neither.
	two := strings.Replace(strings.Replace(faultyMeter, "10.956 ohm", "11.493 ohm", 1), "14.901 kohm", "15.7 kohm", 1)
	low := strings.Replace(faultyReadings, "15 V,7.5,25.0 div", "15 V,15,47.47 div", 1)
	meter, readings = put(t, t.TempDir(), "two.json", two), put(t, t.TempDir(), "r.csv", low)
	got = checkedAnswer{}
	answered(t, &got, "check", meter, readings, "--drawer", put(t, filepath.Dir(drawer), "two.csv", faultyDrawer+"P5,300k,bridge\n"))
	var named []string
	for _, r := range got.Repair {
		named = append(named, r.Position+" "+r.Network)
	}
	if !got.AsPredicted || !slices.Contains(named, "shunt 10 mA 11.493 ohm || P2") || !slices.Contains(named, "multiplier 15 V 15.7 kohm || P5") {
		t.Errorf("as predicted %v, repair %q", got.AsPredicted, named)
	}
}

// TestHealthy: readings that agree with the class and the file accuse nobody.
func TestHealthy(t *testing.T) {
	meter, _, drawer := faulty(t)
	readings := put(t, t.TempDir(), "r.csv", "range,reference,indicated\n10 mA,5,25 div\n10 mA,10,50 div\n100 mA,100,50 div\n15 V,15,50.1 div\n")
	for _, test := range []struct {
		more []string
		rule string
	}{{nil, check.GuardedRule}, {[]string{"--simple"}, check.SimpleRule}} {
		var got checkedAnswer
		s := answered(t, &got, append([]string{"check", meter, readings, "--drawer", drawer}, test.more...)...)
		if s.code != exitGood || got.Verdict != "pass" || got.Diagnosis != nil || got.Repair != nil || got.Rule != test.rule {
			t.Errorf("%q: exit code %d, %+v", test.more, s.code, got)
		}
	}
	// Without a class there is no verdict, and it is good where nothing is wrong.
	bare := put(t, t.TempDir(), "bare.json", strings.Replace(faultyMeter, `"class": 2.5,`, "", 1))
	var got checkedAnswer
	if s := answered(t, &got, "check", bare, readings, "--drawer", drawer); s.code != exitGood || got.Verdict != "" || got.Rule != "" {
		t.Errorf("no class: exit code %d, %+v", s.code, got)
	}
	_, wrong, _ := faulty(t)
	if s := answered(t, &got, "check", bare, wrong, "--drawer", drawer); s.code != exitPoor || got.Verdict != "" || len(got.Repair) == 0 {
		t.Errorf("no class, and something wrong: exit code %d, %+v", s.code, got)
	}
}

// TestVerdictEdges: the guard band at its edges, by the rule of command-line
// use: ±0.2 of 50 divisions is ±0.4 %, times 1.65/√3 as one rectangle.
func TestVerdictEdges(t *testing.T) {
	meter, _, drawer := faulty(t)
	limit := 1.65 * 0.4 / math.Sqrt(3)
	readings := put(t, t.TempDir(), "r.csv", "range,reference,indicated\n10 mA,10,51 div\n")
	for _, test := range []struct {
		class   float64
		verdict string
		more    string
	}{
		{2 + limit + 1e-6, "pass", ""}, {2 + limit - 1e-6, "undecided", ""}, {2 - limit + 1e-6, "undecided", ""}, {2 - limit - 1e-6, "fail", ""},
		{2, "pass", "--simple"}, {1.999999, "fail", "--simple"},
	} {
		var got checkedAnswer
		call := []string{"check", meter, readings, "--drawer", drawer, "--class", formatted(test.class)}
		if test.more != "" {
			call = append(call, test.more)
		}
		s := answered(t, &got, call...)
		if got.Verdict != test.verdict || (s.code == exitGood) != (test.verdict == "pass") || math.Abs(got.Ranges[0].Limit-limit) > 1e-12 {
			t.Errorf("class %v %s: %q ± %v, exit code %d, want %q", test.class, test.more, got.Verdict, got.Ranges[0].Limit, s.code, test.verdict)
		}
	}
}

// formatted writes a number with every digit.
func formatted(x float64) string { return strings.TrimSuffix(strconv.FormatFloat(x, 'f', -1, 64), ".") }

// TestCheckFieldNames pins every field of check's JSON: what stands here is
// what scripts of other people rely on.
func TestCheckFieldNames(t *testing.T) {
	meter, readings, drawer := faulty(t)
	const circuits = "../../testdata/circuits/"
	for _, test := range []struct {
		call []string
		want string
	}{
		{[]string{meter, readings, "--save", "--date", "2024-05-31", "--drawer", drawer}, `
			assumptions cautions class diagnosis diagnosis[].cause diagnosis[].difference_percent diagnosis[].explains
			diagnosis[].from_amperes diagnosis[].from_ohms diagnosis[].implied_amperes diagnosis[].implied_divisions
			diagnosis[].implied_celsius diagnosis[].implied_limit_amperes diagnosis[].implied_limit_divisions diagnosis[].implied_limit_ohms
			diagnosis[].implied_ohms diagnosis[].same_as diagnosis[].score meter notes ranges ranges[].class_to_limit
			ranges[].coverage_factor ranges[].full_scale_error_percent ranges[].full_scale_limit_percent ranges[].gain_percent ranges[].limit_percent ranges[].linearity_percent ranges[].points
			ranges[].range ranges[].up_down_percent ranges[].verdict ranges[].worst_error_percent ranges[].zero_percent readings
			readings[].coverage_factor readings[].direction readings[].error_percent readings[].indicated readings[].limit_percent
			readings[].range readings[].reading_limit readings[].reference readings[].reference_limit readings[].unit
			readings[].verdict repair repair[].action repair[].added repair[].command repair[].limit_percent repair[].network repair[].ohms repair[].parts
			repair[].pieces repair[].pieces[].as_typed repair[].pieces[].ohms repair[].pieces[].part repair[].pieces[].volts repair[].pieces[].watts
			repair[].position repair[].predicted repair[].predicted[].direction repair[].predicted[].error_percent
			repair[].predicted[].indicated repair[].predicted[].limit_percent repair[].predicted[].range repair[].predicted[].reference repair[].predicted[].unit
			repair[].ranges repair[].ranges[].full_scale_error_percent repair[].ranges[].limit_percent repair[].ranges[].range
			repair[].ranges[].verdict repair[].within_class repair[].worst_full_scale_error_percent rule saved verdict`},
		{[]string{circuits + "universal-shunt-exercise.json", circuits + "universal-shunt-exercise.readings.csv", "--top", "1", "--drawer", drawer + ".none"}, `
			assumptions class diagnosis diagnosis[].cause diagnosis[].difference_percent diagnosis[].explains diagnosis[].from_ohms
			diagnosis[].implied_limit_ohms diagnosis[].implied_ohms diagnosis[].same_as diagnosis[].score meter next_reading
			next_reading.predictions next_reading.predictions[].cause next_reading.predictions[].indicated next_reading.range
			next_reading.reference next_reading.unit notes ranges ranges[].class_to_limit ranges[].coverage_factor
			ranges[].full_scale_error_percent ranges[].full_scale_limit_percent ranges[].limit_percent ranges[].points ranges[].range ranges[].verdict ranges[].worst_error_percent readings
			readings[].coverage_factor readings[].error_percent readings[].indicated readings[].limit_percent readings[].range
			readings[].reading_limit readings[].reference readings[].reference_limit readings[].unit readings[].verdict rule
			verdict warnings`},
		{[]string{meter, "--history"}, `
			cautions file meter visits visits[].class visits[].date visits[].ranges visits[].ranges[].class_to_limit
			visits[].ranges[].coverage_factor visits[].ranges[].full_scale_error_percent visits[].ranges[].full_scale_limit_percent visits[].ranges[].gain_percent visits[].ranges[].limit_percent
			visits[].ranges[].linearity_percent visits[].ranges[].points visits[].ranges[].range visits[].ranges[].up_down_percent
			visits[].ranges[].verdict visits[].ranges[].worst_error_percent visits[].ranges[].zero_percent visits[].verdict visits[].visit`},
	} {
		wantFields(t, test.want, append([]string{"check"}, test.call...)...)
	}
}
