package main

import (
	"math"
	"slices"
	"strings"
	"testing"

	"shuntwright/cmd/shuntwright/internal/check"
)

// published are the fault exercises and the faults of real circuits in
// testdata/circuits, with what the causes must come out as. The implied values
// were worked out from the circuits with exact rationals
// (testdata/circuits/README.md); tolerance is relative, for readings that are
// rounded in the source.
var published = []struct {
	meter, readings string
	verdict         string
	first           []string           // the causes of which one must come first
	implied         map[string]float64 // causes that the readings cannot tell apart, with their size
	tolerance       float64
}{
	// A fault exercise of a course: the pointer responds on the lower ranges
	// and stays at zero on the two highest; only the section between can be open.
	{"teaching-multimeter-volts", "teaching-multimeter.open-section", "fail", []string{"chain 250 V"},
		map[string]float64{"chain 250 V": math.Inf(1)}, 0},
	// A fault exercise of a lesson on universal shunts: one reading, five causes.
	{"universal-shunt-exercise", "universal-shunt-exercise", "fail", nil,
		map[string]float64{"ring 2 mA": 30, "ring 10 mA": 10.25, "ring 100 mA": 2.25, "coil": 40, "full-scale current": 0.0009}, 1e-3},
	{"universal-shunt-exercise", "universal-shunt-exercise.ring-2-ma", "fail", []string{"ring 2 mA"}, map[string]float64{"ring 2 mA": 30}, 0.005},
	{"universal-shunt-exercise", "universal-shunt-exercise.ring-10-ma", "fail", []string{"ring 10 mA"}, map[string]float64{"ring 10 mA": 10.25}, 0.005},
	{"universal-shunt-exercise", "universal-shunt-exercise.ring-100-ma", "fail", []string{"ring 100 mA"}, map[string]float64{"ring 100 mA": 2.25}, 0.005},
	{"universal-shunt-exercise", "universal-shunt-exercise.coil-or-movement", "fail", []string{"coil", "full-scale current"},
		map[string]float64{"coil": 40, "full-scale current": 0.0009}, 0.005},
	// A transmitter's meter, from a workbench page: one reading before the repair.
	{"broadcast-transmitter-meter", "broadcast-transmitter-meter.before", "fail", nil,
		map[string]float64{"swamp": 455.6666666666667, "coil": 275.6666666666667, "full-scale current": 1.716500553709856e-3,
			"shunt grid 300 mA": 0.5817711700064642}, 1e-3},
	// A valve tester whose movement has aged: all readings 10 % low.
	{"valve-tester", "valve-tester.aged", "fail", nil,
		map[string]float64{"full-scale current": 33.333333333333336e-6, "shunt 39.75 uA": 6882.35294117647}, 1e-3},
	// The accept limits of a voltmeter's movement.
	{"vtvm-movement", "vtvm-movement", "pass", nil, map[string]float64{"full-scale current": 497e-6}, 1e-3},
}

// TestPublishedFaults takes the published faults through the command.
func TestPublishedFaults(t *testing.T) {
	t.Parallel()
	const folder = "../../testdata/circuits/"
	for _, test := range published {
		t.Run(test.readings, func(t *testing.T) {
			var got checkedAnswer
			s := answered(t, &got, "check", folder+test.meter+".json", folder+test.readings+".readings.csv", "--drawer", t.TempDir()+"/none.csv")
			if got.Verdict != test.verdict || (s.code == exitGood) != (test.verdict == "pass") {
				t.Errorf("verdict %q, exit code %d, want %q", got.Verdict, s.code, test.verdict)
			}
			if len(got.Diagnosis) == 0 {
				t.Fatal("no diagnosis")
			}
			first := got.Diagnosis[0]
			if test.first != nil && !slices.Contains(test.first, first.Cause) {
				t.Errorf("%q comes first, want one of %q", first.Cause, test.first)
			}
			for cause, want := range test.implied {
				if first.Cause != cause && !slices.Contains(first.SameAs, cause) {
					t.Errorf("%q is neither first (%q) nor among what cannot be told from it, %q", cause, first.Cause, first.SameAs)
				}
				at := slices.IndexFunc(got.Diagnosis, func(d check.Diagnosed) bool { return d.Cause == cause && d.With == nil })
				if at < 0 {
					t.Errorf("%q is no cause at all", cause)
				} else if d := got.Diagnosis[at]; sizeOf(d) != want && math.Abs(sizeOf(d)/want-1) > test.tolerance || d.Open != math.IsInf(want, 1) {
					t.Errorf("%q implies %v (open %v), want %v", cause, sizeOf(d), d.Open, want)
				}
			}
		})
	}
}

// TestPublishedContradiction: two readings of one range at one reference that
// no part can give both are flagged and not averaged; source: the same
// workbench page, its "before" and "after" entered as a hasty person would.
func TestPublishedContradiction(t *testing.T) {
	const name = "../../testdata/circuits/broadcast-transmitter-meter"
	var got checkedAnswer
	answered(t, &got, "check", name+".json", name+".contradiction.readings.csv", "--drawer", t.TempDir()+"/none.csv")
	if len(got.Contradictions) != 1 || got.Contradictions[0] != (check.Contradiction{First: 1, Second: 2}) {
		t.Errorf("contradictions %v, want readings 1 and 2", got.Contradictions)
	}
	if got.Verdict != "fail" || len(got.Repair) > 0 {
		t.Errorf("verdict %q, repair %v; want fail and no repair", got.Verdict, got.Repair)
	}
	if len(got.Warnings) == 0 || !strings.Contains(got.Warnings[0], "90 mA shown at 155 mA) and reading 2 (grid 300 mA, 164 mA shown at 155 mA) contradict each other") {
		t.Errorf("warnings %q", got.Warnings)
	}
}

// TestNextReading: after the one reading of the lesson the 100 mA range tells
// its four parts apart; full scale stands at 90, 101.25, 45 and 90 mA there.
func TestNextReading(t *testing.T) {
	const name = "../../testdata/circuits/universal-shunt-exercise"
	var got checkedAnswer
	answered(t, &got, "check", name+".json", name+".readings.csv", "--drawer", t.TempDir()+"/none.csv")
	if got.Next == nil || got.Next.Range != "100 mA" {
		t.Fatalf("next reading %+v, want the 100 mA range", got.Next)
	}
	for cause, fullScaleAt := range map[string]float64{"ring 2 mA": 0.090, "ring 10 mA": 0.10125, "ring 100 mA": 0.045, "coil": 0.090} {
		want := got.Next.Reference * 0.1 / fullScaleAt
		at := slices.IndexFunc(got.Next.Predictions, func(p check.Shows) bool { return p.Cause == cause })
		if at < 0 || math.Abs(got.Next.Predictions[at].Indicated/want-1) > 1e-3 {
			t.Errorf("%s: predicted %+v, want %v", cause, got.Next.Predictions, want)
		}
	}
}
