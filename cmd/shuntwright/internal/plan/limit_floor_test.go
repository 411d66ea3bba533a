package plan

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"shuntwright/cmd/shuntwright/internal/asbuilt"
	"shuntwright/cmd/shuntwright/internal/asbuilt/asbuilttest"
	"shuntwright/match"
	"shuntwright/match/network"
	"shuntwright/meter/wiring"
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
  {"circuit": "external-shunt", "range": "20 mA", "drop": "300 mV"},
  {"circuit": "multiplier", "range": "8 V", "with_ring": "10 mA"}]}`

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

// doubtfulSearch is the question of a surest plan for all this.
func doubtfulSearch(t *testing.T, seed uint64) (*Planner, *Question) {
	t.Helper()
	var drawer strings.Builder
	doubtfulDrawer(&drawer, rand.New(rand.NewPCG(seed, 29)), []float64{42, 12, 6, 880, 2000, 2.4, 150, 15, 260, 790})
	p := &Planner{asbuilttest.Open(t, doubtfulMeter, drawer.String(), doubtfulInstruments),
		asbuilt.Asked{AtMost: 2, Within: 0.6, Derate: 0.5, Sure: true, Class: math.NaN()}}
	at, err := p.Find("chain 3 V")
	if err != nil {
		t.Fatal(err)
	}
	stays, err := wiring.Parse("1.9 kohm")
	if err != nil {
		t.Fatal(err)
	}
	q, err := p.Ask(map[int]wiring.Network{at: stays})
	if err != nil {
		t.Fatal(err)
	}
	return p, q
}

// TestFloorsOfLimits draws choices of networks, and holds their limits by the
// budget against the floor of a box that holds them. Of a box of one choice the
// floor is the limit.
func TestFloorsOfLimits(t *testing.T) {
	for seed := range uint64(4) {
		s, q := doubtfulSearch(t, seed)
		rng := rand.New(rand.NewPCG(seed, 30))
		lists := make([][]network.Network, len(q.Open))
		for slot, need := range q.Problem.Needs {
			got, err := q.Stock.Pick(t.Context(), match.Query{Need: need, Top: 40})
			if err != nil {
				t.Fatal(err)
			}
			for _, c := range got.Choices {
				lists[slot] = append(lists[slot], c.Network)
			}
			if len(lists[slot]) < 10 {
				t.Fatalf("%s: %d networks for %v", s.Positions[q.Open[slot]].Name, len(lists[slot]), need.Target)
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
func checkFloors(t *testing.T, s *Planner, q *Question, lists [][]network.Network, rng *rand.Rand, tight []float64) {
	t.Helper()
	wide := []int{1, 3, 40}[rng.IntN(3)]
	var box match.Box
	from := make([][]network.Network, len(lists))
	for slot, list := range lists {
		n := min(wide, len(list))
		at := rng.IntN(len(list) - n + 1)
		from[slot] = list[at : at+n]
		low, high := math.Inf(1), 0.0
		var least, most []float64
		for _, net := range from[slot] {
			low, high = min(low, net.Value()), max(high, net.Value())
			attributes := q.Problem.LimitFloor.Attributes(nil, slot, net)
			if least == nil {
				least, most = slices.Clone(attributes), slices.Clone(attributes)
			}
			for k, v := range attributes {
				least[k], most[k] = min(least[k], v), max(most[k], v)
			}
		}
		box.Lo, box.Hi = append(box.Lo, low), append(box.Hi, high)
		box.Least, box.Most = append(box.Least, least), append(box.Most, most)
	}
	limits := make([]float64, len(s.Ranges))
	for range 10 {
		nets := make([]network.Network, len(lists))
		for slot, list := range from {
			nets[slot] = list[rng.IntN(len(list))]
		}
		q.Problem.Limit(nets, limits)
		for r, limit := range limits {
			floor := q.Problem.LimitFloor.Floor(r, &box)
			if floor > limit*(1+1e-12) || wide == 1 && floor < limit*(1-1e-12) {
				t.Errorf("%s: floor %v, limit %v in a box of %d networks", s.Ranges[r].Name, floor, limit, wide)
			}
			if wide == 3 {
				tight[r] = max(tight[r], floor/limit)
			}
		}
	}
}
