package asbuilt_test

import (
	"math"
	"strings"
	"testing"

	"shuntwright/cmd/shuntwright/internal/asbuilt"
	"shuntwright/cmd/shuntwright/internal/asbuilt/asbuilttest"
	"shuntwright/match"
	"shuntwright/meter/wiring"
)

// coupledBench is an invented meter whose parts move several ranges at once,
// measured with two instruments and with limits of their own.
const (
	coupledBench = `{"name": "multi", "class": 2.5,
 "movement": {"full_scale": "1 mA", "full_scale_limit_percent": 0.3, "coil": "98.6 ohm", "instrument": "hand meter"},
 "circuits": [
  {"circuit": "ring", "ranges": ["3 mA", "10 mA", "30 mA"], "fitted": {"3 mA": "34.5 ohm", "10 mA": "S1 || S2", "30 mA": "4.93 ohm"}},
  {"circuit": "chain", "ranges": ["3 V", "15 V"], "fitted": {"3 V": "C1", "15 V": "12.0 kohm"}},
  {"circuit": "shunt", "range": "50 mA"}]}`
	coupledDrawer = `id,ohms,instrument,gain_percent,floor_ohms
S1,11.9,hand meter,,
S2,57.5,,0.4,0.05
C1,2.901k,bridge,,
`
	coupledInstruments = `{"hand meter": {"gain_percent": 0.8, "counts": 1}, "bridge": {"gain_percent": 0.05, "floor": "0.5 mohm", "wires": 4}}`
)

// Invented parts of two instruments and of none, with limits of their own or
// without.
const (
	sampleDrawer = `id,ohms,instrument,gain_percent,floor_ohms
R001,10.91,,,
R002,1.004,bridge,0.1,0.001
R003,13.40,,,
R004,14.9k,,,
`
	sampleInstruments = `{"bridge": {"gain_percent": 0.05, "floor": "0.5 mohm", "wires": 4}}`
)

// TestLeastLimit: no network of a drawer is known better than that, and the
// best known one not much worse where all parts share one instrument.
func TestLeastLimit(t *testing.T) {
	b := asbuilttest.Bench(t, sampleDrawer, sampleInstruments)
	for _, test := range []struct {
		chosen []int
		parts  int
		want   float64 // percent
		kept   []asbuilt.Leaf
	}{
		{[]int{0, 2, 3}, 1, 0.8 * 1.65 / math.Sqrt(3), nil},
		{[]int{0, 2, 3}, 4, 0.8 * 1.65 / math.Sqrt(3), nil}, // one instrument, however many parts
		{[]int{1}, 1, 0.1 * 1.65 / math.Sqrt(3), nil},
		{[]int{0, 1}, 2, 0.1 / math.Sqrt(1+1./64) * 1.65 / math.Sqrt(3), nil}, // 1 part in 65 of it from the one at 0.8 %
		{[]int{1}, 1, 0.1 / math.Sqrt(1+1./64) * 1.65 / math.Sqrt(3), []asbuilt.Leaf{{"24 ohm", b.Measured[0]}}},
	} {
		if got := 100 * b.LeastLimit(test.chosen, test.kept, test.parts); math.Abs(got-test.want) > 1e-12 {
			t.Errorf("parts %v, at most %d: %v %%, want %v", test.chosen, test.parts, got, test.want)
		}
	}
}

// TestRatings: what the search lets through a part. A resistor bears the
// current at which it takes its rated dissipation, P = I²·R, but never more
// than its limiting element voltage drives: above the critical resistance that
// decides (IEC 60115-1, terms). The derating is of the watts alone: a voltage
// is no dissipation. Wire bears what it is rated for, in watts and in amperes.
func TestRatings(t *testing.T) {
	const drawer = "id,ohms,watts,volts,metres,amperes\nS,1k,,,,\nW,400,0.25,,,\nV,1M,,250,,\nbelow,100k,0.25,250,,\nabove,1M,0.25,250,,\n" +
		"wire,10 ohm/m,,,5,0.5\nhot,10 ohm/m,40,,5,0.5\nthin,10 ohm/m,0.4,,5,0.5\n"
	b := asbuilttest.Bench(t, drawer, "{}")
	for id, want := range map[string][2]float64{ // amperes with all the watts, with half of them and 1 % more
		"S":     {math.Inf(1), math.Inf(1)},
		"W":     {0.025, 0.025 * math.Sqrt(0.505)},
		"V":     {250e-6, 250e-6},
		"below": {math.Sqrt(0.25 / 100e3), math.Sqrt(0.12625 / 100e3)}, // critical: 250 kΩ
		"above": {250e-6, 250e-6},
		"wire":  {0.5, 0.5},
		"hot":   {0.5, 0.5},
		"thin":  {0.2, 0.2 * math.Sqrt(0.505)},
	} {
		for i, derate := range []float64{1, 0.5} {
			at := b.Index[id]
			stock, err := b.Stock([]int{at}, derate)
			if err != nil {
				t.Fatal(err)
			}
			need := match.Need{Target: b.Measured[at].Ohms, Within: 0.1, AtMost: 1, Keep: math.NaN(), Drop: math.NaN()}
			for _, times := range []float64{1 - 1e-9, 1 + 1e-9} {
				need.Flow = min(want[i]*times, 1e3)
				got, err := stock.Pick(t.Context(), match.Query{Need: need, Top: 1})
				if bears := len(got.Choices) > 0; err != nil || bears != (times < 1 || math.IsInf(want[i], 1)) {
					t.Errorf("%s with %v of its watts bears %v A: %v, %v", id, derate, need.Flow, bears, err)
				}
			}
		}
	}
}

// TestKeptRatings: what stays may carry what the first of its parts to reach
// its rating allows, by its share.
func TestKeptRatings(t *testing.T) {
	s := asbuilttest.Open(t, `{"movement": {"full_scale": "1 mA", "coil": "98.6 ohm"}, "circuits": [{"circuit": "multiplier", "range": "1 V"}]}`,
		"id,ohms,watts,metres,amperes\nA,100,1,,\nB,300,0.03,,\nC,50,,,\nwire,10 ohm/m,,5,0.5\n", "{}")
	for text, want := range map[string]float64{
		"A || B":       0.01 / 0.25, // B bears 10 mA, and has a quarter of the current
		"A + B":        0.01,
		"(A || B) + C": 0.01 / 0.25,
		"C":            math.Inf(1),
		"C + 20 ohm":   math.Inf(1),
		"wire[2 m]":    0.5,
	} {
		n := network(t, text)
		_, got, err := s.KeptNetwork(n, 1)
		if err != nil || !(got == want || math.Abs(got/want-1) < 1e-12) {
			t.Errorf("%s may carry %v A, %v; want %v", text, got, err, want)
		}
	}
}

// network is what a text says.
func network(t *testing.T, text string) wiring.Network {
	t.Helper()
	n, err := wiring.Parse(text)
	if err != nil {
		t.Fatal(err)
	}
	return n
}

// TestFind: a position is found by its name, and by its range where only one
// position is of that.
func TestFind(t *testing.T) {
	s := asbuilttest.Open(t, coupledBench, coupledDrawer, coupledInstruments)
	for name, want := range map[string]string{
		"ring 10 mA": "ring 10 mA",
		"ring 10mA":  "ring 10 mA",
		"10 mA":      "ring 10 mA",
		"15V":        "chain 15 V",
		"ring 20 mA": "",
		"rng 3 mA":   "",
	} {
		at, err := s.Find(name)
		switch {
		case want == "" && err == nil:
			t.Errorf("%q is found as %q", name, s.Positions[at].Name)
		case want != "" && (err != nil || s.Positions[at].Name != want):
			t.Errorf("%q: %v, want %q", name, err, want)
		}
	}
	if _, err := s.Find("rng 3 mA"); !strings.Contains(err.Error(), `did you mean "ring 3 mA"?`) {
		t.Error(err)
	}
}

// TestInDrawerOrder: the same network is the same text, however it was typed.
func TestInDrawerOrder(t *testing.T) {
	s := asbuilttest.Open(t, coupledBench, coupledDrawer, coupledInstruments)
	for typed, want := range map[string]string{
		"C1 + S1":                  "S1 + C1",
		"C1 || (S2 + S1)":          "(S1 + S2) || C1",
		"S2 + 3.3 ohm":             "3.3 ohm + S2",
		"(C1 || 1 kohm) + S2 + S1": "(1 kohm || C1) + S1 + S2",
	} {
		n := network(t, typed)
		if got, _ := s.InDrawerOrder(n); got.String() != want {
			t.Errorf("%q becomes %q, want %q", typed, got, want)
		}
	}
}

// TestMayTake: no part that is not there, none that sits elsewhere.
func TestMayTake(t *testing.T) {
	s := asbuilttest.Open(t, coupledBench, coupledDrawer+"F1,50,,,\n", coupledInstruments)
	for typed, wrong := range map[string]string{
		"F1":           "",
		"F1 + 3.3 ohm": "",
		"F2":           "not in the drawer",
		"F1 + C1":      `fitted in "multi: chain 3 V"`,
		"57":           "without a unit",
	} {
		n := network(t, typed)
		at, _ := s.Meter.FindPosition("shunt 50 mA")
		if err := s.MayTake(at, n); (err == nil) != (wrong == "") || err != nil && !strings.Contains(err.Error(), wrong) {
			t.Errorf("%q: %v, want %q", typed, err, wrong)
		}
	}
}

// TestClone: what is tried leaves the setup as it is.
func TestClone(t *testing.T) {
	s := asbuilttest.Open(t, coupledBench, coupledDrawer, coupledInstruments)
	before, trial := s.Ohms(), s.Clone()
	n := network(t, "11 ohm || 13 ohm")
	for i := range trial.Positions {
		if err := trial.Fill(i, n); err != nil {
			t.Fatal(err)
		}
	}
	for i, x := range s.Ohms() {
		if x != before[i] && !math.IsNaN(before[i]) || s.IsOpen(i) != math.IsNaN(x) {
			t.Errorf("%s was %v and is %v", s.Positions[i].Name, before[i], x)
		}
		if math.Abs(trial.Ohms()[i]-11*13./24) > 1e-12 {
			t.Errorf("%s is tried with %v ohms", trial.Positions[i].Name, trial.Ohms()[i])
		}
	}
}
