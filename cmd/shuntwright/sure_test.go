package main

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"shuntwright/match"
)

// doubtfulMeter has every kind of circuit, a range whose resistor is fitted and
// one in which something stays; ranges and resistances are invented.
const doubtfulMeter = `{"name": "doubtful", "movement": {"full_scale": "1 mA", "full_scale_limit_percent": 0.5, "coil": "98.6 ohm",
 "coil_gain_percent": 0.4, "coil_floor": "0.1 ohm", "instrument": "bridge", "swamp": "20 ohm"},
 "circuits": [
  {"circuit": "direct", "range": "1 mA"},
  {"circuit": "ring", "ranges": ["3 mA", "10 mA", "30 mA"], "swamp": "5 ohm"},
  {"circuit": "chain", "ranges": ["1 V", "3 V"]},
  {"circuit": "shunt", "range": "50 mA", "contact": "5 mohm"},
  {"circuit": "multiplier", "range": "5 V", "fitted": "K1 + 4.1 kohm"},
  {"circuit": "external-shunt", "range": "200 mA", "shunt": "2 ohm"},
  {"circuit": "external-shunt", "range": "20 mA", "drop": "300 mV"}]}`

const doubtfulInstruments = `{"hand meter": {"gain_percent": 0.8, "counts": 1, "leads_floor": "0.03 ohm"},
 "bridge": {"gain_percent": 0.05, "counts": 1, "wires": 4}}`

// doubtfulDrawer has parts near halves and the whole of every target, by
// different instruments or none, some with limits of their own.
func doubtfulDrawer(s *strings.Builder, rng *rand.Rand, targets []float64) {
	s.WriteString("id,ohms,instrument,gain_percent,floor_ohms\nK1,700,hand meter,,\n")
	n := 0
	for _, target := range targets {
		for _, of := range []float64{1, 0.5, 0.5, 2} {
			n++
			own := ""
			if rng.IntN(3) == 0 {
				own = fmt.Sprintf("%.3g", rng.Float64())
			}
			fmt.Fprintf(s, "R%03d,%.4g,%s,%s,%s\n", n, target*of*(0.95+0.1*rng.Float64()), []string{"", "bridge", "hand meter"}[rng.IntN(3)],
				own, strings.Repeat("0.01", rng.IntN(2)))
		}
	}
}

// doubtfulSearch is the question that plan --sure asks of all this.
func doubtfulSearch(t *testing.T, seed uint64) (*setup, *search) {
	t.Helper()
	rng := rand.New(rand.NewPCG(seed, 29))
	folder := t.TempDir()
	var drawer strings.Builder
	doubtfulDrawer(&drawer, rng, []float64{42, 12, 6, 880, 2000, 2.4, 150, 15, 260})
	meter := put(t, folder, "meter.json", doubtfulMeter)
	put(t, folder, "instruments.json", doubtfulInstruments)
	c := &call{ctx: context.Background(), env: env{getenv: func(string) string { return "" }}, command: planCommand()}
	if _, err := c.parse([]string{meter, "--sure", "--within", "60", "--drawer", put(t, folder, "drawer.csv", drawer.String()),
		"--instruments", filepath.Join(folder, "instruments.json"), "--keep", "chain 3 V=1.9k"}); err != nil {
		t.Fatal(err)
	}
	s, err := c.openSetup(meter, true)
	if err != nil {
		t.Fatal(err)
	}
	q, err := c.question(s)
	if err != nil {
		t.Fatal(err)
	}
	return s, q
}

// TestFloorsOfLimits draws choices of networks, and holds their limits by the
// budget against the floor of a box that holds them. Of a box of one choice the
// floor is the limit.
func TestFloorsOfLimits(t *testing.T) {
	for seed := range uint64(8) {
		s, q := doubtfulSearch(t, seed)
		rng := rand.New(rand.NewPCG(seed, 30))
		lists := make([][]match.Network, len(q.open))
		for slot, need := range q.problem.Needs {
			got, err := q.stock.Pick(t.Context(), match.Query{Need: need, Top: 40})
			if err != nil {
				t.Fatal(err)
			}
			for _, c := range got.Choices {
				lists[slot] = append(lists[slot], c.Network)
			}
			if len(lists[slot]) < 10 {
				t.Fatalf("%s: %d networks for %v", s.Positions[q.open[slot]].Name, len(lists[slot]), need.Target)
			}
		}
		tight := make([]float64, len(s.Ranges))
		for range 60 {
			checkFloors(t, s, q, lists, rng, tight)
		}
		if slices.Min(tight) < 0.9 {
			t.Errorf("floors of small boxes come as near to the limits as %v of them; want all above 0.9", tight)
		}
	}
}

// checkFloors draws a box from a few neighbours in every list and choices in it.
func checkFloors(t *testing.T, s *setup, q *search, lists [][]match.Network, rng *rand.Rand, tight []float64) {
	t.Helper()
	wide := []int{1, 3, 40}[rng.IntN(3)]
	var box match.Box
	from := make([][]match.Network, len(lists))
	for slot, list := range lists {
		n := min(wide, len(list))
		at := rng.IntN(len(list) - n + 1)
		from[slot] = list[at : at+n]
		low, high := math.Inf(1), 0.0
		var least, most []float64
		for _, net := range from[slot] {
			low, high = min(low, net.Value()), max(high, net.Value())
			traits := q.problem.LimitFloor.Traits(nil, slot, net)
			if least == nil {
				least, most = slices.Clone(traits), slices.Clone(traits)
			}
			for k, v := range traits {
				least[k], most[k] = min(least[k], v), max(most[k], v)
			}
		}
		box.Lo, box.Hi = append(box.Lo, low), append(box.Hi, high)
		box.Least, box.Most = append(box.Least, least), append(box.Most, most)
	}
	limits := make([]float64, len(s.Ranges))
	for range 10 {
		nets := make([]match.Network, len(lists))
		for slot, list := range from {
			nets[slot] = list[rng.IntN(len(list))]
		}
		q.problem.Limit(nets, limits)
		for r, limit := range limits {
			floor := q.problem.LimitFloor.Floor(r, &box)
			if floor > limit*(1+1e-12) || wide == 1 && floor < limit*(1-1e-12) {
				t.Errorf("%s: floor %v, limit %v in a box of %d networks", s.Ranges[r].Name, floor, limit, wide)
			}
			if wide == 3 {
				tight[r] = max(tight[r], floor/limit)
			}
		}
	}
}

// TestSurestRing: in a ring a part known to 0.1 % wins over one known to 5 %
// that reads closer, and the plan is proven. All is invented.
func TestSurestRing(t *testing.T) {
	folder := t.TempDir()
	meter := put(t, folder, "ring.json", `{"name": "ring", "movement": {"full_scale": "1 mA", "coil": "90 ohm", "coil_gain_percent": 0.1},
		"circuits": [{"circuit": "ring", "ranges": ["10 mA", "100 mA"]}]}`)
	// The ring is 10 ohm: 9 ohm and 1 ohm.
	drawer := put(t, folder, "drawer.csv", "id,ohms,gain_percent,floor_ohms,instrument\n"+
		"well9,9.02,0.1,0,bridge\nbadly9,9.000,5,0,old meter\nwell1,1.003,0.1,0,bridge\nbadly1,1.0000,5,0,old meter\n")
	put(t, folder, "instruments.json", `{"bridge": {"gain_percent": 0.1}, "old meter": {"gain_percent": 5}}`)
	for _, test := range []struct {
		flag string
		want [2]string
	}{{"", [2]string{"badly9", "badly1"}}, {"--sure", [2]string{"well9", "well1"}}} {
		var got struct {
			filling
			Ranges []struct {
				Error float64 `json:"full_scale_error_percent"`
				Limit float64 `json:"limit_percent"`
			}
		}
		answered(t, &got, strings.Fields("plan "+meter+" --drawer "+drawer+" --instruments "+filepath.Join(folder, "instruments.json")+" --parts 1 "+test.flag)...)
		if !got.Proven || got.Positions[0].Network != test.want[0] || got.Positions[1].Network != test.want[1] {
			t.Errorf("plan %s: %+v, proven %v; want %v", test.flag, got.Positions, got.Proven, test.want)
		}
		sum := 0.0
		for _, r := range got.Ranges {
			sum = max(sum, math.Abs(r.Error)+r.Limit)
		}
		if sure := test.flag != ""; sure && !(sum < 1) || !sure && !(sum > 3) {
			t.Errorf("plan %s: error and limit together %v", test.flag, sum)
		}
	}
}
