package assign

import (
	"cmp"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"shuntwright/match"
	"shuntwright/match/matchtest"
)

// brute finds the best choice by listing all of them and keeping, one criterion
// after another, those that are best in it.
func brute(p Problem) []int {
	all := everyChoice(p)
	all = keepLeast(all, 0, func(c []int) float64 { return float64(-count(c)) })
	filled := count(all[0])
	all = keepLeast(all, 0, func(c []int) float64 { return float64(points(p, c)) })
	for _, outside := range []bool{false, true} {
		for k := range filled {
			all = keepLeast(all, match.Equal, func(c []int) float64 {
				return costs(p, c, func(x Candidate) bool { return x.Cost > p.Enough*(1+1e-9) && (x.Points > 0) == outside })[k]
			})
		}
	}
	all = keepLeast(all, 0, func(c []int) float64 { return float64(len(parts(p, c))) })
	for k := range filled {
		all = keepLeast(all, match.Equal, func(c []int) float64 { return costs(p, c, any)[k] })
	}
	return slices.MinFunc(all, func(a, b []int) int { return inOrder(p, a, b) })
}

func everyChoice(p Problem) [][]int {
	all := [][]int{nil}
	for _, list := range p.Positions {
		var longer [][]int
		for _, c := range all {
			for j := -1; j < len(list); j++ {
				longer = append(longer, append(slices.Clone(c), j))
			}
		}
		all = slices.DeleteFunc(longer, func(c []int) bool { return !disjointParts(p, c) })
	}
	return all
}

func keepLeast(all [][]int, within float64, of func([]int) float64) [][]int {
	least := math.Inf(1)
	for _, c := range all {
		least = min(least, of(c))
	}
	return slices.DeleteFunc(slices.Clone(all), func(c []int) bool { return of(c) > least+within })
}

func count(c []int) int {
	n := 0
	for _, j := range c {
		if j >= 0 {
			n++
		}
	}
	return n
}

func parts(p Problem, c []int) []int32 {
	var all []int32
	for i, j := range c {
		if j >= 0 {
			all = append(all, p.Positions[i][j].Parts...)
		}
	}
	return all
}

func disjointParts(p Problem, c []int) bool {
	all := parts(p, c)
	slices.Sort(all)
	return len(slices.Compact(slices.Clone(all))) == len(all)
}

func any(Candidate) bool { return true }

func points(p Problem, c []int) (n int) {
	for i, j := range c {
		if j >= 0 {
			n += p.Positions[i][j].Points
		}
	}
	return n
}

// costs lists the costs of a choice from the worst down, 0 for what does not count.
func costs(p Problem, c []int, counts func(Candidate) bool) []float64 {
	var all []float64
	for i, j := range c {
		if j >= 0 && counts(p.Positions[i][j]) {
			all = append(all, p.Positions[i][j].Cost)
		} else if j >= 0 {
			all = append(all, 0)
		}
	}
	slices.SortFunc(all, func(a, b float64) int { return cmp.Compare(b, a) })
	return all
}

// inOrder compares choices by the parts of each position; candidates with the
// same parts go by cost, then by index.
func inOrder(p Problem, a, b []int) int {
	for i := range a {
		if a[i] == b[i] {
			continue
		}
		if a[i] < 0 || b[i] < 0 {
			return cmp.Compare(b[i], a[i])
		}
		x, y := p.Positions[i][a[i]], p.Positions[i][b[i]]
		if c := slices.Compare(x.Parts, y.Parts); c != 0 {
			return c
		}
	}
	for i := range a {
		if a[i] != b[i] {
			x, y := p.Positions[i][a[i]], p.Positions[i][b[i]]
			if c := cmp.Or(cmp.Compare(x.Cost, y.Cost), cmp.Compare(a[i], b[i])); c != 0 {
				return c
			}
		}
	}
	return 0
}

// tiny draws a problem small enough for brute. Few levels of cost make ties;
// some costs differ by about match.Equal.
func tiny(rng *rand.Rand) Problem {
	p := Problem{Parts: 1 + rng.IntN(7), Positions: make([][]Candidate, 1+rng.IntN(4))}
	levels := 1 + rng.IntN(12)
	for i := range p.Positions {
		p.Positions[i] = make([]Candidate, rng.IntN(8))
		for j := range p.Positions[i] {
			c := Candidate{Cost: float64(rng.IntN(levels))}
			if rng.IntN(3) == 0 {
				c.Cost += float64(rng.IntN(5)) * 0.4e-9
			}
			for part := range p.Parts {
				if len(c.Parts) < 4 && rng.IntN(3) == 0 {
					c.Parts = append(c.Parts, int32(part))
				}
			}
			p.Positions[i][j] = c
		}
	}
	if rng.IntN(3) == 0 {
		p.Enough = float64(rng.IntN(levels)) + 0.5*float64(rng.IntN(2))
	}
	if rng.IntN(2) == 0 {
		class := max(p.Enough, float64(rng.IntN(levels)))
		for _, list := range p.Positions {
			for j := range list {
				list[j].Points = int(max(0, list[j].Cost-class+0.9) / 1.5)
			}
		}
	}
	return p
}

func TestSolveAgainstBruteForce(t *testing.T) {
	for seed := range matchtest.Seeds(2000) {
		p := tiny(rand.New(rand.NewPCG(seed, 1)))
		checkAgainstBrute(t, p)
		if t.Failed() {
			t.Fatalf("seed %d: %+v", seed, p)
		}
	}
}

func checkAgainstBrute(t *testing.T, p Problem) {
	t.Helper()
	a, err := Solve(t.Context(), p)
	if err != nil {
		t.Fatal(err)
	}
	want := brute(p)
	if !slices.Equal(a.Chosen, want) {
		t.Errorf("chose %v costing %v, want %v costing %v", a.Chosen, costs(p, a.Chosen, any), want, costs(p, want, any))
	}
	if a.Filled != count(want) || !a.Exact || !a.Proven {
		t.Errorf("filled %d, proven %v, exact %v; want %d and both true", a.Filled, a.Proven, a.Exact, count(want))
	}
	inside := func(x Candidate) bool { return x.Points == 0 }
	if a.Points != points(p, want) {
		t.Errorf("no fewer than %d points, want %d", a.Points, points(p, want))
	}
	if a.Filled == 0 || math.IsNaN(a.Worst) {
		return
	}
	if worst := costs(p, want, inside)[0]; a.Worst != worst || a.Bound > a.Worst || p.Enough == 0 && a.Bound < a.Worst-match.Equal {
		t.Errorf("worst %v, bound %v; want %v", a.Worst, a.Bound, worst)
	}
}
