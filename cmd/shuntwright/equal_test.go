package main

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
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

// TestEnoughMeasured holds plan --enough measured against a search that tries
// every choice: among the plans whose ranges are all within the largest error plus
// limit of the surest plan's, none has fewer parts. The error of a
// shunt is that of the current divider, from the definition.
func TestEnoughMeasured(t *testing.T) {
	fewer := 0
	for seed := range uint64(12) {
		drawer, ohms := someDrawer(t, rand.New(rand.NewPCG(seed, 1)), 7, 11, 1.1)
		meter := put(t, t.TempDir(), "m.json", `{"movement": {"full_scale": "1 mA", "coil": "98.6 ohm"}, "circuits": [
			{"circuit": "shunt", "range": "10 mA"}, {"circuit": "shunt", "range": "100 mA"}]}`)
		type answer struct {
			Worst  float64 `json:"worst_full_scale_error_percent"`
			Limit  float64 `json:"limit_percent"`
			Enough float64 `json:"enough_percent"`
			Bound  float64 `json:"bound_percent"`
			Open   []string
			Proven bool
			Ranges []struct {
				Error float64 `json:"full_scale_error_percent"`
				Limit float64 `json:"limit_percent"`
			}
			Fewer   []struct{ Soldered int }   `json:"fewer_parts"`
			Filling []struct{ Parts []string } `json:"positions"`
		}
		var exact, sure, measured answer
		answered(t, &exact, "plan", meter, "--drawer", drawer, "--within", "90")
		answered(t, &measured, "plan", meter, "--drawer", drawer, "--within", "90", "--enough", "measured")
		if len(exact.Open) > 0 {
			t.Fatalf("seed %d leaves a position open", seed)
		}
		doubt := func(a answer) (off float64) {
			for _, r := range a.Ranges {
				off = max(off, math.Abs(r.Error)+r.Limit)
			}
			return off
		}
		answered(t, &sure, "plan", meter, "--drawer", drawer, "--within", "90", "--sure")
		want := doubt(sure)
		if want > doubt(exact) {
			t.Errorf("seed %d: the surest plan may be %v off, the best %v", seed, want, doubt(exact))
		}
		least, fewest := bruteEnough(ohms, want)
		soldered := len(measured.Filling[0].Parts) + len(measured.Filling[1].Parts)
		if !near(&exact.Worst, &least, 1e-9, 1e-9) || measured.Bound != exact.Bound {
			t.Errorf("seed %d: worst error %v, bound %v, want %v", seed, exact.Worst, measured.Bound, least)
		}
		if !near(&measured.Enough, &want, 1e-12, 0) || !(measured.Worst <= want) || !measured.Proven {
			t.Errorf("seed %d: enough %v, want %v; worst %v, proven %v", seed, measured.Enough, want, measured.Worst, measured.Proven)
		}
		if soldered != fewest || measured.Fewer[len(measured.Fewer)-1].Soldered != soldered {
			t.Errorf("seed %d: %d parts, want %d", seed, soldered, fewest)
		}
		if before := len(exact.Filling[0].Parts) + len(exact.Filling[1].Parts); fewest < before {
			fewer++
		}
	}
	if fewer == 0 || fewer == 12 {
		t.Errorf("of 12 drawers %d have a plan of fewer parts that reads the same: they show one side only", fewer)
	}
}

// bruteEnough is the smallest worst error of two shunts for 10 and 100 mA on
// 1 mA and 98.6 ohm, and the fewest parts that come within so much.
func bruteEnough(ohms []float64, enough float64) (least float64, fewest int) {
	all := singlesAndPairs(ohms)
	off := func(shunt, amperes float64) float64 {
		return 100 * math.Abs(amperes/0.001*shunt/(shunt+98.6)-1)
	}
	each := func(do func(worst float64, parts int)) {
		for _, a := range all {
			for _, b := range all {
				if !slices.ContainsFunc(a.parts, func(i int) bool { return slices.Contains(b.parts, i) }) {
					do(max(off(a.ohms, 0.01), off(b.ohms, 0.1)), len(a.parts)+len(b.parts))
				}
			}
		}
	}
	least, fewest = math.Inf(1), math.MaxInt
	each(func(worst float64, parts int) { least = min(least, worst) })
	each(func(worst float64, parts int) {
		if worst <= enough {
			fewest = min(fewest, parts)
		}
	})
	return least, fewest
}

// TestPickEqual holds the marks of pick, and the order of --enough, against
// all networks one by one.
func TestPickEqual(t *testing.T) {
	for _, enough := range []string{"", "measured", "2"} {
		marked, singles := 0, 0
		for seed := range uint64(20) {
			drawer, ohms := someDrawer(t, rand.New(rand.NewPCG(seed, 2)), 16, 10)
			args := []string{"pick", "10", "--drawer", drawer, "--within", "40", "--top", "20"}
			if enough != "" {
				args = append(args, "--enough", enough)
			}
			var got struct {
				Enough  *float64 `json:"enough_percent"`
				Choices []struct {
					Ohms  float64
					Parts []string
					Error float64 `json:"error_percent"`
					Limit float64 `json:"limit_percent"`
					Equal bool
				}
			}
			answered(t, &got, args...)
			var first struct {
				Choices []struct {
					Error float64 `json:"error_percent"`
					Limit float64 `json:"limit_percent"`
				}
			}
			answered(t, &first, "pick", "10", "--drawer", drawer, "--within", "40", "--top", "1")
			alike := math.Abs(first.Choices[0].Error) + first.Choices[0].Limit
			if enough == "2" {
				alike = 2
			}
			if (got.Enough != nil) != (enough != "") || got.Enough != nil && !near(got.Enough, &alike, 1e-12, 0) {
				t.Errorf("enough %v, want %v", number(got.Enough), alike)
			}
			want := pickOrder(ohms, alike, enough != "")
			equal := 0
			for k, choice := range got.Choices {
				within := math.Abs(choice.Error) <= alike
				if within {
					equal++
				}
				if math.Abs(math.Abs(want[k].ohms-10)-math.Abs(choice.Ohms-10)) > 1e-9 || len(want[k].parts) != len(choice.Parts) {
					t.Errorf("--enough %q, seed %d, row %d: %v ohm of %d parts, want %v of %d", enough, seed, k, choice.Ohms, len(choice.Parts), want[k].ohms, len(want[k].parts))
				}
			}
			for _, choice := range got.Choices {
				if choice.Equal != (equal > 1 && math.Abs(choice.Error) <= alike) {
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
