package match

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"shuntwright/match/matchtest"
)

// bruteWithin tries every assignment of the networks of a stock, and returns
// the first plan within the class.
func bruteWithin(s *Stock, p Problem, class float64, separate bool) (matchtest.Plan, bool) {
	var slots [][]matchtest.Candidate
	for i, n := range p.Needs {
		var list []matchtest.Candidate
		for _, net := range everyNetwork(s, n) {
			set := net.Set()
			c := matchtest.Candidate{Value: net.Value(), Parts: set[:net.Size()]}
			if math.Abs(c.Value/n.Target-1) <= n.Within && (!separate || withinAlone(p, i, c.Value, class)) {
				list = append(list, c)
			}
		}
		if len(list) == 0 {
			return matchtest.Plan{}, false
		}
		slots = append(slots, list)
	}
	got := matchtest.Best(slots, p.Ranges, p.Response, 0)
	return got, !slices.Contains(got.Chosen, -1) && (p.Ranges == 0 || got.Costs()[0] <= class+1e-9)
}

// withinAlone tells whether a value keeps the ranges of its slot within the class.
func withinAlone(p Problem, slot int, value, class float64) bool {
	ohms, errors := make([]float64, len(p.Needs)), make([]float64, p.Ranges)
	for i, n := range p.Needs {
		ohms[i] = n.Target
	}
	ohms[slot] = value
	p.Response.Errors(errors, ohms)
	for r, e := range errors {
		if p.Response.Rising(r, slot) != 0 && math.Abs(e) > class+1e-9 {
			return false
		}
	}
	return true
}

// multisets returns all of k of the values, ascending.
func multisets(values []float64, k int) (out [][]float64) {
	if k == 0 {
		return [][]float64{nil}
	}
	for i, v := range values {
		for _, rest := range multisets(values[i:], k-1) {
			out = append(out, append([]float64{v}, rest...))
		}
	}
	return out
}

// bruteBuy tries every multiset of at most most values, and returns how many it
// takes, -1 if it cannot be done, and the first plan of all of that size.
func bruteBuy(t *testing.T, s *Stock, p Problem, values []float64, most int, class float64, separate bool) (size int, first matchtest.Plan) {
	for k := range most + 1 {
		found := false
		for _, set := range multisets(values, k) {
			got, ok := bruteWithin(s.with(t, set), p, class, separate)
			if ok && (!found || before(got, first)) {
				found, first = true, got
			}
		}
		if found {
			return k, first
		}
	}
	return -1, first
}

func (s *Stock) with(t *testing.T, values []float64) *Stock {
	return stockOf(t, append(slices.Clone(s.values), values...)...)
}

// before compares plans by their errors, the worst first, then by their parts.
func before(a, b matchtest.Plan) bool {
	x, y := a.Costs(), b.Costs()
	for i := range x {
		if math.Abs(x[i]-y[i]) > 1e-9 {
			return x[i] < y[i]
		}
	}
	return a.Parts < b.Parts
}

// buyable draws values of which some fit a position, or half of it.
func buyable(rng *rand.Rand, p Problem) []float64 {
	values := []float64{10, 47}[:1+rng.IntN(2)]
	for range 3 {
		target := p.Needs[rng.IntN(len(p.Needs))].Target
		values = append(values, target*[]float64{0.5, 1, 1, 2}[rng.IntN(4)]*(0.98+0.04*rng.Float64()))
	}
	return values
}

func TestBuyAgainstBruteForce(t *testing.T) {
	sizes := map[string]int{}
	for seed := range uint64(600) {
		rng := rand.New(rand.NewPCG(seed, 31))
		separate := seed%3 > 0
		s, p := randomProblem(t, rng, separate)
		if len(p.Needs) > 2 && !separate {
			continue // too much for brute force
		}
		values := buyable(rng, p)
		most := 1 + rng.IntN(2)
		class := []float64{0.5, 3, 10}[rng.IntN(3)]
		got, err := s.Buy(t.Context(), p, values, most, class)
		if err != nil {
			t.Fatal(err)
		}
		size, want := bruteBuy(t, s, p, values, most, class, separate)
		if got.Found != (size >= 0) || !got.Proven || got.Found && len(got.Values) != size {
			t.Fatalf("seed %d: %v, found %v, proven %v; want %d pieces", seed, got.Values, got.Found, got.Proven, size)
		}
		sizes[fmt.Sprint(separate, size)]++
		if size < 0 {
			continue
		}
		whole := s.with(t, got.Values)
		checkPlan(t, whole, p, got.Plan)
		if !got.Plan.within(class) || !slices.IsSorted(got.Values) {
			t.Fatalf("seed %d: %v, worst %v of %v", seed, got.Values, got.Plan.Worst, class)
		}
		plain := p
		plain.Enough = 0
		plan, err := whole.Plan(t.Context(), plain)
		if err != nil {
			t.Fatal(err)
		}
		if other := (matchtest.Plan{Errors: plan.Errors, Parts: plan.Parts()}); before(want, other) && !nearly(want, other) {
			t.Fatalf("seed %d: buys %v for %v with %d parts; there is %v with %d", seed, got.Values, other.Costs(), other.Parts, want.Costs(), want.Parts)
		}
	}
	for _, kind := range []string{"true", "false"} {
		for _, size := range []string{"-1", "0", "1", "2"} {
			if sizes[kind+" "+size] < 3 {
				t.Errorf("hardly tested: %v", sizes)
			}
		}
	}
}

// nearly reports whether plans differ by rounding at most.
func nearly(a, b matchtest.Plan) bool {
	return a.Parts == b.Parts && slices.EqualFunc(a.Costs(), b.Costs(), func(x, y float64) bool { return math.Abs(x-y) < 3e-9 })
}

// Two ranges want the same value, twice; and one pair of them makes a third.
func TestBuySeveralOfOneValue(t *testing.T) {
	s := stockOf(t, 1)
	got, err := s.Buy(t.Context(), separateProblem([]float64{47, 47, 94}, 2, 0.2), []float64{100, 47, 10, 47}, 4, 0.1)
	if err != nil || !got.Found || !got.Proven || !slices.Equal(got.Values, []float64{47, 47, 47, 47}) || got.Plan.Worst > 1e-9 {
		t.Errorf("%+v, error %v", got, err)
	}
	got, err = s.Buy(t.Context(), separateProblem([]float64{47, 47, 94}, 2, 0.2), []float64{100, 47, 10}, 3, 0.1)
	if err != nil || got.Found || !got.Proven || len(got.Values) != 0 || len(got.Plan.Networks) != 3 {
		t.Errorf("%+v, error %v", got, err)
	}
}

// What a position keeps, and what it must bear, hold for pieces too: a piece
// bears everything, the part in the drawer does not.
func TestBuyBearing(t *testing.T) {
	s, err := NewStock([]Part{{100, 0.001}, {10, 1}})
	if err != nil {
		t.Fatal(err)
	}
	p := separateProblem([]float64{110}, 2, 0.2)
	p.Needs[0].Flow = 0.5
	got, err := s.Buy(t.Context(), p, []float64{100, 220}, 2, 0.1)
	if err != nil || !got.Found || !slices.Equal(got.Values, []float64{100}) || !slices.Equal(got.Plan.Networks[0].Parts(), []int{1, 2}) {
		t.Errorf("%+v, error %v", got, err)
	}
	p.Needs[0].Keep, p.Needs[0].KeepBears, p.Needs[0].AtMost = 78, 1, 1
	got, err = s.Buy(t.Context(), p, []float64{32, 120}, 2, 0.1)
	if err != nil || !got.Found || !slices.Equal(got.Values, []float64{32}) || !got.Plan.Networks[0].HasKept() {
		t.Errorf("%+v, error %v", got, err)
	}
}

// A range that no position moves cannot be helped; nor can one whose error
// stands beyond the class wherever its positions stand.
func TestBuyCannotHelp(t *testing.T) {
	p := separateProblem([]float64{100}, 1, 0.2)
	r := p.Response.(*linear)
	p.Ranges, r.weights, r.offset = 2, append(r.weights, []float64{0}), append(r.offset, 5)
	s := stockOf(t, 100)
	if got, err := s.Buy(t.Context(), p, []float64{100}, 3, 1); err != nil || got.Found || !got.Proven {
		t.Errorf("%+v, error %v", got, err)
	}
	p = separateProblem([]float64{100, 200}, 1, 0.2)
	r = p.Response.(*linear)
	r.weights[0][1], r.offset[0] = 0.5, 40
	if got, err := s.Buy(t.Context(), p, []float64{100, 200}, 3, 1); err != nil || got.Found || !got.Proven {
		t.Errorf("coupled: %+v, error %v", got, err)
	}
}

// The limits of parts are not read, and Enough only up to the class.
func TestBuyGoesByErrors(t *testing.T) {
	s := stockOf(t, 100.5)
	p := separateProblem([]float64{100}, 1, 0.2)
	p.Enough = 50
	p.Limit = func([]Network, []float64) { t.Error("the limit is read") }
	got, err := s.Buy(t.Context(), p, []float64{100}, 1, 1)
	if err != nil || !got.Found || len(got.Values) != 0 {
		t.Errorf("%+v, error %v", got, err)
	}
	got, err = s.Buy(t.Context(), p, []float64{99.9, 100.1}, 1, 0.4)
	if err != nil || !got.Found || !slices.Equal(got.Values, []float64{99.9}) {
		t.Errorf("%+v, error %v", got, err)
	}
}
