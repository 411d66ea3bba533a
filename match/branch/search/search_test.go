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

// draw returns a record and a question: two or three slots with some candidates
// each that share so many parts, errors that go by several slots, and no goal
// as yet.
func draw(t *testing.T, rng *rand.Rand, parts int) (*node.Record, Question) {
	t.Helper()
	slots, ranges := 2+rng.IntN(2), 1+rng.IntN(4)
	response := &matchtest.Linear{Offset: make([]float64, ranges)}
	spec := node.Spec{Parts: parts, Lists: make([][]node.Candidate, slots), Ranges: ranges, Response: response}
	for s := range slots {
		target := 1 + 9*rng.Float64()
		response.Targets = append(response.Targets, target)
		values := make([]float64, 1+rng.IntN([]int{60, 16}[slots-2]))
		for i := range values {
			values[i] = target * (0.8 + 0.4*rng.Float64())
		}
		slices.Sort(values)
		for _, v := range values {
			var own []int32
			for _, p := range rng.Perm(parts)[:1+rng.IntN(2)] {
				own = append(own, int32(p))
			}
			slices.Sort(own)
			spec.Lists[s] = append(spec.Lists[s], node.Candidate{Value: v, Parts: own})
		}
	}
	for range ranges {
		row := make([]float64, slots)
		for s := range row {
			row[s] = float64(rng.IntN(3)-1) * (0.2 + rng.Float64())
		}
		response.Weights = append(response.Weights, row)
	}
	r := &node.Record{Gauge: node.NewGauge(t.Context(), spec), Budget: math.MaxInt}
	q := Question{Case: &node.Scenario{Must: slices.Repeat([]bool{true}, slots), Whole: slices.Repeat([]bool{true}, ranges)}, Goal: node.Anything, Limit: math.MaxInt}
	for range ranges {
		q.Case.Ranges = append(q.Case.Ranges, int32(len(q.Case.Ranges)))
	}
	for s := range slots {
		q.Lists = append(q.Lists, r.Tables[s].All())
	}
	return r, q
}

// plans returns all that use no part twice and keep to the goal, by trying
// everything.
func plans(r *node.Record, q Question) (found []*node.Plan) {
	chosen := make([]int32, len(r.Tables))
	owner := slices.Repeat([]int32{node.Nobody}, r.Parts+1)
	var choose func(s int32)
	choose = func(s int32) {
		if int(s) == len(chosen) {
			if p := r.Measure(chosen, q.Case.Whole); q.Goal.Admits(p.Costs, p.Parts) {
				found = append(found, p)
			}
			return
		}
		for c := range int32(len(r.Tables[s].Values)) {
			if r.Tables[s].Clashes(c, owner, s) {
				continue
			}
			chosen[s] = c
			for _, p := range r.Tables[s].Of(c) {
				owner[p] = s
			}
			choose(s + 1)
			for _, p := range r.Tables[s].Of(c) {
				owner[p] = node.Nobody
			}
		}
	}
	choose(0)
	return found
}

// A search must find a plan where there is one and no other, and the best where
// it is asked for that; and nothing may be lost at its root.
func TestSeek(t *testing.T) {
	yes, no := 0, 0
	for seed := range uint64(300) {
		rng := rand.New(rand.NewPCG(seed, 1))
		r, q := draw(t, rng, 4+rng.IntN(6))
		q.Goal.Rest = []float64{8, 0.8}[rng.IntN(2)] * rng.Float64()
		q.Goal.Parts = len(r.Tables) + rng.IntN(len(r.Tables)+1)
		want := plans(r, q)
		search := New(r)
		if n := search.Root(q); n == nil && len(want) > 0 {
			t.Fatalf("seed %d: nothing is possible at the root; %v is", seed, want[0].Chosen)
		} else if n != nil {
			for _, p := range want {
				for s, c := range p.Chosen {
					if !slices.Contains(n.Live[s], c) {
						t.Fatalf("seed %d: slot %d is left %v at the root; %v is a plan", seed, s, n.Live[s], p.Chosen)
					}
				}
			}
		}
		q.First = true
		found, complete := search.Seek(q)
		if found != (len(want) > 0) || !found && !complete {
			t.Fatalf("seed %d: found %v, complete %v; there are %d plans", seed, found, complete, len(want))
		}
		if !found {
			no++
			continue
		}
		yes++
		if !slices.ContainsFunc(want, func(p *node.Plan) bool { return slices.Equal(p.Chosen, r.Best.Chosen) }) {
			t.Errorf("seed %d: %v is no plan", seed, r.Best.Chosen)
		}
		least := slices.MinFunc(want, func(a, b *node.Plan) int { return slices.Compare(a.Costs[:1], b.Costs[:1]) })
		q.First = false
		if found, complete := search.Seek(q); !found || !complete || r.Best.Costs[0] > least.Costs[0]+match.Equal {
			t.Errorf("seed %d: found %v, complete %v, worst %v; want %v", seed, found, complete, r.Best.Costs[0], least.Costs[0])
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
		q.Case.Must[0], q.Case.Open, q.First = false, 1, true
		q.Case.Whole, q.Case.Ranges = make([]bool, r.Ranges), nil
		full := len(plans(r, q)) > 0
		search := New(r)
		search.Hold(0, true)
		if found, complete := search.Seek(q); found != full || !found && !complete {
			t.Errorf("seed %d: found %v; want %v", seed, found, full)
		}
		search.Hold(0, false)
		found, _ := search.Seek(q)
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
		search := New(r)
		_, complete := search.Seek(q)
		if !complete {
			t.Fatalf("seed %d: not complete", seed)
		}
		nodes, best := search.count, r.Best
		if nodes < 3 {
			continue
		}
		short++
		r.Best, q.Limit = nil, nodes/2
		if _, complete := search.Seek(q); complete || search.count > q.Limit {
			t.Errorf("seed %d: complete %v after %d nodes of %d", seed, complete, search.count, nodes)
		}
		if r.Best != nil && r.Best.Costs[0] < best.Costs[0]-match.Equal {
			t.Errorf("seed %d: %v is better than the best, %v", seed, r.Best.Costs, best.Costs)
		}
	}
	if short < 50 {
		t.Errorf("only %d searches of some nodes", short)
	}
}
