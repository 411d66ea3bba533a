package branch

import (
	"math/rand/v2"
	"slices"
	"testing"
)

// draw makes some groups of candidates with one to three of few parts each.
func drawGroups(rng *rand.Rand, parts int) []group {
	groups := make([]group, 1+rng.IntN(5))
	for i := range groups {
		groups[i].stride = 3
		for c := range 1 + rng.IntN(6) {
			set := rng.Perm(parts)[:1+rng.IntN(3)]
			for k := range 3 {
				p := int32(parts)
				if k < len(set) {
					p = int32(set[k])
				}
				groups[i].parts = append(groups[i].parts, p)
			}
			groups[i].live = append(groups[i].live, int32(c))
		}
	}
	return groups
}

// choices tells for every candidate whether it is in some disjoint choice, by
// trying all.
func choicesOf(groups []group, parts int) (in []map[int32]bool, any bool) {
	in = make([]map[int32]bool, len(groups))
	for i := range in {
		in[i] = map[int32]bool{}
	}
	used, picks := make([]bool, parts), make([]int32, len(groups))
	var try func(i int)
	try = func(i int) {
		if i == len(groups) {
			any = true
			for k, c := range picks {
				in[k][c] = true
			}
			return
		}
		for _, c := range groups[i].live {
			taken := slices.DeleteFunc(slices.Clone(groups[i].of(c)), func(p int32) bool { return p == int32(parts) })
			if slices.ContainsFunc(taken, func(p int32) bool { return used[p] }) {
				continue
			}
			for _, p := range taken {
				used[p] = true
			}
			picks[i] = c
			try(i + 1)
			for _, p := range taken {
				used[p] = false
			}
		}
	}
	try(0)
	return in, any
}

// TestMultipliers holds every no, and every candidate that is too dear, against
// all choices there are, and wants most of what can be found.
func TestMultipliers(t *testing.T) {
	impossible, refuted, useless, dear := 0, 0, 0, 0
	m := newMultipliers(7) // its prices go on from one question to the next, which must not matter
	for seed := range uint64(3000) {
		groups := drawGroups(rand.New(rand.NewPCG(seed, 31)), 7)
		in, any := choicesOf(groups, 7)
		possible := m.bound(groups, slices.Repeat([]bool{true}, 7), 16)
		if !possible && any {
			t.Fatalf("seed %d: a disjoint choice is denied: %+v", seed, groups)
		}
		if !any {
			impossible++
			if !possible {
				refuted++
			}
			continue
		}
		for i, g := range groups {
			for _, c := range g.live {
				if m.dear(groups, i, c) {
					dear++
					if in[i][c] {
						t.Fatalf("seed %d: candidate %d of group %d is in a choice: %+v", seed, c, i, groups)
					}
				}
				if !in[i][c] {
					useless++
				}
			}
		}
	}
	t.Logf("%d of %d impossible ones refuted, %d of %d useless candidates dear", refuted, impossible, dear, useless)
	if refuted < impossible/2 || dear < useless/4 || impossible < 100 {
		t.Errorf("%d of %d impossible ones refuted, %d of %d useless candidates dear", refuted, impossible, dear, useless)
	}
}

// TestTooFewparts: three cannot share two parts, whatever else there is that
// none of them can take.
func TestTooFewParts(t *testing.T) {
	either := group{parts: []int32{0, 1}, stride: 1, live: []int32{0, 1}}
	groups := []group{either, either}
	if !newMultipliers(4).bound(groups, []bool{true, true, true, false}, 50) {
		t.Error("two parts are enough for two")
	}
	groups = append(groups, either)
	if newMultipliers(4).bound(groups, []bool{true, true, true, false}, 50) {
		t.Error("two parts are not enough for three")
	}
}
