package branch

import (
	"cmp"
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

// drawLinear returns a problem of so many slots, each with up to so many candidates
// of which each takes one or two of so many parts, if there are any. Errors go by
// several slots, limits too where they count.
func drawLinear(rng *rand.Rand, slots, most, parts int, limits bool) Problem {
	ranges := 1 + rng.IntN(4)
	response, l := &matchtest.Linear{Offset: make([]float64, ranges)}, sums{of: make([][]float64, slots)}
	p := Problem{Parts: parts, Slots: make([][]Candidate, slots), Ranges: ranges, Response: response, Budget: math.MaxInt}
	for s := range slots {
		target := 1 + 9*rng.Float64()
		response.Targets = append(response.Targets, target)
		for range 1 + rng.IntN(most) {
			c := Candidate{Value: target * (0.8 + 0.4*rng.Float64()), Attributes: []float64{12*rng.Float64() - 4}}
			for _, part := range rng.Perm(parts)[:min(parts, 1+rng.IntN(2))] {
				c.Parts = append(c.Parts, int32(part))
			}
			slices.Sort(c.Parts)
			p.Slots[s] = append(p.Slots[s], c)
		}
		slices.SortFunc(p.Slots[s], func(a, b Candidate) int { return cmp.Compare(a.Value, b.Value) })
		for _, c := range p.Slots[s] {
			l.of[s] = append(l.of[s], c.Attributes[0])
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
		p.Limits = l
	}
	return p
}

// ask returns the question for any plan of a gauge that fills all slots.
func ask(g *gauge) question {
	sc := &scenario{must: slices.Repeat([]bool{true}, len(g.tables)), whole: slices.Repeat([]bool{true}, g.ranges)}
	for r := range g.ranges {
		sc.ranges = append(sc.ranges, int32(r))
	}
	return question{scenario: sc, goal: anything, lists: all(g), limit: math.MaxInt}
}

// all lists the candidates of all slots.
func all(g *gauge) (lists [][]int32) {
	for s := range g.tables {
		lists = append(lists, g.tables[s].all())
	}
	return lists
}

// plans returns all that use no part twice and keep to the goal, by trying
// everything.
func plans(g *gauge, q question) (found []*measured) {
	chosen, owner := make([]int32, len(g.tables)), slices.Repeat([]int32{nobody}, g.parts+1)
	var choose func(s int32)
	choose = func(s int32) {
		if int(s) == len(chosen) {
			if p := g.measure(chosen, q.scenario.whole); q.goal.admits(p.costs, p.parts) {
				found = append(found, p)
			}
			return
		}
		for c := range int32(len(g.tables[s].values)) {
			if g.tables[s].clashes(c, owner, s) {
				continue
			}
			chosen[s] = c
			for _, p := range g.tables[s].of(c) {
				owner[p] = s
			}
			choose(s + 1)
			for _, p := range g.tables[s].of(c) {
				owner[p] = nobody
			}
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
			rng := rand.New(rand.NewPCG(seed, 1))
			f := newFrame(newGauge(t.Context(), drawLinear(rng, 1+rng.IntN(3), 25, 0, limits)))
			q := ask(f.gauge)
			q.goal.rest = 12 * rng.Float64()
			for level := q.goal.rest; len(q.goal.top) < f.ranges && rng.IntN(2) == 0; q.goal.top = slices.Insert(q.goal.top, 0, level) {
				level += 5 * rng.Float64()
			}
			f.scenario, f.goal = q.scenario, q.goal
			want := plans(f.gauge, q)
			w, n := newCutter(f), newNode(f.gauge)
			for again := range 2 {
				if !f.start(n, q.lists) {
					t.Fatal("slots without candidates")
				}
				if !settle(w, n) {
					refuted++
					if len(want) > 0 {
						t.Fatalf("limits %v, seed %d, time %d: says that there is no plan; %v is one", limits, seed, again, want[0].chosen)
					}
					continue
				}
				for _, p := range want {
					for s, c := range p.chosen {
						if !slices.Contains(n.live[s], c) || f.tables[s].values[c] < n.lo[s] || f.tables[s].values[c] > n.hi[s] {
							t.Fatalf("limits %v, seed %d, time %d: slot %d is left %v; %v is a plan", limits, seed, again, s, n.live[s], p.chosen)
						}
						if limits && (f.tables[s].attribute(c, 0) < n.box.Least[s][0] || f.tables[s].attribute(c, 0) > n.box.Most[s][0]) {
							t.Fatalf("seed %d, time %d: slot %d has attributes from %v to %v; %v is a plan", seed, again, s, n.box.Least[s], n.box.Most[s], p.chosen)
						}
					}
				}
				for s := range q.lists {
					candidates, left = candidates+len(q.lists[s]), left+len(n.live[s])
					for _, c := range n.live[s] {
						if slices.ContainsFunc(want, func(p *measured) bool { return p.chosen[s] == c }) {
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
