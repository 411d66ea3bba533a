package branch_test

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"shuntwright/match"
	"shuntwright/match/branch"
	"shuntwright/match/matchtest"
)

// compare holds an answer against brute force.
func compare(t *testing.T, p branch.Problem, lists [][]matchtest.Candidate) {
	t.Helper()
	got, err := branch.Solve(context.Background(), p)
	if err != nil {
		t.Fatal(err)
	}
	want := matchtest.Best(lists, p.Ranges, p.Response, nil, match.Order{Enough: p.Enough})
	if !got.Proven || !got.Exact {
		t.Errorf("proven %v, exact %v; want both", got.Proven, got.Exact)
	}
	if !slices.Equal(got.Chosen, want.Chosen) {
		t.Errorf("chosen %v, errors %v; want %v, %v", got.Chosen, got.Errors, want.Chosen, want.Errors)
	}
	if costs := want.Costs(); got.Whole != len(costs) || len(costs) > 0 && (math.Abs(got.Worst-costs[0]) > 1e-9 || p.Enough == 0 && got.Bound != got.Worst) {
		t.Errorf("worst %v, bound %v of %d ranges; want %v", got.Worst, got.Bound, got.Whole, costs)
	}
}

func TestAgainstBruteForce(t *testing.T) {
	for seed := range 400 {
		rng := rand.New(rand.NewPCG(uint64(seed), 7))
		c, values := random(rng, 1+rng.IntN(4), 2+rng.IntN(5))
		p, lists := c.problem(values, 1+rng.IntN(2), 20+60*rng.Float64())
		if rng.IntN(3) == 0 {
			p.Enough = 30 * rng.Float64()
		}
		if !t.Run(fmt.Sprint(seed), func(t *testing.T) { compare(t, p, lists) }) {
			t.Logf("%+v %v enough %v", c, values, p.Enough)
		}
	}
}

// plain has two slots that move both ranges, straight.
type plain struct{}

func (plain) Errors(dst, ohms []float64) {
	dst[0] = ohms[0] + ohms[1] - 20
	dst[1] = ohms[0] - ohms[1]
}

func (plain) Rising(r, s int) int { return []int{1, 1, 1, -1}[2*r+s] }

// TestNearlyEqualErrors draws values that differ by a few times 4e-10 and 1e-7,
// so that some errors are equal and some are not.
func TestNearlyEqualErrors(t *testing.T) {
	for seed := range uint64(300) {
		rng := rand.New(rand.NewPCG(seed, 5))
		lists := make([][]matchtest.Candidate, 2)
		p := branch.Problem{Parts: 6, Ranges: 2, Response: plain{}, Budget: branch.DefaultBudget}
		for s := range lists {
			for range 6 {
				part := rng.Int32N(5)
				parts := []int32{part, part + 1}[:1+rng.IntN(2)]
				value := 10 + float64(rng.IntN(2)) + float64(rng.IntN(4))*4e-10 + float64(rng.IntN(3))*1e-7
				lists[s] = append(lists[s], matchtest.Candidate{Value: value, Parts: parts})
			}
			slices.SortStableFunc(lists[s], func(a, b matchtest.Candidate) int { return cmp.Compare(a.Value, b.Value) })
			p.Slots = append(p.Slots, slotOf(lists[s]))
		}
		compare(t, p, lists)
	}
}

// FuzzAgainstBruteForce draws a small problem from the seed.
func FuzzAgainstBruteForce(f *testing.F) {
	f.Add(uint64(1), uint8(3), uint8(5), uint8(2), 40.0, 0.0)
	f.Add(uint64(2), uint8(4), uint8(4), uint8(1), 60.0, 10.0)
	f.Add(uint64(3), uint8(2), uint8(6), uint8(3), 30.0, 0.0)
	f.Fuzz(func(t *testing.T, seed uint64, slots, parts, atMost uint8, within, enough float64) {
		if !(within > 0 && within < 90) || !(enough >= 0 && enough < 1e6) {
			return
		}
		c, values := random(rand.New(rand.NewPCG(seed, 9)), 1+int(slots%4), 1+int(parts%6))
		p, lists := c.problem(values, 1+int(atMost%3), within)
		for i := range lists {
			lists[i] = lists[i][:min(len(lists[i]), 12)]
			p.Slots[i] = p.Slots[i][:len(lists[i])]
		}
		p.Enough = enough
		compare(t, p, lists)
	})
}
