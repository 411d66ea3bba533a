package check

import (
	"math"
	"testing"

	"shuntwright/cmd/shuntwright/internal/asbuilt"
	"shuntwright/cmd/shuntwright/internal/asbuilt/asbuilttest"
	"shuntwright/meter/reading"
	"shuntwright/meter/wiring"
)

// TestHypothesisCarriesLimits: how unsure the first repair is counts in the second,
// by the root of the sum of squares; and a repair that does not serve leaves its
// parts to the next.
func TestHypothesisCarriesLimits(t *testing.T) {
	meter := `{"movement": {"full_scale": "1 mA", "coil": "1000 ohm", "coil_gain_percent": 0, "coil_floor": "0 ohm"},
		"circuits": [{"circuit": "chain", "ranges": ["10 V", "100 V"], "fitted": {"10 V": "9.0 kohm", "100 V": "90.0 kohm"}}]}`
	cured := func(class float64, drawer string) [][]remedy {
		s := asbuilttest.Open(t, meter, "id,ohms,instrument\n"+drawer, `{"coarse": {"gain_percent": 10}, "fine": {"gain_percent": 1}}`)
		r := searching(s, class, 1, 100)
		found, err := r.cure(t.Context(), r.blaming([]float64{5000, 50000}, []float64{9000, 90000}, 0.1))
		if err != nil {
			t.Fatal(err)
		}
		return found
	}
	found := cured(20, "A,9.00k,coarse\nB,90.0k,fine\n")
	// Rectangles of 10 % of 9 and 1 % of 90 in 100 kΩ: 0.9 % each.
	if got, want := found[1][0].limits[1], 1.96*0.9*math.Sqrt(2./3); math.Abs(got-want) > 0.01*want {
		t.Errorf("limit of 100 V: %v, want %v", got, want)
	}
	found = cured(2, "B,90.0k,fine\n") // no use for 10 V
	if len(found[0]) > 0 || len(found[1]) != 1 || found[1][0].network.String() != "B" {
		t.Errorf("%+v", found)
	}
}

// TestKeptLimits: the readings give what stays a limit of 1.96 standard
// deviations (reading.Amount, as the GUM's normal coverage factor for 95 %,
// table G.1), which becomes the half-width of the rectangle with that standard
// deviation, √3 of them (GUM 4.3.7); of two resistors it is not known which has
// drifted, and both have it.
func TestKeptLimits(t *testing.T) {
	s := asbuilttest.Open(t, `{"movement": {"full_scale": "1 mA", "coil": "100 ohm"}, "circuits": [{"circuit": "multiplier", "range": "10 V", "fitted": "A + B"}]}`,
		"id,ohms,gain_percent,floor_ohms\nA,6.00k,1,2\nB,4.00k,2,3\n", "{}")
	const deviation = 0.3 // percent
	n := s.Networks[0]
	leaves, err := s.Bench.Resistors(n, "")
	if err != nil {
		t.Fatal(err)
	}
	r := searching(s, math.NaN(), 1, 1)
	p := suspect{name: "10 V", now: 11e3, limit: 1.96 * deviation / 100 * 11e3, stays: n}
	if err := r.doubtKept(leaves, n, p); err != nil {
		t.Fatal(err)
	}
	for i, ohms := range []float64{6.6e3, 4.4e3} {
		m := leaves[i].Measured
		if math.Abs(m.Ohms/ohms-1) > 1e-12 || math.Abs(m.GainPercent/(math.Sqrt(3)*deviation)-1) > 1e-12 || m.FloorOhms != 0 {
			t.Errorf("part %d: %v ohm, %v %% and %v ohm; want %v ohm and %v %%", i, m.Ohms, m.GainPercent, m.FloorOhms, ohms, math.Sqrt(3)*deviation)
		}
	}
	if leaves[0].Measured.Shared != leaves[1].Measured.Shared || leaves[0].Measured.Shared == "" {
		t.Error("both are off alike")
	}
}

// TestStaying: an implied resistance is written with the digits that its limit
// lets stand, and read back through the instrument's leads as what it is.
func TestStaying(t *testing.T) {
	s := asbuilttest.Open(t, `{"movement": {"full_scale": "1 mA", "coil": "98.6 ohm", "instrument": "hand meter"}, "circuits": [{"circuit": "shunt", "range": "10 mA"}]}`,
		"id,ohms\n", `{"hand meter": {"gain_percent": 0.8, "counts": 1, "leads": "0.2 ohm"}}`)
	k := searching(s, math.NaN(), 1, 1)
	for _, test := range []struct {
		implied, limit float64
		want           string
	}{
		{11.4934, 0.052, "11.69 ohm"},
		{11.4934, 0.0052, "11.693 ohm"},
		{1149.34, 52, "1.15 kohm"},
		{math.Inf(1), 1, ""},
		{-3, 1, ""},
	} {
		n := k.staying(-1, reading.Amount{Implied: test.implied, From: 10, Limit: test.limit})
		if n.String() != test.want {
			t.Errorf("%v ± %v: %q, want %q", test.implied, test.limit, n, test.want)
		}
		if test.want == "" {
			continue
		}
		again, err := wiring.Parse(n.String())
		if err != nil {
			t.Fatal(err)
		}
		found, err := s.Bench.Resistors(again, "hand meter")
		if err != nil || math.Abs(again.Resistance(asbuilt.Values(found))-test.implied) > test.limit {
			t.Errorf("%q is read back as %v, %v; want %v", n, asbuilt.Values(found), err, test.implied)
		}
	}
}

// TestHypothesisGoesByTargets: what is still to be repaired is reckoned with on its
// target, where its repair will bring it, and not as a file has it that is itself
// off: here the second section is said to be 60 kΩ, is 90 and may stay.
func TestHypothesisGoesByTargets(t *testing.T) {
	s := asbuilttest.Open(t, `{"movement": {"full_scale": "1 mA", "coil": "1000 ohm", "coil_gain_percent": 0, "coil_floor": "0 ohm"},
		"circuits": [{"circuit": "chain", "ranges": ["10 V", "100 V"], "fitted": {"10 V": "9.0 kohm", "100 V": "60.0 kohm"}}]}`,
		"id,ohms,gain_percent,floor_ohms\nA,9.00k,0.1,0\nB,24.0k,0.1,0\n", "{}")
	r := searching(s, 2, 2, 10)
	found, err := r.cure(t.Context(), r.blaming([]float64{5000, 90000}, []float64{9000, 60000}, 10))
	if err != nil || len(found) != 2 || len(found[0]) == 0 || len(found[1]) == 0 {
		t.Fatalf("%+v, %v", found, err)
	}
	if first, second := found[0][0], found[1][0]; first.network.String() != "A" || first.grade() != 0 || second.action != leave {
		t.Errorf("%s by %s, grade %d, and %s; want A for sure, and leave", first.action, first.network, first.grade(), second.action)
	}
}
