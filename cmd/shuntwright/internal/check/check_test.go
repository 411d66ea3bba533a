package check

import (
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"reflect"
	"strings"
	"testing"

	"shuntwright/cmd/shuntwright/internal/asbuilt"
	"shuntwright/cmd/shuntwright/internal/asbuilt/asbuilttest"
	"shuntwright/cmd/shuntwright/internal/readings"
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
		s := asbuilttest.Open(t, file, "id,ohms\nR001,11.11\nR002,470\n", "{}")
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
		if r := answer.Repair[0]; r.Network != "R001" || r.Within == nil || !*r.Within || r.Command != `shuntwright fit meter.json "shunt 10 mA" R001` {
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

// TestColdIsNoFault: a meter without a fault that is read in the cold or in the
// heat, its coil being copper of 0.393 %/K at 20 °C (IEC 60028), is told the
// temperature before the coil is blamed, and with that nothing.
func TestColdIsNoFault(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 5))
	told := 0
	for range 30 {
		x := sicken(t, r)
		for i := range x.networks {
			x.networks[i] = fmt.Sprintf("F%d", i)
			x.truth[x.networks[i]] = x.read[x.networks[i]]
		}
		celsius := -10 + 55*r.Float64()
		x.copper = 1 + 0.00393*(celsius-20)
		doc, answer := x.judged(t, x.open(t), math.NaN())
		if answer.Verdict == "pass" {
			continue
		}
		var at *float64
		for _, d := range answer.Diagnosis {
			if at == nil {
				at = d.Celsius
			}
		}
		if at == nil && math.Abs(celsius-17) < 26 || at != nil && math.Abs(*at-celsius) > 2 {
			t.Errorf("at %.0f °C: %v\n%s", celsius, at, strings.Join(doc.BottomLine, "\n"))
		}
		if at == nil {
			continue
		}
		told++
		doc, answer = x.judged(t, x.open(t), *at)
		if said := strings.Join(doc.BottomLine, "\n"); len(answer.Diagnosis) > 0 || len(answer.Repair) > 0 || !strings.Contains(said, "nothing is faulty") {
			t.Errorf("at %.0f °C, with that: %s", celsius, said)
		}
	}
	if told < 10 {
		t.Errorf("only %d meters are told a temperature", told)
	}
}

// TestDocument: an invented voltmeter reads 0.25 V high at 10 V where it read
// true two years before: a drift of 2.5 % of full scale.
func TestDocument(t *testing.T) {
	s := asbuilttest.Open(t, `{"name": "bench", "movement": {"full_scale": "1 mA", "coil": "100 ohm"},
		"circuits": [{"circuit": "multiplier", "range": "10 V"}]}`, "id,ohms\n", "{}")
	h, err := readings.ParseHistory("bench.history.csv", []byte("visit,date,as,class,verdict,range,reference,indicated,direction,reference_limit,reading_limit\n"+
		"1,2024-05-31,left,1,pass,10 V,10 V,10 V,,0.01 V,0.02 V\n2,2026-06-01,found,1,fail,10 V,10 V,10.25 V,,0.01 V,0.02 V\n"))
	if err != nil {
		t.Fatal(err)
	}
	visits, err := h.Visits(s.Meter)
	if err != nil {
		t.Fatal(err)
	}
	doc := Document(s.Meter, "bench.history.csv", visits)
	if doc.Heading != "bench: 2 visits in bench.history.csv" || len(doc.Tables[0].Rows) != 2 || len(doc.Closing) != 1 {
		t.Errorf("%s: %d rows, %q", doc.Heading, len(doc.Tables[0].Rows), doc.Closing)
	}
	text, err := json.Marshal(doc.Answer)
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{`"date":"2024-05-31","as":"left"`, `"verdict":"fail"`, `"drift_percent":2.5,`, `"drift_limit_percent":0.`, `"since":"2024-05-31 left"`} {
		if !strings.Contains(string(text), want) {
			t.Errorf("no %s in %s", want, text)
		}
	}
	if got := strings.Count(string(text), "drift_percent"); got != 1 {
		t.Errorf("%d drifts", got)
	}
}

// TestDriftThroughASparseVisit: what a meter gained stands in the answer as sure as
// the surest visits have it, though the one between was of two points only. It is
// invented: a gain of 8 %, read up to three quarters of the scale.
func TestDriftThroughASparseVisit(t *testing.T) {
	s := asbuilttest.Open(t, `{"name": "bench", "movement": {"full_scale": "1 mA", "coil": "100 ohm"},
		"circuits": [{"circuit": "multiplier", "range": "10 V"}]}`, "id,ohms\n", "{}")
	h, err := readings.ParseHistory("bench.history.csv", []byte("visit,date,as,class,verdict,range,reference,indicated,direction,reference_limit,reading_limit\n"+
		"1,2024-05-31,left,2.5,pass,10 V,0 V,0 V,,0 V,0.04 V\n1,2024-05-31,left,2.5,pass,10 V,10 V,10 V,,0 V,0.04 V\n"+
		"2,2025-05-31,,2.5,pass,10 V,0 V,0 V,,0 V,0.04 V\n2,2025-05-31,,2.5,pass,10 V,2.5 V,2.5 V,,0 V,0.04 V\n"+
		"3,2026-05-31,found,2.5,fail,10 V,0 V,0 V,,0 V,0.04 V\n3,2026-05-31,found,2.5,fail,10 V,7.5 V,8.1 V,,0 V,0.04 V\n"))
	if err != nil {
		t.Fatal(err)
	}
	visits, err := h.Visits(s.Meter)
	if err != nil {
		t.Fatal(err)
	}
	said := strings.Join(Document(s.Meter, "bench.history.csv", visits).BottomLine, "\n")
	if want := "moved most: 10 V, +8.00 ±0.65 % from 2024-05-31 left to 2026-05-31 found"; !strings.Contains(said, want) {
		t.Errorf("%s; want %s", said, want)
	}
}
