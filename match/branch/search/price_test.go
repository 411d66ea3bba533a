package search

import (
	"math/rand/v2"
	"slices"
	"testing"
)

// draw makes some groups of candidates with one to three of few parts each.
func drawGroups(rng *rand.Rand, parts int) []Group {
	groups := make([]Group, 1+rng.IntN(5))
	for i := range groups {
		groups[i].Stride = 3
		for c := range 1 + rng.IntN(6) {
			set := rng.Perm(parts)[:1+rng.IntN(3)]
			for k := range 3 {
				p := int32(parts)
				if k < len(set) {
					p = int32(set[k])
				}
				groups[i].Parts = append(groups[i].Parts, p)
			}
			groups[i].Live = append(groups[i].Live, int32(c))
		}
	}
	return groups
}

// choices tells for every candidate whether it is in some disjoint choice, by trying all.
func choicesOf(groups []Group, parts int) (in []map[int32]bool, any bool) {
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
		for _, c := range groups[i].Live {
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

// TestBargain holds every no, and every candidate that is too dear, against all choices there are, and wants most of what can be found.
func TestBargain(t *testing.T) {
	impossible, refuted, useless, dear := 0, 0, 0, 0
	m := NewMarket(7) // its prices go on from one question to the next, which must not matter
	for seed := range uint64(3000) {
		groups := drawGroups(rand.New(rand.NewPCG(seed, 31)), 7)
		in, any := choicesOf(groups, 7)
		possible := m.Bargain(groups, slices.Repeat([]bool{true}, 7), 16)
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
			for _, c := range g.Live {
				if m.Dear(groups, i, c) {
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

// TestTooFewParts: three cannot share two parts, whatever else there is that none of them can take.
func TestTooFewParts(t *testing.T) {
	either := Group{Parts: []int32{0, 1}, Stride: 1, Live: []int32{0, 1}}
	groups := []Group{either, either}
	if !NewMarket(4).Bargain(groups, []bool{true, true, true, false}, 50) {
		t.Error("two parts are enough for two")
	}
	groups = append(groups, either)
	if NewMarket(4).Bargain(groups, []bool{true, true, true, false}, 50) {
		t.Error("two parts are not enough for three")
	}
}
