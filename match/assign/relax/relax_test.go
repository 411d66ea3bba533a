package relax

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

// draw returns some groups of a few items that take a few units of scarce
// resources.
func draw(rng *rand.Rand) Problem {
	p := Problem{Groups: 2 + rng.IntN(4), Users: make([][]int32, 4+rng.IntN(4))}
	for range p.Users {
		p.Room = append(p.Room, 1+int32(rng.IntN(5)/4))
	}
	for g := range p.Groups {
		for range 1 + rng.IntN(5) {
			var takes []int32
			for range 1 + rng.IntN(3) {
				takes = append(takes, int32(rng.IntN(len(p.Users))))
			}
			uses := UseOf(takes)
			for _, u := range uses {
				p.Users[u.Resource] = append(p.Users[u.Resource], int32(len(p.Group)))
			}
			p.Group, p.Uses = append(p.Group, int32(g)), append(p.Uses, uses)
		}
	}
	return p
}

// choices returns all choices within the room, by trying everything.
func choices(p Problem) (found [][]int32) {
	room := slices.Clone(p.Room)
	var chosen []int32
	var choose func(g int32)
	choose = func(g int32) {
		if int(g) == p.Groups {
			found = append(found, slices.Clone(chosen))
			return
		}
		for item, of := range p.Group {
			if of != g || slices.ContainsFunc(p.Uses[item], func(u Use) bool { return u.Units > room[u.Resource] }) {
				continue
			}
			for _, u := range p.Uses[item] {
				room[u.Resource] -= u.Units
			}
			chosen = append(chosen, int32(item))
			choose(g + 1)
			chosen = chosen[:len(chosen)-1]
			for _, u := range p.Uses[item] {
				room[u.Resource] += u.Units
			}
		}
	}
	choose(0)
	return found
}

// shares fails the test where fractions do not make up one item a group within
// the room, or take what is forbidden.
func shares(t *testing.T, x *Relaxation, p Problem, forbidden []bool) {
	t.Helper()
	of, used := make([]float64, p.Groups), make([]float64, len(p.Room))
	for item, g := range p.Group {
		share := x.Share(int32(item))
		if share < -1e-6 || forbidden[item] && share > 1e-6 {
			t.Errorf("takes %v of item %d, forbidden %v", share, item, forbidden[item])
		}
		of[g] += share
		for _, u := range p.Uses[item] {
			used[u.Resource] += share * float64(u.Units)
		}
	}
	for g, sum := range of {
		if math.Abs(sum-1) > 1e-6 {
			t.Errorf("takes %v items of group %d", sum, g)
		}
	}
	for r, sum := range used {
		if sum > float64(p.Room[r])+1e-6 {
			t.Errorf("takes %v of resource %d, of which there is %d", sum, r, p.Room[r])
		}
	}
}

// Whatever is forbidden, a solution must be one, and where there is none the
// prices must prove it and hold for every choice there is at all.
func TestRelaxation(t *testing.T) {
	none, cuts := 0, 0
	for seed := range uint64(500) {
		rng := rand.New(rand.NewPCG(seed, 1))
		p := draw(rng)
		x, all := New(p), choices(p)
		for time := range 4 {
			forbidden := make([]bool, len(p.Group))
			for item := range forbidden {
				forbidden[item] = time > 0 && rng.IntN(3) == 0
				x.Forbid(item, forbidden[item])
			}
			if x.Solve(true, func() bool { return false }) {
				shares(t, x, p, forbidden)
				continue
			}
			none++
			price, worth := x.Prices()
			rest := worth
			for g := range int32(p.Groups) {
				least := int64(math.MaxInt32)
				for item, of := range p.Group {
					if of == g && !forbidden[item] {
						least = min(least, price[item])
					}
				}
				rest -= least
			}
			if rest >= 0 {
				t.Errorf("seed %d: says no, but the cheapest items leave %d of %d", seed, rest, worth)
			}
			for _, choice := range all {
				sum := int64(0)
				for _, item := range choice {
					sum += price[item]
				}
				if sum > worth {
					t.Errorf("seed %d: choice %v costs %d of %d", seed, choice, sum, worth)
				}
			}
		}
		cuts += len(x.cuts)
	}
	if none < 1000 || cuts < 10 {
		t.Errorf("only %d questions without a solution, and %d cuts", none, cuts)
	}
}

// Three groups may each have any two of three resources, of either of two sets
// of three. Fractions share them by halves; odd sets tell that of each set only
// one group can have its two.
func TestCuts(t *testing.T) {
	p := Problem{Groups: 3, Users: make([][]int32, 6), Room: []int32{1, 1, 1, 1, 1, 1}}
	for item := range int32(18) {
		set := item % 2 * 3
		a, b := set+item/2%3, set+(item/2+1)%3
		p.Group, p.Uses = append(p.Group, item/6), append(p.Uses, UseOf([]int32{a, b}))
		p.Users[a], p.Users[b] = append(p.Users[a], item), append(p.Users[b], item)
	}
	if len(choices(p)) > 0 {
		t.Fatal("there is a choice")
	}
	never := func() bool { return false }
	x := New(p)
	if !x.Solve(false, never) {
		t.Error("no solution without cuts")
	}
	shares(t, x, p, make([]bool, len(p.Group)))
	if x.Solve(true, never) || x.Worn() {
		t.Error("a solution with cuts, or too many of these")
	}
	if x := New(Problem{Groups: 1, Group: []int32{0}, Uses: [][]Use{nil}}); !x.Solve(true, never) || x.Share(0) != 1 {
		t.Error("an item that takes nothing is not taken")
	}
}

// Prices are whole sums of rows, so they hold for every choice there is even
// where the relaxation's proof is forged: any factors, negative ones, and what
// is no number.
func TestPricesOfForgedProofs(t *testing.T) {
	held := 0
	for seed := range uint64(300) {
		rng := rand.New(rand.NewPCG(seed, 2))
		p := draw(rng)
		x, all := New(p), choices(p)
		x.Solve(true, func() bool { return false })
		for range 5 {
			x.system.ray = make([]float64, x.system.Rows())
			for row := range x.system.ray {
				x.system.ray[row] = []float64{rng.NormFloat64(), rng.Float64(), 0, 1e-300, math.NaN(), math.Inf(1)}[rng.IntN(3+rng.IntN(4))]
			}
			price, worth := x.Prices()
			for _, choice := range all {
				sum := int64(0)
				for _, item := range choice {
					sum += price[item]
				}
				if held++; sum > worth || sum < 0 {
					t.Fatalf("seed %d, factors %v: choice %v costs %d of %d", seed, x.system.ray, choice, sum, worth)
				}
			}
		}
	}
	if held < 1000 {
		t.Errorf("only %d choices", held)
	}
}
