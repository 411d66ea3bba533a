package solve

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"shuntwright/match"
	"shuntwright/match/matchtest"
)

// turned is a response to reciprocals.
type turned struct{ match.Response }

func (r turned) Errors(dst, ohms []float64) {
	over := make([]float64, len(ohms))
	for i, v := range ohms {
		over[i] = 1 / v
	}
	r.Response.Errors(dst, over)
}

func (r turned) Rising(range_, slot int) int { return -r.Response.Rising(range_, slot) }

// symmetric draws a drawer and three positions with any networks in reach; with
// coupling, one range depends on all positions and one position moves two.
func symmetric(rng *rand.Rand, coupled, keep bool, enough float64) ([]float64, match.Problem) {
	var values []float64
	for range 6 + rng.IntN(3) {
		values = append(values, []float64{10, 22, 47, 100}[rng.IntN(4)]*(0.9+0.2*rng.Float64()))
	}
	p := matchtest.Separate([]float64{15 + 20*rng.Float64(), 40 + 40*rng.Float64(), 100 + 50*rng.Float64()}, 2, math.Inf(1))
	if coupled {
		weights := p.Response.(*matchtest.Linear).Weights
		weights[0], weights[1][0] = []float64{1, -0.3, 0.2}, 0.4
	}
	if keep {
		p.Needs[1].Keep, p.Needs[1].KeepBears = 35, math.Inf(1)
	}
	p.Enough = enough
	return values, p
}

func planOf(t *testing.T, values []float64, p match.Problem) match.Plan {
	t.Helper()
	plan, err := Plan(t.Context(), stockOf(t, values...), p)
	if err != nil || plan.End != match.Exact {
		t.Fatalf("%v, error %v", plan.End, err)
	}
	return plan
}

// worth is what plans that fill all positions are compared by, first things first.
func worth(p match.Plan, enough float64) []float64 {
	out := []float64{p.Worst}
	if p.Worst <= enough {
		out = []float64{0, float64(p.Parts())}
	}
	errors := slices.Clone(p.Errors)
	for i, e := range errors {
		errors[i] = -math.Abs(e)
	}
	slices.Sort(errors)
	for _, e := range errors {
		out = append(out, -e)
	}
	return append(out, float64(p.Parts()))
}

func close(a, b []float64) bool {
	return slices.EqualFunc(a, b, func(x, y float64) bool { return math.Abs(x-y) < 2e-9 })
}

// What must change nothing: another order of the drawer, another unit, and
// reciprocals, which swap series and parallel. Another part makes nothing worse.
func TestPlanSymmetries(t *testing.T) {
	for seed := range matchtest.Seeds(96) {
		rng := rand.New(rand.NewPCG(seed, 77))
		coupled, keep, enough := seed%2 == 1, seed/2%2 == 1, []float64{0, 3}[seed/4%2]
		values, p := symmetric(rng, coupled, keep, enough)
		t.Run(fmt.Sprintf("%d coupled %v keep %v enough %v", seed, coupled, keep, enough), func(t *testing.T) {
			plan := planOf(t, values, p)
			want := worth(plan, enough)

			more := worth(planOf(t, append(slices.Clone(values), 33), p), enough)
			if more[0] > want[0]+2e-9 || more[0] == 0 && want[0] == 0 && more[1] > want[1] {
				t.Errorf("another part makes %v of %v", more, want)
			}

			shuffled := slices.Clone(values)
			rng.Shuffle(len(shuffled), func(i, j int) { shuffled[i], shuffled[j] = shuffled[j], shuffled[i] })
			if got := worth(planOf(t, shuffled, p), enough); !close(got, want) {
				t.Errorf("another order makes %v of %v", got, want)
			}

			unit, scaled := p, slices.Clone(values)
			unit.Needs = slices.Clone(p.Needs)
			response := *p.Response.(*matchtest.Linear)
			response.Targets = slices.Clone(response.Targets)
			unit.Response = &response
			for i := range scaled {
				scaled[i] *= 1024
			}
			over, flipped := p, slices.Clone(values)
			over.Needs, over.Response = slices.Clone(p.Needs), turned{p.Response}
			for i := range flipped {
				flipped[i] = 1 / values[i]
			}
			for i := range p.Needs {
				unit.Needs[i].Target *= 1024
				unit.Needs[i].Keep *= 1024
				response.Targets[i] *= 1024
				over.Needs[i].Target, over.Needs[i].Keep = 1/p.Needs[i].Target, 1/p.Needs[i].Keep
			}
			for name, got := range map[string]match.Plan{"another unit": planOf(t, scaled, unit), "reciprocals": planOf(t, flipped, over)} {
				if w := worth(got, enough); !close(w, want) {
					t.Errorf("%s: %v of %v", name, w, want)
				}
				for i, n := range got.Networks {
					if !slices.Equal(n.Parts(), plan.Networks[i].Parts()) {
						t.Errorf("%s: position %d has parts %v instead of %v", name, i, n.Parts(), plan.Networks[i].Parts())
					}
				}
			}
		})
	}
}
