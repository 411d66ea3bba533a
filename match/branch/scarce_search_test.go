package branch

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

// drawParts returns a problem of parts alone: a few slots with a few candidates
// each, of up to three parts; most have fewer parts than they need.
func drawParts(t *testing.T, rng *rand.Rand) (*frame, [][]int32) {
	t.Helper()
	slots, parts := 2+rng.IntN(3), 3+rng.IntN(6)
	lists := make([][]Candidate, slots)
	for s := range lists {
		for i := range 1 + rng.IntN(6) {
			var own []int32
			for _, p := range rng.Perm(parts)[:min(parts, 1+rng.IntN(3))] {
				own = append(own, int32(p))
			}
			slices.Sort(own)
			lists[s] = append(lists[s], Candidate{Value: float64(i), Parts: own})
		}
	}
	f := newFrame(newGauge(t.Context(), Problem{Parts: parts, Slots: lists}))
	f.goal = anything
	f.scenario = &scenario{must: make([]bool, slots), open: rng.IntN(2)}
	for s := range slots {
		f.scenario.must[s] = f.scenario.open == 0 || rng.IntN(2) == 0
	}
	if rng.IntN(2) == 0 {
		f.goal.parts = slots + rng.IntN(3)
	}
	return f, all(f.gauge)
}

// choices returns all choices that use no part twice, leave no more slots open
// than the scenario does, and keep to the number of parts, by trying
// everything.
func choices(f *frame) (found [][]int32) {
	chosen := make([]int32, len(f.tables))
	var choose func(s, ajar, parts int, used map[int32]bool)
	choose = func(s, ajar, parts int, used map[int32]bool) {
		if s == len(chosen) {
			found = append(found, slices.Clone(chosen))
			return
		}
		if chosen[s] = open; ajar > 0 && !f.scenario.must[s] {
			choose(s+1, ajar-1, parts, used)
		}
		for c := range int32(len(f.tables[s].values)) {
			own := f.tables[s].of(c)
			if len(own) > parts || slices.ContainsFunc(own, func(p int32) bool { return used[p] }) {
				continue
			}
			for _, p := range own {
				used[p] = true
			}
			chosen[s] = c
			choose(s+1, ajar, parts-len(own), used)
			for _, p := range own {
				delete(used, p)
			}
		}
	}
	choose(0, f.scenario.open, f.goal.parts, map[int32]bool{})
	return found
}

// Nothing that is in a choice may be ruled out, and what is ruled out must be
// in none.
func TestShareLosesNothing(t *testing.T) {
	cut, refuted := 0, 0
	for seed := range uint64(2000) {
		f, all := drawParts(t, rand.New(rand.NewPCG(seed, 1)))
		want := choices(f)
		r, n := newRules(f), newNode(f.gauge)
		ok := f.start(n, all)
		for changed := true; ok && changed; {
			changed, ok = r.share(n)
		}
		if !ok {
			refuted++
			if len(want) > 0 {
				t.Errorf("seed %d: says that there is no choice; %v is one", seed, want[0])
			}
			continue
		}
		for s, live := range n.live {
			if len(live) < len(all[s]) {
				cut++
			}
			for _, choice := range want {
				if c := choice[s]; c != open && !slices.Contains(live, c) || n.chosen[s] != undecided && n.chosen[s] != c {
					t.Fatalf("seed %d: slot %d is left %v, has chosen %d; %v is a choice", seed, s, live, n.chosen[s], choice)
				}
			}
			for p, owner := range n.owner {
				if int(owner) == s && slices.ContainsFunc(want, func(choice []int32) bool { return !slices.Contains(f.tables[s].of(choice[s]), int32(p)) }) {
					t.Errorf("seed %d: part %d is for slot %d alone, and there is a choice without", seed, p, s)
				}
			}
		}
	}

	if cut < 1500 || refuted < 650 {
		t.Errorf("only %d lists cut and %d problems refuted", cut, refuted)
	}
}

func TestPacking(t *testing.T) {
	for seed := range uint64(500) {
		f, all := drawParts(t, rand.New(rand.NewPCG(seed, 3)))
		f.goal.parts = math.MaxInt
		want := choices(f)
		got := newPacking(f.gauge, all, f.scenario.open).find(t.Context(), f.scenario.must)
		if (got != nil) != (len(want) > 0) || got != nil && !slices.ContainsFunc(want, func(c []int32) bool { return slices.Equal(c, got) }) {
			t.Errorf("seed %d: %v; all choices: %v", seed, got, want)
		}
	}
}
