package solve

import (
	"context"
	"math"
	"os"
	"testing"
	"time"

	"shuntwright/match"
	"shuntwright/match/enumerate"
	"shuntwright/match/matchtest"
)

// instance is a published drawer and meter with a proven optimum.
type instance struct {
	matchtest.Instance
	stock   *enumerate.Stock
	problem match.Problem
}

func readInstance(t testing.TB, name string) instance {
	t.Helper()
	in, err := matchtest.Read("../..", name)
	if err != nil {
		t.Fatal(err)
	}
	return instance{in, stockOf(t, in.Ohms...), in.Meter.Problem(in.Parts, in.WithinPercent/100)}
}

// The optima of the instances in testdata/joint, which says who proved them.
func TestPlanPublishedInstances(t *testing.T) {
	names := []string{"easy-40-4", "easy-40-6", "easy-100-6", "easy-100-8", "easy-200-8", "scarce-12-5", "scarce-20-9",
		"three-15-4", "three-15-5", "three-20-6", "four-10-3", "four-12-3", "unfillable-30-18", "unfillable-12-7-three",
		"ring-12-3", "chain-12-3", "chain-24-5"}
	if os.Getenv("SHUNTWRIGHT_SLOW") != "" {
		names = append(names, "three-24-8", "three-30-8", "three-30-10", "unfillable-10-14", "unfillable-20-14", "scarce-24-11", "scarce-24-12")
	}
	for _, name := range names {
		t.Run(name, func(t *testing.T) { checkInstance(t, name) })
	}
}

func checkInstance(t *testing.T, name string) {
	in := readInstance(t, name)
	ctx, cancel := context.WithTimeout(t.Context(), 20*time.Second)
	defer cancel()
	start := time.Now()
	plan, err := Plan(ctx, in.stock, in.problem)
	if err != nil || !plan.Proven || plan.Bound != plan.Worst {
		t.Fatalf("proven %v, worst %v, bound %v, error %v", plan.Proven, plan.Worst, plan.Bound, err)
	}
	t.Log(time.Since(start).Round(time.Millisecond), plan.End)
	if !math.IsNaN(in.Worst) && math.Abs(plan.Worst-in.Worst) > 1e-9*in.Worst+1e-11 {
		t.Errorf("worst %.15g, published %.15g", plan.Worst, in.Worst)
	}
	checkPlan(t, in.stock, in.problem, plan)
	if plan.Key.Filled != in.Filled {
		t.Errorf("%d positions filled, published %d", plan.Key.Filled, in.Filled)
	}
}

// checkPlan holds a plan against what it says about itself.
func checkPlan(t *testing.T, s *enumerate.Stock, p match.Problem, plan match.Plan) {
	t.Helper()
	filled := 0
	for i, n := range plan.Networks {
		if plan.Filled[i] {
			filled++
		}
		need := p.Needs[i]
		if plan.Filled[i] == n.IsZero() {
			t.Errorf("position %d: filled %v", i, plan.Filled[i])
		}
		if !n.IsZero() && (math.Abs(n.Value()/need.Target-1) > need.Within*(1+1e-12) || n.Size() > need.AtMost) {
			t.Errorf("position %d: %v parts, value %v for %v", i, n.Parts(), n.Value(), need.Target)
		}
	}
	if filled != plan.Key.Filled {
		t.Errorf("%d filled, said to be %d", filled, plan.Key.Filled)
	}
	worst := matchtest.CheckPlan(t, p, s.Len(), plan.Networks, plan.Errors)
	if p.Limit == nil && worst != plan.Worst && !(math.IsNaN(worst) && math.IsNaN(plan.Worst)) {
		t.Errorf("worst %v, want %v", plan.Worst, worst)
	}
}
