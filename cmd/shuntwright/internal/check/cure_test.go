package check

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"shuntwright/cmd/shuntwright/internal/asbuilt"
	"shuntwright/cmd/shuntwright/internal/asbuilt/asbuilttest"
	"shuntwright/meter/reading"
	"shuntwright/meter/wiring"
)

// choices are all ways to make a shunt of so many times the movement's current
// within the class from at most two parts, each as the parts that it takes.
func choices(parts []float64, times, class float64) (out [][]int) {
	add := func(ohms float64, taken ...int) {
		if math.Abs(100*(times/(1+98.6/ohms)-1)) <= class {
			out = append(out, taken)
		}
	}
	for i, a := range parts {
		add(a, i)
		for j, b := range parts[:i] {
			add(a+b, i, j)
			add(a*b/(a+b), i, j)
		}
	}
	return out
}

// disjoint tells whether one choice of each list can be taken with no part twice.
func disjoint(lists [][][]int, taken []int) bool {
	if len(lists) == 0 {
		return true
	}
	return slices.ContainsFunc(lists[0], func(one []int) bool {
		free := !slices.ContainsFunc(one, func(i int) bool { return slices.Contains(taken, i) })
		return free && disjoint(lists[1:], append(slices.Clone(taken), one...))
	})
}

// tempting are six parts: for every target one part that does, or two that do
// together, of which one would do by itself for another target.
func tempting(r *rand.Rand, targets []float64) []float64 {
	var out []float64
	about := func(x float64) float64 { return math.Round(1000*x*(1+0.03*(r.Float64()-0.5))) / 1000 }
	for i, target := range targets {
		other := about(targets[(i+1+r.IntN(2))%3])
		switch {
		case r.IntN(2) == 0:
			out = append(out, about(target), about(3*target))
		case other < target:
			out = append(out, other, about(target-other))
		default:
			out = append(out, other, about(target*other/(other-target)))
		}
	}
	r.Shuffle(len(out), func(i, j int) { out[i], out[j] = out[j], out[i] })
	return out
}

// TestCureAgainstAll: where a small drawer can fill all places at once, it does;
// whoever is served first may not take what another needs.
func TestCureAgainstAll(t *testing.T) {
	r := rand.New(rand.NewPCG(8, 1))
	const class = 2.5
	meter := fmt.Sprintf(`{"name": "m", "class": %g, "movement": {"full_scale": "1 mA", "coil": "98.6 ohm", "coil_gain_percent": 0, "coil_floor": "0 ohm"},
		"circuits": [{"circuit": "shunt", "range": "10 mA"}, {"circuit": "shunt", "range": "14 mA"}, {"circuit": "shunt", "range": "20 mA"}]}`, class)
	targets := []float64{98.6 / 9, 98.6 / 13, 98.6 / 19}
	for range 150 {
		parts := tempting(r, targets)
		drawer := "id,ohms,gain_percent,floor_ohms\n"
		for i, x := range parts {
			drawer += fmt.Sprintf("P%d,%.3f,0,0\n", i, x)
		}
		lists := [][][]int{choices(parts, 10, class), choices(parts, 14, class), choices(parts, 20, class)}
		if !disjoint(lists, nil) {
			t.Fatalf("%v cannot fill all", parts)
		}
		s := asbuilttest.Open(t, meter, drawer, "{}")
		search := searching(s, class, 2, 0.2)
		search.state = s.Meter.State([]float64{10, 7, 5})
		now := slices.Repeat([]float64{math.Inf(1)}, 3)
		found, err := search.cure(t.Context(), search.blaming(now, targets, math.NaN()))
		if err != nil {
			t.Fatal(err)
		}
		taken := map[string]bool{}
		for i, one := range found {
			if len(one) == 0 || one[0].hopeless() {
				t.Errorf("%v: nothing for %s, and %v would do", parts, s.Positions[i].Name, lists)
				continue
			}
			for _, id := range one[0].network.IDs() {
				if taken[id] {
					t.Errorf("%s twice", id)
				}
				taken[id] = true
			}
		}
	}
}

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

// TestMixups: each part that the files have is exchanged by itself, the others being
// what they are: C for B makes the 11 kΩ that the readings say, by addition.
func TestMixups(t *testing.T) {
	s := asbuilttest.Open(t, `{"movement": {"full_scale": "1 mA", "coil": "100 ohm"}, "circuits": [{"circuit": "multiplier", "range": "10 V", "fitted": "A + B"}]}`,
		"id,ohms\nA,6.00k\nB,4.00k\nC,5.00k\nD,7.90k\n", "{}")
	r := searching(s, math.NaN(), 1, 1)
	got := r.mixups(r.blaming([]float64{11e3}, []float64{10e3}, 10).suspects[0])
	if len(got) != 1 || got[0].goes != "B" || got[0].network.String() != "A + C" || math.Abs(got[0].ohms-11e3) > 1e-9 {
		t.Errorf("%+v", got)
	}
}
