package sat

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

// scarce returns some groups of a few items that take a few units of scarce
// resources.
func scarce(rng *rand.Rand) *items { return number(drawn(rng, 2+rng.IntN(4), 5, 4+rng.IntN(4), 1)) }

// choices returns all choices within the room, by trying everything.
func choices(p *items) (found [][]int32) {
	room := slices.Clone(p.full)
	var chosen []int32
	var choose func(g int32)
	choose = func(g int32) {
		if int(g) == len(p.groups) {
			found = append(found, slices.Clone(chosen))
			return
		}
		for item, of := range p.group {
			if of != g || slices.ContainsFunc(p.uses[item], func(u Use) bool { return u.Units > room[u.Resource] }) {
				continue
			}
			for _, u := range p.uses[item] {
				room[u.Resource] -= u.Units
			}
			chosen = append(chosen, int32(item))
			choose(g + 1)
			chosen = chosen[:len(chosen)-1]
			for _, u := range p.uses[item] {
				room[u.Resource] += u.Units
			}
		}
	}
	choose(0)
	return found
}

// shares fails the test where fractions do not make up one item a group within
// the room, or take what is forbidden.
func shares(t *testing.T, x *relaxation, p *items, forbidden []bool) {
	t.Helper()
	of, used := make([]float64, len(p.groups)), make([]float64, len(p.full))
	for item, g := range p.group {
		share := x.share(int32(item))
		if share < -1e-6 || forbidden[item] && share > 1e-6 {
			t.Errorf("takes %v of item %d, forbidden %v", share, item, forbidden[item])
		}
		of[g] += share
		for _, u := range p.uses[item] {
			used[u.Resource] += share * float64(u.Units)
		}
	}
	for g, sum := range of {
		if math.Abs(sum-1) > 1e-6 {
			t.Errorf("takes %v items of group %d", sum, g)
		}
	}
	for r, sum := range used {
		if sum > float64(p.full[r])+1e-6 {
			t.Errorf("takes %v of resource %d, of which there is %d", sum, r, p.full[r])
		}
	}
}

// affordable fails the test where a choice costs more than the room is worth.
func affordable(t *testing.T, all [][]int32, price []int64, worth int64) {
	t.Helper()
	for _, choice := range all {
		sum := int64(0)
		for _, item := range choice {
			sum += price[item]
		}
		if sum > worth || sum < 0 {
			t.Fatalf("choice %v costs %d of %d", choice, sum, worth)
		}
	}
}

// Whatever is forbidden, a solution must be one, and where there is none the
// prices must prove it and hold for every choice there is at all.
func TestRelaxation(t *testing.T) {
	none := 0
	for seed := range uint64(500) {
		rng := rand.New(rand.NewPCG(seed, 1))
		p := scarce(rng)
		x, all := newRelaxation(p), choices(p)
		for time := range 4 {
			forbidden := make([]bool, len(p.group))
			for item := range forbidden {
				forbidden[item] = time > 0 && rng.IntN(3) == 0
				x.forbidden[item] = forbidden[item]
			}
			if x.solve(func() bool { return false }) == feasible {
				shares(t, x, p, forbidden)
				continue
			}
			none++
			price, worth := x.prices()
			rest := worth
			for g := range int32(len(p.groups)) {
				least := int64(math.MaxInt32)
				for item, of := range p.group {
					if of == g && !forbidden[item] {
						least = min(least, price[item])
					}
				}
				rest -= least
			}
			if rest >= 0 {
				t.Errorf("seed %d: says no, but the cheapest items leave %d of %d", seed, rest, worth)
			}
			affordable(t, all, price, worth)
		}
	}
	if none < 1000 {
		t.Errorf("only %d questions without a solution", none)
	}
}

// Prices are whole sums of rows, so they hold for every choice there is even
// where the relaxation's proof is forged: any factors, negative ones, and what
// is no number.
func TestPricesOfForgedProofs(t *testing.T) {
	held := 0
	for seed := range uint64(300) {
		rng := rand.New(rand.NewPCG(seed, 2))
		p := scarce(rng)
		x, all := newRelaxation(p), choices(p)
		x.solve(func() bool { return false })
		for range 5 {
			x.ray = make([]float64, len(x.bound))
			for row := range x.ray {
				x.ray[row] = []float64{rng.NormFloat64(), rng.Float64(), 0, 1e-300, math.NaN(), math.Inf(1)}[rng.IntN(3+rng.IntN(4))]
			}
			price, worth := x.prices()
			affordable(t, all, price, worth)
			held += len(all)
		}
	}
	if held < 1000 {
		t.Errorf("only %d choices", held)
	}
}
