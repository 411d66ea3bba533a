package main

import (
	"math"
	"slices"
	"strings"
	"testing"

	"shuntwright/cmd/shuntwright/internal/predict"
)

// The demo is invented; what is held here are rules that bind any numbers.
func TestPredictTrialsAndBudget(t *testing.T) {
	t.Chdir(t.TempDir())
	do(t, "demo --write .", "fit meter.json")
	ask := func(flags string) predict.Answer {
		t.Helper()
		var answer predict.Answer
		answered(t, &answer, words("predict meter.json "+flags)...)
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

// What the trials say of the linear limits is explained below the table, and
// nothing is explained that they do not say.
func TestLinearLegend(t *testing.T) {
	t.Chdir(t.TempDir())
	// One rectangle of 0.05 % is all that is unsure: 95 % of it is 0.95 of its
	// half-width, the linear limit 1.65/√3 = 0.953 of it: nearer than half a unit
	// of the second digit of u, which few trials cannot tell. Of 10 % the limits
	// are no longer alike to both sides.
	meterFile := `{"movement": {"full_scale": "1 mA", "full_scale_limit_percent": 0, "coil": "100 ohm", "coil_gain_percent": 0, "coil_floor": "0 ohm"},
		"circuits": [{"circuit": "multiplier", "range": "10 V", "fitted": "R1"}]}`
	put(t, ".", "m.json", meterFile)
	for _, test := range []struct{ gain, trials, says, not string }{
		{"0.05", "200", "more trials needed: so few", "go by the trials"},
		{"0.05", "100000", "  agrees\n", "linear limit: "},
		{"10", "100000", "where it differs, go by", "more trials needed"},
	} {
		put(t, ".", "drawer.csv", "id,ohms,gain_percent,floor_ohms\nR1,9900,"+test.gain+",0\n")
		s := program("predict", "m.json", "--trials", test.trials)
		if !strings.Contains(unwrapped(s.out), test.says) || strings.Contains(unwrapped(s.out), test.not) {
			t.Errorf("%s %% by %s: %s%s", test.gain, test.trials, s.out, s.err)
		}
	}
}

// unwrapped joins the lines that a text was broken into.
func unwrapped(text string) string { return strings.ReplaceAll(text, "\n  ", " ") }

// TestTrialsOfWhatIsGiven: the limits of what the meter file gives are those of
// the trials: every kind of it, with a limit, by an instrument and as assumed.
// Ranges that a contact of unknown size decides are bent, so the widths agree
// to a few percent only.
func TestTrialsOfWhatIsGiven(t *testing.T) {
	dir := t.TempDir()
	file := put(t, dir, "m.json", `{"movement": {"full_scale": "1 mA", "full_scale_limit_percent": 0, "coil": "101.3 ohm", "coil_gain_percent": 0.01, "swamp": "50.0 ohm", "swamp_limit_percent": 3},
		"circuits": [{"circuit": "shunt", "range": "10 mA", "contact": "100 mohm", "fitted": "16.71 ohm"},
		{"circuit": "shunt", "range": "20 mA", "contact": "500 mohm", "contact_limit_percent": 20, "fitted": "7.463 ohm"},
		{"circuit": "ring", "ranges": ["3 mA", "30 mA"], "swamp": "100.0 ohm", "swamp_instrument": "rough", "fitted": {"3 mA": "113.09 ohm", "30 mA": "12.566 ohm"}},
		{"circuit": "external-shunt", "range": "250 mA", "shunt": "4.20 ohm", "fitted": "894.5 ohm"},
		{"circuit": "external-shunt", "range": "100 mA", "series": "900 ohm", "series_limit_percent": 2, "fitted": "10.620 ohm"},
		{"circuit": "multiplier", "range": "3 V", "fitted": "2.849 kohm"}]}`)
	put(t, dir, "instruments.json", `{"rough": {"gain_percent": 2, "wires": 4}}`)
	var answer predict.Answer
	answered(t, &answer, "predict", file, "--drawer", dir+"/none.csv", "--instruments", dir+"/instruments.json", "--trials", "20000")
	if len(answer.Trials) != 7 {
		t.Fatalf("%d ranges", len(answer.Trials))
	}
	for i, one := range answer.Trials {
		half, linear := (one.High-one.Low)/2, *answer.Ranges[i].LimitPercent
		if math.Abs(half/linear-1) > 0.08 || linear < 0.2 {
			t.Errorf("%s: trials give ±%.4g %%, the linear limit is ±%.4g %%", one.Range, half, linear)
		}
	}
}

// A plan's chances are those of the meter once it is fitted.
func TestPlanTrials(t *testing.T) {
	t.Chdir(t.TempDir())
	do(t, "demo --write .")
	const trials = " --class 0.9 --trials 2000 --seed 3"
	var planned, fitted predict.Answer
	answered(t, &planned, words("plan meter.json"+trials)...)
	do(t, "fit meter.json --class 0.9")
	answered(t, &fitted, words("predict meter.json"+trials)...)
	if !near(planned.ChanceAll, fitted.ChanceAll, 0, 0) || fitted.ChanceAll == nil || *fitted.ChanceAll == 0 || *fitted.ChanceAll == 1 {
		t.Errorf("chance of all %v, fitted %v", number(planned.ChanceAll), number(fitted.ChanceAll))
	}
	for i, r := range fitted.Ranges {
		if r.ChanceWithinClass == nil || !near(planned.Ranges[i].ChanceWithinClass, r.ChanceWithinClass, 0, 0) {
			t.Errorf("range %d: %v, fitted %v", i, number(planned.Ranges[i].ChanceWithinClass), number(r.ChanceWithinClass))
		}
	}
	if s := program("plan", "meter.json", "--trials", "1"); s.code != exitWrong || !strings.Contains(s.err, "--trials 1: 1 trials are not enough") {
		t.Errorf("%+v", s)
	}
}

// What measuring again is said to gain is what predict says once it is done.
func TestMeasureAgain(t *testing.T) {
	const meterFile = `{"name": "test set", "movement": {"full_scale": "1 mA", "full_scale_limit_percent": %, "coil": "100.0 ohm", "instrument": "bridge"}, "circuits": [
		{"circuit": "shunt", "range": "5 mA", "fitted": "R1"}, {"circuit": "multiplier", "range": "10 V", "fitted": "R2"}]}`
	for _, test := range []struct {
		name, source, fullScale, promise, reading string
		nowScale, nowPromise, nowReading          string // measured as advised
	}{
		{"gain of an instrument", "gain of bridge", "0.05", `{"gain_percent": 1}`, "25.00,bridge,0.1,0.001",
			"0.05", `{"gain_percent": 0.1}`, "25.00,bridge,0.01,0.001"},
		{"floor of a part", "R1", "0.05", `{"gain_percent": 0.02}`, "25.00,bridge,0.02,1",
			"0.05", `{"gain_percent": 0.02}`, "25.00,bridge,0.02,0.1"},
		{"full-scale current", "full-scale current", "2", `{"gain_percent": 0.02}`, "25.00,bridge,0.02,0.001",
			"0.2", `{"gain_percent": 0.02}`, "25.00,bridge,0.02,0.001"},
	} {
		t.Run(test.name, func(t *testing.T) {
			t.Chdir(t.TempDir())
			predict := func(scale, promise, reading string) predict.Answer {
				t.Helper()
				for name, text := range map[string]string{
					"meter.json":       strings.Replace(meterFile, "%", scale, 1),
					"instruments.json": `{"bridge": ` + promise + `}`,
					"drawer.csv":       "id,ohms,instrument,gain_percent,floor_ohms,fitted\nR1," + reading + ",test set: shunt 5 mA\nR2,9900,bridge,,,test set: multiplier 10 V\n",
				} {
					put(t, ".", name, text)
				}
				var answer predict.Answer
				answered(t, &answer, "predict", "meter.json", "--budget")
				return answer
			}
			before := predict(test.fullScale, test.promise, test.reading)
			after := predict(test.nowScale, test.nowPromise, test.nowReading)
			if before.Again == nil || before.Again.Source != test.source {
				t.Fatalf("measure again %+v, want %s", before.Again, test.source)
			}
			if strings.HasPrefix(test.source, "gain") && !slices.Equal(before.Again.Readings, []string{"R1 [±0.1 %]", "coil", "R2"}) {
				t.Errorf("readings %q, want all that have the gain, of whatever range", before.Again.Readings)
			}
			if len(before.Again.Ranges) == 0 {
				t.Fatal("it is said to help no range")
			}
			for _, g := range before.Again.Ranges {
				for i, r := range before.Ranges {
					if r.Range != g.Range {
						continue
					}
					if math.Abs(g.Now-*r.LimitPercent) > 1e-12 || math.Abs(g.Then-*after.Ranges[i].LimitPercent) > 1e-9 {
						t.Errorf("%s: said to fall from %v to %v %%; predict says %v and %v", g.Range, g.Now, g.Then, *r.LimitPercent, *after.Ranges[i].LimitPercent)
					}
				}
			}
		})
	}
}
