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

// TestEnoughUnmeasured: a part that nobody has measured and that is marked 5 %
// does not make 5 % good enough where a surer plan stands ready, and is not taken
// where parts with a reading do as well; it is where nothing else fills the
// position. 150 V on 1 mA and 105 ohm needs 149.9 kohm (Ohm's law).
func TestEnoughUnmeasured(t *testing.T) {
	const marked = "U,,1,150k,5\n"
	for _, c := range []struct{ fitted, parts, plan, trim, words string }{
		{"168.2 kohm", marked + "A,2.21k,0.8,,\nB,147.9k,0.8,,\n", "A + B", "A + B", "no plan of measured parts within 0.91 % has fewer parts"},
		{"168.2 kohm", marked + "A,2.21k,0.8,,\nB,15k,0.8,,\n", "U", "U", "even the surest plan may really be 4.8 % off (150 V: 0.1 % ±4.8 %), which is beyond the class, so all plans within the class of 1 % are equally good"},
		{"154 kohm", marked + "C,5.5M,0.8,,\n", "U", "154 kohm || C", "even the surest plan may really be 4.8 % off"},
	} {
		drawer := put(t, t.TempDir(), "drawer.csv", "id,ohms,gain_percent,nominal,tolerance_percent\n"+c.parts)
		meter := func(fitted string) string {
			return put(t, t.TempDir(), "m.json", `{"class": 1, "movement": {"full_scale": "1 mA", "coil": "105 ohm", "coil_gain_percent": 0.3}, "circuits": [
				{"circuit": "multiplier", "range": "150 V"`+fitted+`}]}`)
		}
		type answer struct{ Positions []struct{ Network string } }
		var plan, trim answer
		open := meter("")
		answered(t, &plan, "plan", open, "--drawer", drawer, "--enough", "measured")
		answered(t, &trim, "plan", "--trim", meter(`, "fitted": "`+c.fitted+`"`), "--drawer", drawer)
		if got := plan.Positions[0].Network; got != c.plan {
			t.Errorf("%q: plan %s, want %s", c.parts, got, c.plan)
		}
		if got := trim.Positions[0].Network; got != c.trim {
			t.Errorf("%q: trim %s, want %s", c.parts, got, c.trim)
		}
		if s := program("plan", open, "--drawer", drawer, "--enough", "measured"); !strings.Contains(plainText(s.out), c.words) {
			t.Errorf("want %q in %s%s", c.words, s.out, s.err)
		}
	}
}

// TestEnoughUnmoved: a range that no open position moves has no say in what is
// enough, here one that reads 20 % high; neither in a meter of separate
// circuits nor in a ring.
func TestEnoughUnmoved(t *testing.T) {
	const parts = "id,ohms,gain_percent\nA,10.90,\nB,10.2,\nC,0.755,\nE,34.6,\nF,9.9,\nG,4.93,\nI,4.51,\nJ,30,\nK,5.06,\nL,4.8,\n"
	drawer, taken := put(t, t.TempDir(), "drawer.csv", parts), put(t, t.TempDir(), "drawer.csv", parts+"Z,3900,9\n")
	bad := `{"circuit": "multiplier", "range": "5 V", "fitted": "Z"}`
	for name, circuits := range map[string]string{
		"separate": `{"circuit": "shunt", "range": "10 mA"}`,
		"ring":     `{"circuit": "ring", "ranges": ["3 mA", "10 mA", "30 mA"]}`,
	} {
		t.Run(name, func(t *testing.T) {
			type answer struct {
				Enough    float64 `json:"enough_percent"`
				Worst     float64 `json:"worst_full_scale_error_percent"`
				Positions []struct{ Network string }
			}
			good := put(t, t.TempDir(), "m.json", `{"movement": {"full_scale": "1 mA", "coil": "98.6 ohm"}, "circuits": [`+circuits+`]}`)
			both := put(t, t.TempDir(), "m.json", `{"movement": {"full_scale": "1 mA", "coil": "98.6 ohm"}, "circuits": [`+circuits+`, `+bad+`]}`)
			var exact answer
			answered(t, &exact, "plan", good, "--drawer", drawer)
			for _, enough := range [][]string{{"--enough", "measured"}, {"--enough", "1"}, {"--enough", "2", "--sure"}} {
				var alone, beside answer
				answered(t, &alone, append([]string{"plan", good, "--drawer", drawer}, enough...)...)
				answered(t, &beside, append([]string{"plan", both, "--drawer", taken}, enough...)...)
				if beside.Worst < 20 || slices.Equal(alone.Positions, exact.Positions) {
					t.Fatalf("worst errors %v and %v: this tests nothing", alone.Worst, beside.Worst)
				}
				last := len(beside.Positions) - 1
				if alone.Enough != beside.Enough || !slices.Equal(alone.Positions, beside.Positions[:last]) {
					t.Errorf("%s: %+v beside a range that reads wrong, else %+v", enough, beside, alone)
				}
			}
		})
	}
}

// workshopDrawer is an invented drawer of mixed worth: two instruments, parts
// that nobody measured, and values by the drop at a current.
const workshopDrawer = `id,ohms,gain_percent,nominal,tolerance_percent
R001,47.6k,,,
R002,48.3k,,,
R003,147.8k,,,
R004,151.2k,,,
R005,94.21,0.1,,
R006,93.8,0.1,,
R007,101.35,0.1,,
R008,9.412,0.1,,
R009,10.06,0.1,,
R010,1.0521,0.1,,
R011,2.214k,,,
R012,4.7k,,,
R013,820.4,,,
R014,1.006M,,,
R015,0.0996,1.5,,
R016,0.10375,1.5,,
R017,0.10375,0.3,,
R018,,,3M9,5
R020,798.6k,,820k,5
R021,,,100k,1
R022,1.498k,,,
R023,152.3k,,,
R024,2.204M,,,
R025,1.798M,,,
R026,98.7,0.1,,
R027,5.63,0.1,,
R028,4.02,0.1,,
R029,0.998,0.1,,
R030,12.1,0.1,,
R031,680.5,,,
R032,,,47k,2
O1,,,94,0.5
O10,9.868,0.1,9.4,0.5
O100,,,1.045,0.5
OC2,48.21k,,,
OC10,149.3k,,,
OC50,836.2k,,800k,1
OC250,5.21M,,4M,1
`

// TestEnoughAllowsMoreParts: with pairs 9 parts are good enough for a ring, a
// shunt and a chain. Whoever allows more a position gets no more, with a
// figure and with what the measurements can tell: that is not to depend on which
// of many networks with next to no error is taken.
func TestEnoughAllowsMoreParts(t *testing.T) {
	drawer := put(t, t.TempDir(), "drawer.csv", workshopDrawer)
	meter := put(t, t.TempDir(), "m.json", `{"movement": {"full_scale": "50 uA", "coil": "1985 ohm"}, "circuits": [
		{"circuit": "ring", "ranges": ["1 mA", "10 mA", "100 mA"]}, {"circuit": "shunt", "range": "1 A"},
		{"circuit": "chain", "ranges": ["2.5 V", "10 V", "50 V", "250 V"]}]}`)
	for enough, allowed := range map[string][]string{"0.4": {"2", "3", "4"}, "measured": {"2", "3"}} {
		before := math.Inf(1)
		for _, parts := range allowed {
			var got struct {
				Enough    float64 `json:"enough_percent"`
				Worst     float64 `json:"worst_full_scale_error_percent"`
				Proven    bool
				Positions []struct{ Parts []string }
			}
			s := answered(t, &got, "plan", meter, "--drawer", drawer, "--parts", parts, "--enough", enough)
			soldered := 0
			for _, p := range got.Positions {
				soldered += len(p.Parts)
			}
			if s.code != exitGood || soldered != 9 || !got.Proven || !(got.Worst <= got.Enough) || !(got.Enough <= before) {
				t.Errorf("--enough %s --parts %s: %d parts, within %v (before %v), worst %v, exit %d", enough, parts, soldered, got.Enough, before, got.Worst, s.code)
			}
			before = got.Enough
		}
	}
}
