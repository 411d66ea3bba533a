package main

import (
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/jedib0t/go-pretty/v6/text"

	"shuntwright/cmd/shuntwright/internal/check"
)

// A meter with three drifted resistors in two circuits, and its readings,
// worked out from the circuits: invented. The ring's 10 mA section is 5 %
// high, the chain's 50 V section 4.5 % and its 250 V section 30 %.
const (
	driftedMeter = `{"name": "drifted", "movement": {"full_scale": "50 uA", "coil": "1985 ohm", "divisions": 50}, "class": 3, "circuits": [
{"circuit": "ring", "ranges": ["1 mA", "10 mA", "100 mA"], "fitted": {"1 mA": "O1", "10 mA": "O2", "100 mA": "O3"}},
{"circuit": "shunt", "range": "1 A", "fitted": "O4"},
{"circuit": "chain", "ranges": ["2.5 V", "10 V", "50 V", "250 V"], "fitted": {"2.5 V": "O5", "10 V": "O6", "50 V": "O7", "250 V": "O8"}}]}`
	driftedReadings = `range,reference,indicated
1 mA,0.2,10.0 div
1 mA,0.6,30.1 div
1 mA,1.0,50.2 div
10 mA,2.0,10.4 div
10 mA,6.0,31.3 div
10 mA,9.5,49.6 div
100 mA,20,10.0 div
100 mA,60,30.0 div
100 mA,100,50.0 div
1 A,0.2,10.0 div
1 A,0.6,30.0 div
1 A,1.0,50.0 div
2.5 V,0.5,10.0 div
2.5 V,1.5,30.0 div
2.5 V,2.5,50.0 div
10 V,2,10.0 div
10 V,6,30.0 div
10 V,10,50.0 div
50 V,10,9.7 div
50 V,30,29.0 div
50 V,50,48.3 div
250 V,50,8.0 div
250 V,150,24.1 div
250 V,250,40.1 div
`
	driftedDrawer = `id,ohms,instrument,gain_percent,floor_ohms,nominal,tolerance_percent,watts,volts,tempco_ppm,kind,place,note,fitted
O1,94.026,,0.1,0.0001,,,1,500,,,in the meter,,
O2,9.4026,,0.1,0.0001,,,1,500,,,in the meter,,
O3,1.0447,,0.1,0.0001,,,1,500,,,in the meter,,
O4,0.099255,,0.1,0.0001,,,1,500,,,in the meter,,
O5,48.015k,,0.1,0.0001,,,1,500,,,in the meter,,
O6,150.00k,,0.1,0.0001,,,1,500,,,in the meter,,
O7,800.0k,,0.1,0.0001,,,1,500,,,in the meter,,
O8,4.000M,,0.1,0.0001,,,1,500,,,in the meter,,
D1,9.41,,0.1,0.0001,,,1,,,,,,
D2,801.0k,,0.1,1,,,1,500,,,,,
D3,4.010M,,0.1,1,,,1,500,,,,,
`
)

// TestSeveralToRepair: three faults at once are each found, and each repaired.
func TestSeveralToRepair(t *testing.T) {
	dir := t.TempDir()
	meter, readings, drawer := put(t, dir, "drifted.json", driftedMeter), put(t, dir, "readings.csv", driftedReadings), put(t, dir, "drawer.csv", driftedDrawer)
	var got checkedAnswer
	answered(t, &got, "check", meter, readings, "--drawer", drawer)
	if len(got.Diagnosis) == 0 {
		t.Fatal("no diagnosis")
	}
	causes := append([]check.Diagnosed{got.Diagnosis[0]}, got.Diagnosis[0].With...)
	if len(causes) != 3 {
		t.Fatalf("%d causes, want 3: %+v", len(causes), causes)
	}
	for i, want := range []struct {
		cause string
		ohms  float64
	}{{"ring 10 mA", 9.4026 * 1.05}, {"chain 50 V", 836e3}, {"chain 250 V", 5.2e6}} {
		if d := causes[i]; d.Cause != want.cause || !d.Explains || len(d.Unexplained) > 0 || math.Abs(*d.ImpliedOhms-want.ohms) > *d.LimitOhms {
			t.Fatalf("%+v, want %+v", d, want)
		}
	}
	replaced := map[string]string{}
	for _, r := range got.Repair {
		if r.Action == "replace" && *r.Within {
			replaced[r.Position] = strings.Join(r.Parts, " ")
		}
	}
	if replaced["ring 10 mA"] != "D1" || replaced["chain 50 V"] != "D2" || replaced["chain 250 V"] != "D3" {
		t.Errorf("repairs %+v", got.Repair)
	}
	text := program("check", meter, readings, "--drawer", drawer).out
	for _, want := range []string{"to blame: ring 10 mA is", "3 together do", "and chain 250 V is"} {
		if strings.Count(text, want) != 1 {
			t.Errorf("%q does not stand there once:\n%s", want, text)
		}
	}
}

// TestMisreadRange: readings of one range that lie on no line are named, and
// what is wrong with the others is found and repaired all the same.
func TestMisreadRange(t *testing.T) {
	dir := t.TempDir()
	meter, drawer := put(t, dir, "drifted.json", driftedMeter), put(t, dir, "drawer.csv", driftedDrawer)
	readings := put(t, dir, "readings.csv", strings.Replace(driftedReadings, "1 A,0.6,30.0 div", "1 A,0.6,35.0 div", 1))
	var got checkedAnswer
	answered(t, &got, "check", meter, readings, "--drawer", drawer)
	if len(got.Diagnosis) == 0 || len(got.Repair) == 0 {
		t.Fatalf("%+v", got)
	}
	if d := got.Diagnosis[0]; d.Cause != "ring 10 mA" || d.Explains || strings.Join(d.Unexplained, " ") != "1 A" || len(d.With) != 2 {
		t.Errorf("%+v", d)
	}
	text := program("check", meter, readings, "--drawer", drawer, "--full").out
	if !strings.Contains(text, "not 1 A") || !strings.Contains(text, "readings of 1 A lie on no straight line") {
		t.Errorf("%s", text)
	}
}

// TestNothingLeftToJudge: where contradictions leave no reading, nothing is
// said of causes that were never tried.
func TestNothingLeftToJudge(t *testing.T) {
	dir := t.TempDir()
	meter := put(t, dir, "drifted.json", driftedMeter)
	readings := put(t, dir, "readings.csv", "range,reference,indicated\n10 V,5,20 div\n10 V,5,40 div\n")
	text := strings.Join(strings.Fields(program("check", meter, readings, "--drawer", put(t, dir, "drawer.csv", driftedDrawer)).out), " ")
	if strings.Contains(text, "no two causes together") || strings.Count(text, "no reading is left") != 1 {
		t.Errorf("%s", text)
	}
}

// TestOffEnough: of two positions that are off by the file only that is named and
// repaired which puts its range beyond the class, not that of a tenth of a percent
// on a range that a poor reference leaves undecided.
func TestOffEnough(t *testing.T) {
	_, _, drawer := faulty(t)
	meter := put(t, t.TempDir(), "off.json", strings.Replace(strings.Replace(faultyMeter, "10.956 ohm", "10.967 ohm", 1), "0.9960 ohm", "1.0600 ohm", 1))
	readings := put(t, t.TempDir(), "r.csv", "range,reference,indicated,reference_limit\n10 mA,10,50.05 div,3%\n100 mA,100,53.2 div,0.1%\n15 V,15,50.0 div,0.1%\n")
	var got checkedAnswer
	answered(t, &got, "check", meter, readings, "--drawer", drawer)
	if !got.AsPredicted || got.Ranges[0].Verdict != "undecided" || got.Ranges[1].Verdict != "fail" || len(got.Repair) == 0 {
		t.Fatalf("as predicted %v, %+v, repair %+v", got.AsPredicted, got.Ranges, got.Repair)
	}
	for _, r := range got.Repair {
		if r.Position != "shunt 100 mA" {
			t.Errorf("repair %+v", r)
		}
	}
	if s := program("check", meter, readings, "--drawer", drawer); !strings.Contains(s.out, "off, at shunt 100 mA (") || strings.Contains(s.out, "shunt 10 mA (") {
		t.Errorf("off is shunt 100 mA alone:\n%s", s.out)
	}
}

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
	do(t, "demo --write .", "fit meter.json")
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
