package check

import (
	"fmt"
	"math"
	"reflect"
	"strings"
	"testing"

	"shuntwright/cmd/shuntwright/internal/asbuilt"
	"shuntwright/cmd/shuntwright/internal/readings"
	"shuntwright/inventory"
	"shuntwright/inventory/safefile"
	"shuntwright/meter/meterfile"
	"shuntwright/meter/quantity"
	"shuntwright/meter/reading"
)

// TestCheckup: a shunt that is not what the file says is found by the readings
// that it gives, and by Ohm's law; the drawer has the right part for it. All is
// invented.
func TestCheckup(t *testing.T) {
	const file = `{"name": "bench", "class": 1, "movement": {"full_scale": "1 mA", "coil": "100 ohm", "divisions": 100},
		"circuits": [{"circuit": "shunt", "range": "10 mA", "fitted": "11.1111 ohm"}, {"circuit": "multiplier", "range": "10 V", "fitted": "9.9 kohm"}]}`
	for _, test := range []struct {
		shunt   float64 // what it really is
		simple  bool
		verdict string
		rule    string
	}{
		{12, false, "fail", GuardedRule},
		{12, true, "fail", SimpleRule},
		{11.1111, false, "pass", GuardedRule},
	} {
		drawer, err := inventory.ParseDrawer("drawer.csv", strings.NewReader("id,ohms\nR001,11.11\nR002,470\n"))
		if err != nil {
			t.Fatal(err)
		}
		b, err := asbuilt.Measure(drawer, inventory.Instruments{})
		if err != nil {
			t.Fatal(err)
		}
		m, err := meterfile.Parse("bench.json", []byte(file))
		if err != nil {
			t.Fatal(err)
		}
		s, err := asbuilt.New(b, "bench.json", m, []byte(file), safefile.Absent)
		if err != nil {
			t.Fatal(err)
		}
		rows := "range,reference,indicated\n"
		for _, share := range []float64{0, 0.25, 0.5, 0.75, 1} {
			through := test.shunt / (test.shunt + 100) // the movement's share of the current
			rows += fmt.Sprintf("10 mA,%g mA,%.2f div\n10 V,%g,%g div\n", 10*share, 1000*share*through, 10*share, 100*share)
		}
		set, err := readings.NewReader(s.Meter, "0.1%", "").Parse("r.csv", []byte(rows))
		if err != nil {
			t.Fatal(err)
		}
		doc, answer, err := Judge(s, set, asbuilt.Asked{Class: 1, Simple: test.simple, Top: 3, AtMost: 1, Within: 0.05, Derate: 0.5}, math.NaN(), Left{}).Document(t.Context())
		if err != nil {
			t.Fatal(err)
		}
		if answer.Verdict != test.verdict || doc.Good != (test.verdict == "pass") || answer.Rule != test.rule || len(answer.Readings) != 10 {
			t.Errorf("%v ohm: %s by %q, good %v, %d readings", test.shunt, answer.Verdict, answer.Rule, doc.Good, len(answer.Readings))
		}
		if test.verdict == "pass" {
			if len(answer.Diagnosis) > 0 || len(answer.Repair) > 0 {
				t.Errorf("%+v, %+v of a meter that passes", answer.Diagnosis, answer.Repair)
			}
			continue
		}
		if d := answer.Diagnosis[0]; d.Cause != "shunt 10 mA" || d.ImpliedOhms == nil || math.Abs(*d.ImpliedOhms-test.shunt) > 0.02*test.shunt {
			t.Errorf("%+v, want the shunt at %v ohm", d, test.shunt)
		}
		if r := answer.Repair[0]; r.Network != "R001" || r.Within == nil || !*r.Within || r.Command != `shuntwright fit bench.json "shunt 10 mA" R001` {
			t.Errorf("%+v, want R001", r)
		}
		if got := quantity.Format(answer.Repair[0].Ohms, quantity.Ohm, 4); got != "11.11 Ω" {
			t.Errorf("the repair is %s", got)
		}
	}
}

// TestAlike: what a further reading could show is told apart only where it can be
// seen.
func TestAlike(t *testing.T) {
	f := &reading.Further{Alike: 0.1}
	for i, shown := range []float64{9.71, 9.72, 9.66, 9.78, 10.2, 9.75} {
		f.Predicted = append(f.Predicted, reading.Prediction{Explanation: i, Indicated: shown})
	}
	var got [][]int
	for _, like := range alike(f) {
		var one []int
		for _, p := range like {
			one = append(one, p.Explanation)
		}
		got = append(got, one)
	}
	if want := [][]int{{2, 0, 1, 5}, {3}, {4}}; !reflect.DeepEqual(got, want) {
		t.Errorf("9.66 to 9.75 look alike, as do neither 9.78 nor 10.2: %v, want %v", got, want)
	}
}
