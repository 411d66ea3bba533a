package solve

import (
	"math"
	"os"
	"testing"

	"shuntwright/match"
)

// The published instances in the order with a resolution, by steps of 0.05 %:
// all are proven, and where all ranges can be within the class the worst has as
// many steps as the published optimum, which general solvers proved
// (testdata/joint says which).
func TestPublishedInstancesInSteps(t *testing.T) {
	names := []string{"easy-40-4", "easy-40-6", "easy-200-8", "scarce-12-5", "scarce-20-9", "scarce-24-11", "scarce-30-14", "scarce-50-20",
		"three-20-6", "three-30-8", "four-12-3", "unfillable-30-18", "unfillable-20-14"}
	if os.Getenv("SHUNTWRIGHT_SLOW") != "" {
		names = append(names, "scarce-24-12", "scarce-30-15", "scarce-36-17", "scarce-36-18", "scarce-40-20", "scarce-50-24", "scarce-50-25", "scarce-60-28", "scarce-60-29", "scarce-80-39",
			"three-15-4", "three-15-5", "three-24-8", "three-30-10", "four-10-3", "unfillable-10-14", "unfillable-12-7-three")
	}
	within := 0
	for i, name := range names {
		in, classes := readInstance(t, name), []float64{2.5, 5}
		if os.Getenv("SHUNTWRIGHT_SLOW") == "" {
			classes = classes[i%2 : i%2+1]
		}
		for _, class := range classes {
			p := in.problem
			p.Class, p.Resolution = class, 0.05
			plan, err := Plan(t.Context(), in.stock, p)
			if err != nil || plan.End != match.Exact || plan.Key.Filled != in.Filled {
				t.Fatalf("%s: %v, %d filled, published %d, error %v", name, plan.End, plan.Key.Filled, in.Filled, err)
			}
			checkPlan(t, in.stock, p, plan)
			if math.IsNaN(in.Worst) { // not published
				continue
			}
			if (plan.Key.Points == 0) != (in.Worst <= class) {
				t.Errorf("%s: %d points in class %v, the smallest worst error published is %v %%", name, plan.Key.Points, class, in.Worst)
			}
			steps := append(plan.Key.Within, 0)[0]
			if want := p.Order().Tally(in.Worst).Steps; plan.Key.Points == 0 && steps != want {
				t.Errorf("%s: class %v: %v steps in the worst range, published are %v", name, class, steps, want)
			}
			if plan.Key.Points == 0 {
				within++
			}
		}
	}
	if within < 6 {
		t.Errorf("only %d plans are within the class", within)
	}
}
