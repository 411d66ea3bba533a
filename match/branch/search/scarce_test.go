package search

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"shuntwright/match/branch/node"
)

// draw returns a problem of parts alone: a few slots with a few candidates
// each, of up to three parts; most have fewer parts than they need.
func drawParts(t *testing.T, rng *rand.Rand) (*node.Frame, [][]int32) {
	t.Helper()
	slots, parts := 2+rng.IntN(3), 3+rng.IntN(6)
	lists := make([][]node.Candidate, slots)
	for s := range lists {
		for i := range 1 + rng.IntN(6) {
			var own []int32
			for _, p := range rng.Perm(parts)[:min(parts, 1+rng.IntN(3))] {
				own = append(own, int32(p))
			}
			slices.Sort(own)
			lists[s] = append(lists[s], node.Candidate{Value: float64(i), Parts: own})
		}
	}
	f := node.NewFrame(node.NewGauge(t.Context(), node.Spec{Parts: parts, Lists: lists}))
	f.Goal = node.Anything
	f.Case = &node.Scenario{Must: make([]bool, slots), Open: rng.IntN(2)}
	for s := range slots {
		f.Case.Must[s] = f.Case.Open == 0 || rng.IntN(2) == 0
	}
	if rng.IntN(2) == 0 {
		f.Goal.Parts = slots + rng.IntN(3)
	}
	all := make([][]int32, slots)
	for s := range all {
		all[s] = f.Tables[s].All()
	}
	return f, all
}

// choices returns all choices that use no part twice, leave no more slots open
// than the scenario does, and keep to the number of parts, by trying
// everything.
func choices(f *node.Frame) (found [][]int32) {
	chosen := make([]int32, len(f.Tables))
	var choose func(s, open, parts int, used map[int32]bool)
	choose = func(s, open, parts int, used map[int32]bool) {
		if s == len(chosen) {
			found = append(found, slices.Clone(chosen))
			return
		}
		if chosen[s] = node.Open; open > 0 && !f.Case.Must[s] {
			choose(s+1, open-1, parts, used)
		}
		for c := range int32(len(f.Tables[s].Values)) {
			own := f.Tables[s].Of(c)
			if len(own) > parts || slices.ContainsFunc(own, func(p int32) bool { return used[p] }) {
				continue
			}
			for _, p := range own {
				used[p] = true
			}
			chosen[s] = c
			choose(s+1, open, parts-len(own), used)
			for _, p := range own {
				delete(used, p)
			}
		}
	}
	choose(0, f.Case.Open, f.Goal.Parts, map[int32]bool{})
	return found
}

// Nothing that is in a choice may be ruled out, and what is ruled out must be
// in none.
func TestShareLosesNothing(t *testing.T) {
	cut, refuted := 0, 0
	for seed := range uint64(2000) {
		f, all := drawParts(t, rand.New(rand.NewPCG(seed, 1)))
		want := choices(f)
		r, n := newRules(f), node.New(f.Gauge)
		ok := f.Start(n, all)
		for changed := true; ok && changed; {
			changed, ok = r.Share(n)
		}
		if !ok {
			refuted++
			if len(want) > 0 {
				t.Errorf("seed %d: says that there is no choice; %v is one", seed, want[0])
			}
			continue
		}
		for s, live := range n.Live {
			if len(live) < len(all[s]) {
				cut++
			}
			for _, choice := range want {
				if c := choice[s]; c != node.Open && !slices.Contains(live, c) || n.Chosen[s] != node.Undecided && n.Chosen[s] != c {
					t.Fatalf("seed %d: slot %d is left %v, has chosen %d; %v is a choice", seed, s, live, n.Chosen[s], choice)
				}
			}
			for p, owner := range n.Owner {
				if int(owner) == s && slices.ContainsFunc(want, func(choice []int32) bool { return !slices.Contains(f.Tables[s].Of(choice[s]), int32(p)) }) {
					t.Errorf("seed %d: part %d is for slot %d alone, and there is a choice without", seed, p, s)
				}
			}
		}
	}

	if cut < 1500 || refuted < 650 {
		t.Errorf("only %d lists cut and %d problems refuted", cut, refuted)
	}
}

func TestPackingAndMatching(t *testing.T) {
	for seed := range uint64(500) {
		f, all := drawParts(t, rand.New(rand.NewPCG(seed, 3)))
		f.Goal.Parts = math.MaxInt
		want := choices(f)
		got := NewPacking(f.Gauge, all, f.Case.Open).Find(t.Context(), f.Case.Must)
		if (got != nil) != (len(want) > 0) || got != nil && !slices.ContainsFunc(want, func(c []int32) bool { return slices.Equal(c, got) }) {
			t.Errorf("seed %d: %v; all choices: %v", seed, got, want)
		}
		if most := Matching(f.Gauge, all); len(want) > 0 && most < len(all)-f.Case.Open {
			t.Errorf("seed %d: %d slots at most; %v fills more", seed, most, want[0])
		}
	}
	f, all := drawParts(t, rand.New(rand.NewPCG(1, 4)))
	if got := Matching(f.Gauge, make([][]int32, len(all))); got != 0 {
		t.Errorf("%d slots without candidates", got)
	}
}
