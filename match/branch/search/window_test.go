package search

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"shuntwright/match"
	"shuntwright/match/branch/node"
	"shuntwright/match/matchtest"
)

// sums are limits that add up from the one attribute of each candidate, with signs.
type sums struct {
	of      [][]float64 // of each slot's candidates
	weights [][]float64 // of each range by slot
}

func (l sums) Limits(dst []float64, chosen []int) {
	for r := range dst {
		dst[r] = 0
		for s, c := range chosen {
			dst[r] += l.weights[r][s] * l.of[s][c]
		}
		dst[r] = math.Abs(dst[r])
	}
}

func (l sums) Floor(r int, box *match.Box) float64 {
	lo, hi := 0.0, 0.0
	for s, w := range l.weights[r] {
		a, b := w*box.Least[s][0], w*box.Most[s][0]
		lo, hi = lo+min(a, b), hi+max(a, b)
	}
	return max(0, lo, -hi)
}

// draw returns the frame of a search in a few slots with some candidates each,
// with limits or without, and a goal of some levels.
func drawSums(t *testing.T, rng *rand.Rand, limits bool) *node.Frame {
	t.Helper()
	slots, ranges := 1+rng.IntN(3), 1+rng.IntN(4)
	response := &matchtest.Linear{Offset: make([]float64, ranges)}
	l := sums{of: make([][]float64, slots)}
	spec := node.Spec{Lists: make([][]node.Candidate, slots), Ranges: ranges, Response: response}
	for s := range slots {
		target := 1 + 9*rng.Float64()
		response.Targets = append(response.Targets, target)
		values := make([]float64, 1+rng.IntN(25))
		for i := range values {
			values[i] = target * (0.8 + 0.4*rng.Float64())
		}
		slices.Sort(values)
		for _, v := range values {
			c := node.Candidate{Value: v, Attributes: []float64{12*rng.Float64() - 4}}
			spec.Lists[s], l.of[s] = append(spec.Lists[s], c), append(l.of[s], c.Attributes[0])
		}
	}
	for range ranges {
		row := make([]float64, slots)
		for s := range row {
			row[s] = float64(rng.IntN(3)-1) * (0.2 + rng.Float64())
		}
		response.Weights, l.weights = append(response.Weights, row), append(l.weights, row)
	}
	if limits {
		spec.Limits = l
	}
	f := node.NewFrame(node.NewGauge(t.Context(), spec))
	f.Case = &node.Scenario{Must: slices.Repeat([]bool{true}, slots), Whole: slices.Repeat([]bool{true}, ranges)}
	for r := range ranges {
		f.Case.Ranges = append(f.Case.Ranges, int32(r))
	}
	f.Goal = node.Anything
	f.Goal.Rest = 12 * rng.Float64()
	for level := f.Goal.Rest; len(f.Goal.Top) < ranges && rng.IntN(2) == 0; f.Goal.Top = slices.Insert(f.Goal.Top, 0, level) {
		level += 5 * rng.Float64()
	}
	return f
}

// plans returns the choices that keep to the goal, by trying all of them.
func plansOf(f *node.Frame) (found [][]int32) {
	chosen := make([]int32, len(f.Tables))
	var choose func(s int)
	choose = func(s int) {
		if s == len(chosen) {
			if p := f.Measure(chosen, f.Case.Whole); f.Goal.Admits(p.Costs, 0) {
				found = append(found, p.Chosen)
			}
			return
		}
		for c := range f.Tables[s].Values {
			chosen[s] = int32(c)
			choose(s + 1)
		}
	}
	choose(0)
	return found
}

// settle cuts as long as there is something to look at again.
func settle(w *cutter, n *node.Node) bool {
	for {
		if !w.Shrink(n) || !w.Rank(n) || w.Stale == 0 && !w.Mistrust(n) {
			return false
		}
		if w.Stale == 0 {
			return true
		}
	}
}

// No plan that keeps to the goal may be cut off, and what is cut must be no
// plan; both with limits and without, and with a cutter that remembers other
// nodes.
func TestCutterLosesNothing(t *testing.T) {
	for _, limits := range []bool{false, true} {
		candidates, left, useful, refuted := 0, 0, 0, 0
		for seed := range uint64(400) {
			f := drawSums(t, rand.New(rand.NewPCG(seed, 1)), limits)
			want := plansOf(f)
			w, n := newCutter(f), node.New(f.Gauge)
			for again := range 2 {
				all := make([][]int32, len(f.Tables))
				for s := range all {
					all[s] = f.Tables[s].All()
				}
				if !f.Start(n, all) {
					t.Fatal("slots without candidates")
				}
				if !settle(w, n) {
					refuted++
					if len(want) > 0 {
						t.Fatalf("limits %v, seed %d, time %d: says that there is no plan; %v is one", limits, seed, again, want[0])
					}
					continue
				}
				for _, p := range want {
					for s, c := range p {
						if !slices.Contains(n.Live[s], c) || f.Tables[s].Values[c] < n.Lo[s] || f.Tables[s].Values[c] > n.Hi[s] {
							t.Fatalf("limits %v, seed %d, time %d: slot %d is left %v; %v is a plan", limits, seed, again, s, n.Live[s], p)
						}
						if limits && (f.Tables[s].Attributes.Of(c, 0) < n.Box.Least[s][0] || f.Tables[s].Attributes.Of(c, 0) > n.Box.Most[s][0]) {
							t.Fatalf("seed %d, time %d: slot %d has attributes from %v to %v; %v is a plan", seed, again, s, n.Box.Least[s], n.Box.Most[s], p)
						}
					}
				}
				for s := range all {
					candidates, left = candidates+len(all[s]), left+len(n.Live[s])
					for _, c := range n.Live[s] {
						if slices.ContainsFunc(want, func(p []int32) bool { return p[s] == c }) {
							useful++
						}
					}
				}
			}
		}
		least := 0.7 // of the candidates that are in no plan
		if limits {
			least = 0.4
		}
		if cut := float64(candidates-left) / float64(candidates-useful); refuted < 50 || cut < least {
			t.Errorf("limits %v: %d problems refuted; of %d candidates %d are left, %d are in plans", limits, refuted, candidates, left, useful)
		}
	}
}

// The attribute to halve is that whose window moves a floor most; the sums of
// limits say by how much.
func TestDoubtful(t *testing.T) {
	l := sums{of: [][]float64{{1, 4}, {2, 4}, {7, 7}}, weights: [][]float64{{1, 0.5, 3}, {0, 2, 0}}}
	response := &matchtest.Linear{Targets: []float64{1, 1, 1}, Weights: [][]float64{{1, 0.5, -3}, {0, 2, 0}}, Offset: make([]float64, 2)}
	spec := node.Spec{Ranges: 2, Response: response, Limits: l}
	for _, of := range l.of {
		spec.Lists = append(spec.Lists, []node.Candidate{{Value: 0.99, Attributes: of[:1]}, {Value: 1.01, Attributes: of[1:]}})
	}
	f := node.NewFrame(node.NewGauge(t.Context(), spec))
	f.Goal = node.Anything
	f.Goal.Rest = 1000
	f.Case = &node.Scenario{Must: []bool{true, true, true}, Whole: []bool{true, true}, Ranges: []int32{0, 1}}
	w, n := newCutter(f), node.New(f.Gauge)
	all := [][]int32{{0, 1}, {0, 1}, {0, 1}}
	f.Start(n, all)
	if slot, _ := w.Doubtful(n, 0); slot != -1 {
		t.Errorf("slot %d though no floor has been seen", slot)
	}
	if !settle(w, n) || n.Floor[0] < 22.9 || n.Floor[0] > 23 || n.Floor[1] < 3.9 || n.Floor[1] > 4 {
		t.Fatalf("floors %v; want 1 + 0.5 x 2 + 3 x 7 and 2 x 2", n.Floor)
	}
	for _, test := range []struct {
		moved float64
		slot  int32
	}{{0, 1}, {3.9, 1}, {4.1, -1}} { // slot 1 moves range 1 by 2 x 2, slot 0 range 0 by 3
		if slot, k := w.Doubtful(n, test.moved); slot != test.slot || k != 0 {
			t.Errorf("by more than %v: slot %d, attribute %d; want slot %d", test.moved, slot, k, test.slot)
		}
	}
	n.Chosen[1] = 0
	if slot, _ := w.Doubtful(n, 0); slot != 0 {
		t.Errorf("slot %d; want 0, which is the only one left that moves anything", slot)
	}
}
