package solve

import (
	"context"
	"math"
	"slices"
	"testing"
	"time"

	"shuntwright/match"
	"shuntwright/match/enumerate"
	"shuntwright/match/matchtest"
	"shuntwright/match/network"
)

func TestPlanDegenerate(t *testing.T) {
	equal := stockOf(t, slices.Repeat([]float64{100}, 5000)...)
	for _, c := range []struct {
		name   string
		stock  *enumerate.Stock
		p      match.Problem
		filled int
		worst  float64
	}{
		{"no position", stockOf(t, 1), match.Problem{}, 0, math.NaN()},
		{"more positions than parts", stockOf(t, 10, 20), matchtest.Separate([]float64{10, 20, 10, 20}, 2, 0.2), 2, 0},
		{"nothing within", stockOf(t, 10, 20), matchtest.Separate([]float64{1000}, 4, 0.2), 0, math.NaN()},
		{"equal parts", equal, matchtest.Separate([]float64{50, 100, 200, 50, 150, 103}, 2, 0.2), 5, 100 - 100/1.03},
		{"equal parts of up to four", equal, matchtest.Separate([]float64{25, 250, 133, 60, 40, 166}, 4, 0.2), 6, 100 * (500.0/3/166 - 1)},
	} {
		t.Run(c.name, func(t *testing.T) {
			start := time.Now()
			got, err := Plan(t.Context(), c.stock, c.p)
			if err != nil || !got.Proven {
				t.Fatalf("%v, error %v", got.End, err)
			}
			checkPlan(t, c.stock, c.p, got)
			if got.Key.Filled != c.filled || math.Abs(got.Worst-c.worst) > 1e-9 || math.IsNaN(got.Worst) != math.IsNaN(c.worst) {
				t.Errorf("%d filled, worst %v; want %d and %v", got.Key.Filled, got.Worst, c.filled, c.worst)
			}
			if d := time.Since(start); d > 60*time.Second {
				t.Errorf("took %v", d)
			}
		})
	}
}

// With a limit plans go by |error| + limit; for a separate position that can be
// tried network by network. One range that depends on both positions a little
// changes nothing about that.
func TestPlanWithLimit(t *testing.T) {
	s := stockOf(t, 99, 101.5, 250, 260)
	p := matchtest.Separate([]float64{100, 250}, 1, 0.2)
	p.Limit = func(nets []network.Network, dst []float64) {
		for i, n := range nets {
			dst[i] = 0.5
			if slices.Contains(n.Parts(), 0) {
				dst[i] = 2 // the nearer part, but badly measured
			}
		}
	}
	got, err := Plan(t.Context(), s, p)
	if err != nil || !got.Proven || !slices.Equal(got.Networks[0].Parts(), []int{1}) || math.Abs(got.Worst-2) > 1e-9 || math.Abs(got.Errors[0]-1.5) > 1e-9 {
		t.Errorf("%+v, error %v", got, err)
	}
	p.Response.(*matchtest.Linear).Weights[0][1] = 0.1 // coupled
	got, err = Plan(t.Context(), s, p)
	if err != nil || !got.Proven || !slices.Equal(got.Networks[0].Parts(), []int{1}) || math.Abs(got.Worst-2) > 1e-9 || math.Abs(got.Bound-2) > 1e-9 {
		t.Errorf("coupled: %+v, error %v", got, err)
	}
}

func TestPlanInterrupted(t *testing.T) {
	s := stockOf(t, matchtest.Values(1500, 2)...)
	p := matchtest.Separate([]float64{120, 250, 800, 3000}, 4, 0.2)
	ctx, cancel := context.WithTimeout(t.Context(), 100*time.Millisecond)
	defer cancel()
	start := time.Now()
	got, err := Plan(ctx, s, p)
	if err != nil || got.Proven || got.End != match.Interrupted {
		t.Errorf("%v, proven %v, error %v", got.End, got.Proven, err)
	}
	if d := time.Since(start); d > 20*time.Second {
		t.Errorf("asked to end after 100 ms, ended after %v", d)
	}
}

func TestPlanBadInput(t *testing.T) {
	s := stockOf(t, 1, 2)
	for name, spoil := range map[string]func(*match.Problem){
		"target": func(p *match.Problem) { p.Needs[1].Target = 0 }, "ranges": func(p *match.Problem) { p.Ranges = -1 },
		"response": func(p *match.Problem) { p.Response = nil }, "enough": func(p *match.Problem) { p.Enough = math.NaN() },
	} {
		p := matchtest.Separate([]float64{1, 2}, 2, 0.2)
		spoil(&p)
		if _, err := Plan(t.Context(), s, p); err == nil {
			t.Errorf("%s: no error", name)
		}
	}
}

func TestProgressAndEnding(t *testing.T) {
	calls := 0
	for _, name := range []string{"scarce-12-5", "ring-12-3"} {
		in := readInstance(t, name)
		last := match.Progress{}
		in.problem.Progress = func(p match.Progress) { last = p; calls++ }
		plan, err := Plan(t.Context(), in.stock, in.problem)
		if err != nil || calls == 0 || last.Filled != in.Filled || math.Abs(last.Worst-plan.Worst) > 1e-9 {
			t.Errorf("%s: %d calls, last %+v, plan %v", name, calls, last, plan.Worst)
		}
	}
	for e, want := range map[match.Ending]string{match.Exact: "exact", match.WorstProven: "worst error proven", match.Interrupted: "interrupted", match.Narrowed: "narrowed", 0: "Ending(0)"} {
		if e.String() != want {
			t.Errorf("%q, want %q", e, want)
		}
	}
}

func TestJudge(t *testing.T) {
	s := stockOf(t, 101, 48, 7)
	p := matchtest.Separate([]float64{100, 47, 7}, 1, 0.2)
	plan, err := Plan(t.Context(), s, p)
	if err != nil {
		t.Fatal(err)
	}
	nets := slices.Clone(plan.Networks)
	nets[2] = network.Network{}
	got, err := Judge(s, p, nets)
	if err != nil || got.Proven || got.Worst != plan.Worst || got.Bound != 0 || !slices.Equal(got.Filled, []bool{true, true, false}) {
		t.Errorf("%+v, error %v", got, err)
	}
	if _, err := Judge(s, p, nets[:2]); err == nil {
		t.Error("two networks for three positions: no error")
	}
	p.Needs[0].AtMost = 9
	if _, err := Judge(s, p, nets); err == nil {
		t.Error("nine parts: no error")
	}
}
