package buy

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"shuntwright/match"
	"shuntwright/match/enumerate"
	"shuntwright/match/matchtest"
	"shuntwright/match/network"
	"shuntwright/match/solve"
)

// bruteWithin tries every assignment of the networks of some values, and
// returns the first plan within the class.
func bruteWithin(values []float64, p match.Problem, class float64, separate bool) (matchtest.Plan, bool) {
	var slots [][]matchtest.Candidate
	for i, need := range p.Needs {
		all := matchtest.Networks(values, need.AtMost)
		if need.Keeps() {
			all = matchtest.Round(values, need.Keep, need.AtMost)
		}
		list := slices.DeleteFunc(matchtest.Within(all, need.Target, 100*need.Within), func(n matchtest.Candidate) bool {
			return separate && !withinAlone(p, i, n.Value, class)
		})
		if len(list) == 0 {
			return matchtest.Plan{}, false
		}
		slots = append(slots, list)
	}
	got := matchtest.Best(slots, p.Ranges, p.Response, nil, match.Order{})
	return got, !slices.Contains(got.Chosen, -1) && (p.Ranges == 0 || got.Costs()[0] <= class+1e-9)
}

// withinAlone tells whether a value keeps the ranges of its slot within the class.
func withinAlone(p match.Problem, slot int, value, class float64) bool {
	ohms, errors := slices.Clone(p.Response.(*matchtest.Linear).Targets), make([]float64, p.Ranges)
	ohms[slot] = value
	p.Response.Errors(errors, ohms)
	for r, e := range errors {
		if p.Response.Rising(r, slot) != 0 && math.Abs(e) > class+1e-9 {
			return false
		}
	}
	return true
}

func stockOf(t testing.TB, values ...float64) *enumerate.Stock {
	t.Helper()
	parts := make([]match.Part, len(values))
	for i, v := range values {
		parts[i] = match.Part{Value: v, Bears: math.Inf(1)}
	}
	s, err := enumerate.NewStock(parts)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func checkPlan(t *testing.T, s *enumerate.Stock, p match.Problem, plan match.Plan) {
	t.Helper()
	if worst := matchtest.CheckPlan(t, p, s.Len(), plan.Networks, plan.Errors); len(plan.Networks) > 0 && worst != plan.Worst {
		t.Errorf("worst %v, want %v", plan.Worst, worst)
	}
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

// bruteBuy tries every set of at most mostBrute pieces of at most most different
// values, and returns how many it takes, -1 if it cannot be done, and the first
// plan of all of that size and of as few values.
func bruteBuy(drawer []float64, p match.Problem, values []float64, most int, class float64, separate bool) (size int, first matchtest.Plan) {
	for k := range mostBrute + 1 {
		found := most + 1 // with so many values
		for _, set := range multisets(values, k) {
			different := len(slices.Compact(slices.Clone(set)))
			if different > min(found, most) {
				continue
			}
			got, ok := bruteWithin(slices.Concat(drawer, set), p, class, separate)
			if ok && (different < found || before(got, first)) {
				found, first = different, got
			}
		}
		if found <= most {
			return k, first
		}
	}
	return -1, first
}

// mostBrute is how many pieces brute force goes through.
const mostBrute = 3

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
func buyable(rng *rand.Rand, p match.Problem) []float64 {
	values := []float64{10, 47}[:1+rng.IntN(2)]
	for range 3 {
		target := p.Needs[rng.IntN(len(p.Needs))].Target
		values = append(values, target*[]float64{0.5, 1, 1, 2}[rng.IntN(4)]*(0.98+0.04*rng.Float64()))
	}
	return values
}

func TestAgainstBruteForce(t *testing.T) {
	sizes := map[string]int{}
	for seed := range matchtest.Seeds(600) {
		rng := rand.New(rand.NewPCG(seed, 31))
		separate := seed%3 > 0
		drawer, p := matchtest.Draw(rng, separate)
		s := stockOf(t, drawer...)
		if len(p.Needs) > 2 && !separate {
			continue // too much for brute force
		}
		values := buyable(rng, p)
		most := 1 + rng.IntN(2)
		class := []float64{0.5, 3, 10}[rng.IntN(3)]
		got, err := Fewest(t.Context(), s, p, Offer{Values: values}, most, class)
		if err != nil {
			t.Fatal(err)
		}
		size, want := bruteBuy(drawer, p, values, most, class, separate)
		if more := size < 0 && len(got.Values) > mostBrute; got.Found != (size >= 0) && !more || !got.Proven || got.Found && !more && len(got.Values) != size {
			t.Fatalf("seed %d: %v, found %v, proven %v; want %d pieces", seed, got.Values, got.Found, got.Proven, size)
		}
		sizes[fmt.Sprint(separate, size)]++
		if !got.Found {
			continue
		}
		whole := stockOf(t, slices.Concat(drawer, got.Values)...)
		checkPlan(t, whole, p, got.Plan)
		if !within(got.Plan, class) || !slices.IsSorted(got.Values) {
			t.Fatalf("seed %d: %v, worst %v of %v", seed, got.Values, got.Plan.Worst, class)
		}
		plain := p
		plain.Enough = 0
		plan, err := solve.Plan(t.Context(), whole, plain)
		if err != nil {
			t.Fatal(err)
		}
		if other := (matchtest.Plan{Errors: plan.Errors, Parts: plan.Parts()}); before(want, other) && !nearly(want, other) {
			t.Fatalf("seed %d: buys %v for %v with %d parts; there is %v with %d", seed, got.Values, other.Costs(), other.Parts, want.Costs(), want.Parts)
		}
	}
	for _, kind := range []string{"true", "false"} {
		for _, size := range []string{"-1", "0", "1", "2"} {
			if sizes[kind+" "+size] < 2 {
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
func TestSeveralOfOneValue(t *testing.T) {
	s := stockOf(t, 1)
	got, err := Fewest(t.Context(), s, matchtest.Separate([]float64{47, 47, 94}, 2, 0.2), Offer{Values: []float64{100, 47, 10, 47}}, 4, 0.1)
	if err != nil || !got.Found || !got.Proven || !slices.Equal(got.Values, []float64{47, 47, 47, 47}) || got.Plan.Worst > 1e-9 {
		t.Errorf("%+v, error %v", got, err)
	}
	got, err = Fewest(t.Context(), s, matchtest.Separate([]float64{47, 147, 94}, 2, 0.2), Offer{Values: []float64{100, 47}}, 1, 0.1)
	if err != nil || got.Found || !got.Proven || len(got.Values) != 0 || len(got.Plan.Networks) != 3 {
		t.Errorf("%+v, error %v", got, err)
	}
}

// What a position keeps, and what it must bear, hold for pieces too: a piece
// bears everything, the part in the drawer does not.
func TestBearing(t *testing.T) {
	s, err := enumerate.NewStock([]match.Part{{Value: 100, Bears: 0.001}, {Value: 10, Bears: 1}})
	if err != nil {
		t.Fatal(err)
	}
	p := matchtest.Separate([]float64{110}, 2, 0.2)
	p.Needs[0].Flow = 0.5
	got, err := Fewest(t.Context(), s, p, Offer{Values: []float64{100, 220}}, 2, 0.1)
	if err != nil || !got.Found || !slices.Equal(got.Values, []float64{100}) || !slices.Equal(got.Plan.Networks[0].Parts(), []int{1, 2}) {
		t.Errorf("%+v, error %v", got, err)
	}
	p.Needs[0].Keep, p.Needs[0].KeepBears, p.Needs[0].AtMost = 78, 1, 1
	got, err = Fewest(t.Context(), s, p, Offer{Values: []float64{32, 120}}, 2, 0.1)
	if err != nil || !got.Found || !slices.Equal(got.Values, []float64{32}) || !got.Plan.Networks[0].HasKept() {
		t.Errorf("%+v, error %v", got, err)
	}
}

// A range that no position moves cannot be helped; nor can one whose error
// stands beyond the class wherever its positions stand.
func TestCannotHelp(t *testing.T) {
	p := matchtest.Separate([]float64{100}, 1, 0.2)
	r := p.Response.(*matchtest.Linear)
	p.Ranges, r.Weights, r.Offset = 2, append(r.Weights, []float64{0}), append(r.Offset, 5)
	s := stockOf(t, 100)
	if got, err := Fewest(t.Context(), s, p, Offer{Values: []float64{100}}, 3, 1); err != nil || got.Found || !got.Proven {
		t.Errorf("%+v, error %v", got, err)
	}
	p = matchtest.Separate([]float64{100, 200}, 1, 0.2)
	r = p.Response.(*matchtest.Linear)
	r.Weights[0][1], r.Offset[0] = 0.5, 40
	if got, err := Fewest(t.Context(), s, p, Offer{Values: []float64{100, 200}}, 3, 1); err != nil || got.Found || !got.Proven {
		t.Errorf("coupled: %+v, error %v", got, err)
	}
}

// The limits of parts are not read, and Enough only up to the class.
func TestGoesByErrors(t *testing.T) {
	s := stockOf(t, 100.5)
	p := matchtest.Separate([]float64{100}, 1, 0.2)
	p.Enough = 50
	p.Limit = func([]network.Network, []float64) { t.Error("the limit is read") }
	got, err := Fewest(t.Context(), s, p, Offer{Values: []float64{100}}, 1, 1)
	if err != nil || !got.Found || len(got.Values) != 0 {
		t.Errorf("%+v, error %v", got, err)
	}
	got, err = Fewest(t.Context(), s, p, Offer{Values: []float64{99.9, 100.1}}, 1, 0.4)
	if err != nil || !got.Found || !slices.Equal(got.Values, []float64{99.9}) {
		t.Errorf("%+v, error %v", got, err)
	}
}
