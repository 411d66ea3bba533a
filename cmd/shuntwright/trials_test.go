package main

import (
	"encoding/json"
	"math"
	"testing"
)

// The demo is invented; what is held here are rules that bind any numbers.
func TestPredictTrialsAndBudget(t *testing.T) {
	t.Chdir(t.TempDir())
	shell(t, "shuntwright demo --write .")
	shell(t, "shuntwright fit meter.json")
	ask := func(flags string) predictAnswer {
		t.Helper()
		var answer predictAnswer
		if err := json.Unmarshal([]byte(shell(t, "shuntwright predict meter.json --format json "+flags)), &answer); err != nil {
			t.Fatal(err)
		}
		return answer
	}
	answer := ask("--trials 20000 --budget")
	if len(answer.Trials) != 6 || answer.ChanceAll == nil {
		t.Fatalf("%d ranges in the trials, chance %v; want 6 and a number", len(answer.Trials), answer.ChanceAll)
	}
	for i, one := range answer.Trials {
		linear := answer.Ranges[i]
		// The 95 % interval of the trials is about as wide as the linear limit:
		// the exact shape differs from a normal one by a few percent.
		half := (one.High - one.Low) / 2
		if math.Abs(half / *linear.LimitPercent - 1) > 0.1 {
			t.Errorf("%s: trials give ±%.3g %%, the linear limit is ±%.3g %%", one.Range, half, *linear.LimitPercent)
		}
		if *linear.ChanceWithinClass < *answer.ChanceAll {
			t.Errorf("%s is within the class less often than all ranges together", one.Range)
		}
	}
	sums := map[string]float64{}
	for _, one := range answer.Budget {
		sums[one.Range] += one.Share
	}
	for name, sum := range sums {
		if math.Abs(sum-1) > 1e-9 {
			t.Errorf("%s: the shares add up to %v", name, sum)
		}
	}
	again, other := ask("--trials 20000"), ask("--trials 20000 --seed 2")
	if again.Trials[0].Mean != answer.Trials[0].Mean || again.Trials[0].High != answer.Trials[0].High {
		t.Error("the same seed gives other trials")
	}
	if other.Trials[0].Mean == answer.Trials[0].Mean {
		t.Error("another seed gives the same trials")
	}
	tight := ask("--trials 20000 --class 0.8")
	if chance := *tight.ChanceAll; !(chance > 0 && chance < 0.9) {
		t.Errorf("chance %v of all ranges within 0.8 %%; the plan's worst error is 0.74 ±0.77 %%", chance)
	}
}
