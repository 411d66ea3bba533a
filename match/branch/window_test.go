package branch

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"shuntwright/match"
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
func drawSums(t *testing.T, rng *rand.Rand, limits bool) *frame {
	t.Helper()
	slots, ranges := 1+rng.IntN(3), 1+rng.IntN(4)
	response := &matchtest.Linear{Offset: make([]float64, ranges)}
	l := sums{of: make([][]float64, slots)}
	spec := Problem{Slots: make([][]Candidate, slots), Ranges: ranges, Response: response}
	for s := range slots {
		target := 1 + 9*rng.Float64()
		response.Targets = append(response.Targets, target)
		values := make([]float64, 1+rng.IntN(25))
		for i := range values {
			values[i] = target * (0.8 + 0.4*rng.Float64())
		}
		slices.Sort(values)
		for _, v := range values {
			c := Candidate{Value: v, Attributes: []float64{12*rng.Float64() - 4}}
			spec.Slots[s], l.of[s] = append(spec.Slots[s], c), append(l.of[s], c.Attributes[0])
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
	f := newFrame(newGauge(t.Context(), spec))
	f.scenario = &scenario{must: slices.Repeat([]bool{true}, slots), whole: slices.Repeat([]bool{true}, ranges)}
	for r := range ranges {
		f.scenario.ranges = append(f.scenario.ranges, int32(r))
	}
	f.goal = anything
	f.goal.rest = 12 * rng.Float64()
	for level := f.goal.rest; len(f.goal.top) < ranges && rng.IntN(2) == 0; f.goal.top = slices.Insert(f.goal.top, 0, level) {
		level += 5 * rng.Float64()
	}
	return f
}

// plans returns the choices that keep to the goal, by trying all of them.
func plansOf(f *frame) (found [][]int32) {
	chosen := make([]int32, len(f.tables))
	var choose func(s int)
	choose = func(s int) {
		if s == len(chosen) {
			if p := f.measure(chosen, f.scenario.whole); f.goal.admits(p.costs, 0) {
				found = append(found, p.chosen)
			}
			return
		}
		for c := range f.tables[s].values {
			chosen[s] = int32(c)
			choose(s + 1)
		}
	}
	choose(0)
	return found
}

// settle cuts as long as there is something to look at again.
func settle(w *cutter, n *node) bool {
	for {
		if !w.shrink(n) || !w.rank(n) || w.stale == 0 && !w.mistrust(n) {
			return false
		}
		if w.stale == 0 {
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
			w, n := newCutter(f), newNode(f.gauge)
			for again := range 2 {
				all := make([][]int32, len(f.tables))
				for s := range all {
					all[s] = f.tables[s].all()
				}
				if !f.start(n, all) {
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
						if !slices.Contains(n.live[s], c) || f.tables[s].values[c] < n.lo[s] || f.tables[s].values[c] > n.hi[s] {
							t.Fatalf("limits %v, seed %d, time %d: slot %d is left %v; %v is a plan", limits, seed, again, s, n.live[s], p)
						}
						if limits && (f.tables[s].attribute(c, 0) < n.box.Least[s][0] || f.tables[s].attribute(c, 0) > n.box.Most[s][0]) {
							t.Fatalf("seed %d, time %d: slot %d has attributes from %v to %v; %v is a plan", seed, again, s, n.box.Least[s], n.box.Most[s], p)
						}
					}
				}
				for s := range all {
					candidates, left = candidates+len(all[s]), left+len(n.live[s])
					for _, c := range n.live[s] {
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
