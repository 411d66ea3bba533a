package main

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"shuntwright/cmd/shuntwright/internal/predict"
)

// made is one network of the tests' own search: single parts and pairs.
type made struct {
	ohms  float64
	parts []int
}

// singlesAndPairs are all networks of at most two parts, one by one.
func singlesAndPairs(ohms []float64) []made {
	var out []made
	for i, a := range ohms {
		out = append(out, made{a, []int{i}})
		for j, b := range ohms[:i] {
			out = append(out, made{a + b, []int{j, i}}, made{a * b / (a + b), []int{j, i}})
		}
	}
	return out
}

// someDrawer is an invented drawer round two values.
func someDrawer(t *testing.T, rng *rand.Rand, parts int, round ...float64) (path string, ohms []float64) {
	var text strings.Builder
	text.WriteString("id,ohms\n")
	for i := range parts {
		x := math.Round(100*round[i%len(round)]*math.Exp(0.6*rng.NormFloat64())) / 100
		ohms = append(ohms, x)
		fmt.Fprintf(&text, "P%d,%.2f\n", i, x)
	}
	return put(t, t.TempDir(), "drawer.csv", text.String()), ohms
}

// TestEnoughMeasured holds plan and plan --enough measured against a search that
// tries every choice: what the surest plan may be off, on the ranges that are
// within the class, counts as none, and no plan comes before the answer then. The
// error of a shunt is that of the current divider, from the definition.
func TestEnoughMeasured(t *testing.T) {
	t.Parallel()
	fewer := 0
	for seed := range uint64(8) {
		drawer, ohms := someDrawer(t, rand.New(rand.NewPCG(seed, 1)), 24, 11, 1.1)
		meter := put(t, t.TempDir(), "m.json", `{"class": 5, "movement": {"full_scale": "1 mA", "coil": "98.6 ohm"}, "circuits": [
			{"circuit": "shunt", "range": "10 mA"}, {"circuit": "shunt", "range": "100 mA"}]}`)
		call := func(flags ...string) (got twoShunts) {
			answered(t, &got, append([]string{"plan", meter, "--drawer", drawer, "--within", "90", "--time-limit", "0"}, flags...)...)
			return got
		}
		exact, measured, sure := call(), call("--enough", "measured"), call("--sure")
		if len(*exact.Open) > 0 {
			t.Fatalf("seed %d leaves a position open", seed)
		}
		want := sure.doubt()
		if want > exact.doubt() {
			t.Errorf("seed %d: the surest plan may be %v off, the best %v", seed, want, exact.doubt())
		}
		if best := bruteShunts(ohms, 0); best.before(exact.rank(0)) || !*exact.Proven {
			t.Errorf("seed %d: %v, want %v", seed, exact.rank(0), best)
		}
		if !near(measured.EnoughPercent, &want, 1e-12, 0) || !*measured.Proven {
			t.Errorf("seed %d: enough %v, want %v; proven %v", seed, number(measured.EnoughPercent), want, *measured.Proven)
		}
		if best := bruteShunts(ohms, want); best.before(measured.rank(want)) || measured.FewerParts[len(measured.FewerParts)-1].Soldered != measured.parts() {
			t.Errorf("seed %d: %v, want %v; %+v", seed, measured.rank(want), best, measured.FewerParts)
		}
		if measured.parts() < exact.parts() {
			fewer++
		}
	}
	if fewer == 0 || fewer == 8 {
		t.Errorf("of 8 drawers %d have a plan of fewer parts that reads the same: they show one side only", fewer)
	}
}

// twoShunts is a plan for two shunts.
type twoShunts struct{ predict.Answer }

func (a twoShunts) parts() int { return len(a.Positions[0].Parts) + len(a.Positions[1].Parts) }

func (a twoShunts) rank(enough float64) standing {
	return rank([]float64{*a.Ranges[0].FullScaleError, *a.Ranges[1].FullScaleError}, 5, 0.05, enough, a.parts())
}

// doubt is how far the ranges may be off that are within the class of 5 %, which
// it is not left for; all of them, where none is.
func (a twoShunts) doubt() float64 {
	in, all := 0.0, 0.0
	for _, r := range a.Ranges {
		off := math.Abs(*r.FullScaleError) + *r.LimitPercent
		if all = max(all, off); math.Abs(*r.FullScaleError) <= 5 {
			in = max(in, min(off, 5))
		}
	}
	if in > 0 {
		return in
	}
	return all
}

// bruteShunts is where the first of all plans stands for two shunts for 10 and
// 100 mA on 1 mA and 98.6 ohm.
func bruteShunts(ohms []float64, enough float64) (best standing) {
	all := singlesAndPairs(ohms)
	off := func(shunt, amperes float64) float64 { return 100 * (amperes/0.001*shunt/(shunt+98.6) - 1) }
	for _, a := range all {
		for _, b := range all {
			if slices.ContainsFunc(a.parts, func(i int) bool { return slices.Contains(b.parts, i) }) ||
				math.Abs(a.ohms/(98.6/9)-1) > 0.9 || math.Abs(b.ohms/(98.6/99)-1) > 0.9 {
				continue
			}
			one := rank([]float64{off(a.ohms, 0.01), off(b.ohms, 0.1)}, 5, 0.05, enough, len(a.parts)+len(b.parts))
			if best == nil || one.before(best) {
				best = one
			}
		}
	}
	return best
}

// TestPickEqual holds the marks of pick, and the order of --enough, against
// all networks one by one.
func TestPickEqual(t *testing.T) {
	t.Parallel()
	for _, enough := range []string{"", "measured", "2"} {
		marked, singles := 0, 0
		for seed := range uint64(20) {
			drawer, ohms := someDrawer(t, rand.New(rand.NewPCG(seed, 2)), 16, 10)
			args := []string{"pick", "10", "--drawer", drawer, "--within", "40", "--top", "20"}
			if enough != "" {
				args = append(args, "--enough", enough)
			}
			var got, first pickAnswer
			answered(t, &got, args...)
			answered(t, &first, "pick", "10", "--drawer", drawer, "--within", "40", "--top", "1")
			alike := math.Abs(first.Choices[0].ErrorPercent) + *first.Choices[0].LimitPercent
			if enough == "2" {
				alike = 2
			}
			if (got.EnoughPercent != nil) != (enough != "") || got.EnoughPercent != nil && !near(got.EnoughPercent, &alike, 1e-12, 0) {
				t.Errorf("enough %v, want %v", number(got.EnoughPercent), alike)
			}
			want := pickOrder(ohms, alike, enough != "")
			equal := 0
			for k, choice := range got.Choices {
				within := math.Abs(choice.ErrorPercent) <= alike
				if within {
					equal++
				}
				if math.Abs(math.Abs(want[k].ohms-10)-math.Abs(choice.Ohms-10)) > 1e-9 || len(want[k].parts) != len(choice.Parts) {
					t.Errorf("--enough %q, seed %d, row %d: %v ohm of %d parts, want %v of %d", enough, seed, k, choice.Ohms, len(choice.Parts), want[k].ohms, len(want[k].parts))
				}
			}
			for _, choice := range got.Choices {
				if choice.Equal != (equal > 1 && math.Abs(choice.ErrorPercent) <= alike) {
					t.Errorf("--enough %q, seed %d: %+v marked within %v", enough, seed, choice, alike)
				}
			}
			marked += equal
			if len(got.Choices[0].Parts) == 1 && equal > 1 {
				singles++
			}
		}
		if marked < 25 || enough != "" && singles == 0 {
			t.Errorf("--enough %q: %d rows marked, %d with a single part first: the drawers show nothing", enough, marked, singles)
		}
	}
}

// pickOrder lists all networks for 10 ohm by their error; where fewest is
// wanted, those within alike percent come first and go by their parts.
func pickOrder(ohms []float64, alike float64, fewest bool) []made {
	all := singlesAndPairs(ohms)
	off := func(m made) float64 { return 10 * math.Abs(m.ohms-10) }
	slices.SortStableFunc(all, func(a, b made) int {
		size := func(m made) int {
			if !fewest || off(m) > alike {
				return math.MaxInt
			}
			return len(m.parts)
		}
		switch {
		case size(a) != size(b):
			return size(a) - size(b)
		case math.Abs(off(a)-off(b)) > 1e-9:
			if off(a) < off(b) {
				return -1
			}
			return 1
		}
		return len(a.parts) - len(b.parts)
	})
	return all
}

// standing is where a plan stands in the order of plans, by its definition: the
// points of all ranges, the steps of those within the class and of those outside,
// the largest first, and the parts.
type standing []int

// rank is the standing of a plan with these errors in percent; enough counts as
// none.
func rank(errors []float64, class, resolution, enough float64, parts int) standing {
	const guard = 1 + 1e-9
	points := 0
	within, outside := make([]int, len(errors)), make([]int, len(errors))
	for i, e := range errors {
		off := math.Abs(e)
		if off <= enough*guard {
			continue
		}
		steps, far := int(off/resolution*guard), 0
		for most := class; off > most*guard; most *= 2 {
			far++
		}
		if points += far; far > 0 {
			outside[i] = steps
		} else {
			within[i] = steps
		}
	}
	for _, list := range [][]int{within, outside} {
		slices.SortFunc(list, func(a, b int) int { return b - a })
	}
	return slices.Concat(standing{points}, within, outside, standing{parts})
}

// before tells whether a plan comes before another.
func (s standing) before(other standing) bool { return slices.Compare(s, other) < 0 }
