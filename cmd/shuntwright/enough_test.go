package main

import (
	"math"
	"slices"
	"strings"
	"testing"

	"shuntwright/cmd/shuntwright/internal/predict"
)

// TestEnoughUnmeasured: a part that nobody has measured and that is marked 5 %
// does not make 5 % good enough where a surer plan stands ready, and is not taken
// where parts with a reading do as well; it is where nothing else fills the
// position. 150 V on 1 mA and 105 ohm needs 149.9 kohm (Ohm's law).
func TestEnoughUnmeasured(t *testing.T) {
	const marked = "U,,1,150k,5\n"
	for _, c := range []struct{ fitted, parts, plan, trim, words string }{
		{"168.2 kohm", marked + "A,2.21k,0.8,,\nB,147.9k,0.8,,\n", "A + B", "A + B", "no plan of measured parts within 0.91 % has fewer parts"},
		{"168.2 kohm", marked + "A,2.21k,0.8,,\nB,15k,0.8,,\n", "U", "U", "even the surest plan may really be 4.8 % off (150 V: 0.1 % ±4.8 %), beyond the class, so that errors within the class of 1 % count as none"},
		{"154 kohm", marked + "C,5.5M,0.8,,\n", "U", "154 kohm || C", "even the surest plan may really be 4.8 % off"},
	} {
		drawer := put(t, t.TempDir(), "drawer.csv", "id,ohms,gain_percent,nominal,tolerance_percent\n"+c.parts)
		meter := func(fitted string) string {
			return put(t, t.TempDir(), "m.json", `{"class": 1, "movement": {"full_scale": "1 mA", "coil": "105 ohm", "coil_gain_percent": 0.3}, "circuits": [
				{"circuit": "multiplier", "range": "150 V"`+fitted+`}]}`)
		}
		var plan, trim predict.Answer
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
			alike := func(a, b predict.Position) bool { return a.Network == b.Network }
			good := put(t, t.TempDir(), "m.json", `{"movement": {"full_scale": "1 mA", "coil": "98.6 ohm"}, "circuits": [`+circuits+`]}`)
			both := put(t, t.TempDir(), "m.json", `{"movement": {"full_scale": "1 mA", "coil": "98.6 ohm"}, "circuits": [`+circuits+`, `+bad+`]}`)
			var exact predict.Answer
			answered(t, &exact, "plan", good, "--drawer", drawer)
			for _, enough := range [][]string{{"--enough", "measured"}, {"--enough", "1"}, {"--enough", "2", "--sure"}} {
				var alone, beside predict.Answer
				answered(t, &alone, append([]string{"plan", good, "--drawer", drawer}, enough...)...)
				answered(t, &beside, append([]string{"plan", both, "--drawer", taken}, enough...)...)
				if *beside.Worst < 20 || slices.EqualFunc(alone.Positions, exact.Positions, alike) {
					t.Fatalf("worst errors %v and %v: this tests nothing", *alone.Worst, *beside.Worst)
				}
				last := len(beside.Positions) - 1
				if *alone.EnoughPercent != *beside.EnoughPercent || !slices.EqualFunc(alone.Positions, beside.Positions[:last], alike) {
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
	t.Parallel()
	drawer := put(t, t.TempDir(), "drawer.csv", workshopDrawer)
	meter := put(t, t.TempDir(), "m.json", `{"movement": {"full_scale": "50 uA", "coil": "1985 ohm"}, "circuits": [
		{"circuit": "ring", "ranges": ["10 mA", "100 mA"]}, {"circuit": "shunt", "range": "1 A"},
		{"circuit": "chain", "ranges": ["2.5 V", "10 V", "50 V", "250 V"]}]}`)
	for enough, allowed := range map[string][]string{"0.4": {"2", "3", "4"}, "measured": {"2", "3"}} {
		before := math.Inf(1)
		for _, parts := range allowed {
			var got predict.Answer
			s := answered(t, &got, "plan", meter, "--drawer", drawer, "--parts", parts, "--enough", enough, "--time-limit", "0")
			soldered := 0
			for _, p := range got.Positions {
				soldered += len(p.Parts)
			}
			if s.code != exitGood || soldered != 9 || !*got.Proven || !(*got.Worst <= *got.EnoughPercent) || !(*got.EnoughPercent <= before) {
				t.Errorf("--enough %s --parts %s: %d parts, within %v (before %v), worst %v, exit %d", enough, parts, soldered, *got.EnoughPercent, before, *got.Worst, s.code)
			}
			before = *got.EnoughPercent
		}
	}
}
