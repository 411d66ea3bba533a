package check

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"shuntwright/cmd/shuntwright/internal/asbuilt/asbuilttest"
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
