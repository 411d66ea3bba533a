package branch

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"shuntwright/match"
)

// draw returns a record and a question: two or three slots with some candidates
// each that share so many parts, and no goal as yet.
func draw(t *testing.T, rng *rand.Rand, parts int) (*record, question) {
	t.Helper()
	slots := 2 + rng.IntN(2)
	r := &record{gauge: newGauge(t.Context(), drawLinear(rng, slots, []int{60, 16}[slots-2], parts, false)), budget: math.MaxInt}
	return r, ask(r.gauge)
}

// A search must find a plan where there is one and no other, and the best where
// it is asked for that; and nothing may be lost at its root.
func TestSeek(t *testing.T) {
	yes, no := 0, 0
	for seed := range uint64(300) {
		rng := rand.New(rand.NewPCG(seed, 1))
		r, q := draw(t, rng, 4+rng.IntN(6))
		q.goal.rest = []float64{8, 0.8}[rng.IntN(2)] * rng.Float64()
		q.goal.parts = len(r.tables) + rng.IntN(len(r.tables)+1)
		want := plans(r.gauge, q)
		search := newSearch(r)
		if n := search.root(q); n == nil && len(want) > 0 {
			t.Fatalf("seed %d: nothing is possible at the root; %v is", seed, want[0].chosen)
		} else if n != nil {
			for _, p := range want {
				for s, c := range p.chosen {
					if !slices.Contains(n.live[s], c) {
						t.Fatalf("seed %d: slot %d is left %v at the root; %v is a plan", seed, s, n.live[s], p.chosen)
					}
				}
			}
		}
		q.first = true
		found, complete := search.seek(q)
		if found != (len(want) > 0) || !found && !complete {
			t.Fatalf("seed %d: found %v, complete %v; there are %d plans", seed, found, complete, len(want))
		}
		if !found {
			no++
			continue
		}
		yes++
		if !slices.ContainsFunc(want, func(p *measured) bool { return slices.Equal(p.chosen, r.best.chosen) }) {
			t.Errorf("seed %d: %v is no plan", seed, r.best.chosen)
		}
		least := slices.MinFunc(want, func(a, b *measured) int { return slices.Compare(a.costs[:1], b.costs[:1]) })
		q.first = false
		if found, complete := search.seek(q); !found || !complete || r.best.costs[0] > least.costs[0]+match.Equal {
			t.Errorf("seed %d: found %v, complete %v, worst %v; want %v", seed, found, complete, r.best.costs[0], least.costs[0])
		}
	}
	if yes < 50 || no < 50 {
		t.Errorf("%d problems with a plan and %d without", yes, no)
	}
}

// A slot that is held must be filled where it might stay open.
func TestHold(t *testing.T) {
	held := 0
	for seed := range uint64(100) {
		r, q := draw(t, rand.New(rand.NewPCG(seed, 2)), 3)
		q.scenario.must[0], q.scenario.open, q.first = false, 1, true
		q.scenario.whole, q.scenario.ranges = make([]bool, r.ranges), nil
		full := len(plans(r.gauge, q)) > 0
		search := newSearch(r)
		search.hold(0, true)
		if found, complete := search.seek(q); found != full || !found && !complete {
			t.Errorf("seed %d: found %v; want %v", seed, found, full)
		}
		search.hold(0, false)
		found, _ := search.seek(q)
		if full && !found {
			t.Errorf("seed %d: nothing found though no slot is held", seed)
		}
		if found && !full {
			held++
		}
	}
	if held == 0 {
		t.Error("no problem in which it matters")
	}
}

// A search that is given few nodes must not claim to be complete.
func TestLimit(t *testing.T) {
	short := 0
	for seed := range uint64(100) {
		r, q := draw(t, rand.New(rand.NewPCG(seed, 3)), 8)
		search := newSearch(r)
		_, complete := search.seek(q)
		if !complete {
			t.Fatalf("seed %d: not complete", seed)
		}
		nodes, best := search.count, r.best
		if nodes < 3 {
			continue
		}
		short++
		r.best, q.limit = nil, nodes/2
		if _, complete := search.seek(q); complete || search.count > q.limit {
			t.Errorf("seed %d: complete %v after %d nodes of %d", seed, complete, search.count, nodes)
		}
		if r.best != nil && r.best.costs[0] < best.costs[0]-match.Equal {
			t.Errorf("seed %d: %v is better than the best, %v", seed, r.best.costs, best.costs)
		}
	}
	if short < 50 {
		t.Errorf("only %d searches of some nodes", short)
	}
}
