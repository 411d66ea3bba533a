package objective_test

import (
	"context"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"shuntwright/match"
	"shuntwright/match/enumerate"
	"shuntwright/match/matchtest"
	"shuntwright/match/network"
	"shuntwright/match/objective"
)

// draw makes a problem of separate positions and networks for them.
func draw(t *testing.T, seed uint64) (*enumerate.Stock, match.Problem, []network.Network) {
	t.Helper()
	rng := rand.New(rand.NewPCG(seed, 2))
	values, p := matchtest.Draw(rng, true)
	parts := matchtest.Parts(values)
	s, err := enumerate.NewStock(parts)
	if err != nil {
		t.Fatal(err)
	}
	nets := make([]network.Network, len(p.Needs))
	for i, n := range p.Needs {
		if all := matchtest.Every(parts, n); rng.IntN(4) > 0 {
			nets[i] = all[rng.IntN(len(all))]
		}
	}
	if rng.IntN(2) == 0 {
		p.Limit = func(nets []network.Network, dst []float64) {
			for r := range dst {
				dst[r] = 0.5
				if r < len(nets) {
					dst[r] += 0.25 * float64(nets[r].Size())
				}
			}
		}
	}
	return s, p, nets
}

// A plan is worth what the response says of its values, and one range alone as
// much as among others.
func TestPlanAndCosts(t *testing.T) {
	for seed := range uint64(300) {
		s, p, nets := draw(t, seed)
		pl := objective.New(t.Context(), s, p)
		got := pl.Plan(nets)
		values, errors, limits := slices.Clone(p.Response.(*matchtest.Linear).Targets), make([]float64, p.Ranges), make([]float64, p.Ranges)
		for i, n := range nets {
			if !n.IsZero() {
				values[i] = n.Value()
			}
		}
		p.Response.Errors(errors, values)
		if p.Limit != nil {
			p.Limit(nets, limits)
		}
		worst := math.Inf(-1)
		for r, e := range errors {
			open := r < len(nets) && nets[r].IsZero()
			if !open {
				worst = max(worst, math.Abs(e)+limits[r])
			}
			if open != math.IsNaN(got.Errors[r]) || !open && got.Errors[r] != e {
				t.Errorf("seed %d: range %d is off by %v, want %v", seed, r, got.Errors[r], e)
			}
			if r < len(nets) && !open {
				alone := make([]network.Network, len(nets))
				alone[r] = nets[r]
				pl.Reset()
				if c := pl.CostAlone(r, alone); c != math.Abs(e)+limits[r] {
					t.Errorf("seed %d: range %d costs %v alone, want %v", seed, r, c, math.Abs(e)+limits[r])
				}
			}
		}
		if got.Worst != worst && !(math.IsNaN(got.Worst) && math.IsInf(worst, -1)) {
			t.Errorf("seed %d: worst %v, want %v", seed, got.Worst, worst)
		}
		checkSeal(t, pl, got)
	}
}

// checkSeal: a bound is never beyond the plan's own worst error, nor below what
// the ranges cost that no position moves.
func checkSeal(t *testing.T, pl *objective.Objective, p match.Plan) {
	t.Helper()
	fixed := pl.Fixed()
	for _, bound := range []float64{0, 1, 1e9} {
		got := pl.Seal(p, bound, match.WorstProven)
		if math.IsNaN(p.Worst) != math.IsNaN(got.Bound) || !math.IsNaN(p.Worst) && got.Bound != min(max(bound, fixed), p.Worst) {
			t.Errorf("bound %v of %v, worst %v, fixed %v", got.Bound, bound, p.Worst, fixed)
		}
		if !got.Proven || got.End != match.WorstProven || pl.Seal(p, bound, match.Narrowed).Proven || !pl.Seal(p, bound, match.Exact).Proven {
			t.Errorf("%v: proven %v", got.End, got.Proven)
		}
	}
}

func TestEarly(t *testing.T) {
	s, p, _ := draw(t, 1)
	ctx, cancel := context.WithCancel(t.Context())
	pl := objective.New(ctx, s, p)
	if got := pl.Early(); got != match.Narrowed {
		t.Error(got)
	}
	cancel()
	if got := pl.Early(); got != match.Interrupted || got.String() != "interrupted" {
		t.Error(got)
	}
}

func TestValidate(t *testing.T) {
	_, p, _ := draw(t, 1)
	if err := p.Validate(); err != nil {
		t.Error(err)
	}
	for name, change := range map[string]func(*match.Problem){
		"ranges": func(p *match.Problem) { p.Ranges = -1 }, "response": func(p *match.Problem) { p.Response = nil },
		"enough": func(p *match.Problem) { p.Enough = math.NaN() }, "need": func(p *match.Problem) { p.Needs[0].AtMost = 5 },
	} {
		bad := p
		bad.Needs = slices.Clone(p.Needs)
		if change(&bad); bad.Validate() == nil {
			t.Errorf("%s: no error", name)
		}
	}
}
