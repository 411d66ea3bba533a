package check

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"shuntwright/cmd/shuntwright/internal/asbuilt"
	"shuntwright/cmd/shuntwright/internal/asbuilt/asbuilttest"
	"shuntwright/meter/quantity"
	"shuntwright/meter/reading"
)

// coupled is an invented meter whose resistors move several ranges at once.
const coupled = `{"class": 2.5, "movement": {"full_scale": "1 mA", "coil": "98.6 ohm"}, "circuits": [
 {"circuit": "ring", "ranges": ["3 mA", "10 mA", "30 mA"], "fitted": {"3 mA": "34.5 ohm", "10 mA": "9.9 ohm", "30 mA": "4.93 ohm"}},
 {"circuit": "chain", "ranges": ["3 V", "15 V"], "fitted": {"3 V": "2.9 kohm", "15 V": "12.0 kohm"}}, {"circuit": "shunt", "range": "50 mA"}]}`

// searching is a search in the drawer of a meter as its file has it.
func searching(s *asbuilt.Setup, class float64, atMost int, within float64) *search {
	k := &Checkup{Setup: s, Asked: asbuilt.Asked{Class: class, AtMost: atMost, Within: within, Derate: 0.5}, celsius: math.NaN(), state: s.Meter.State(s.Ohms())}
	return &search{Checkup: k, chosen: k.spare(false)}
}

// blaming is that the first positions have so many ohms, each within a limit, in
// place of what should be there.
func (r *search) blaming(now, from []float64, limit float64) hypothesis {
	e := reading.Explanation{State: r.state}
	for i := range now {
		cause := reading.Cause{Kind: reading.Resistance, Resistor: r.Positions[i].Resistor, Name: r.Positions[i].Name}
		e.Amounts = append(e.Amounts, reading.Amount{Cause: cause, Implied: now[i], From: from[i], Limit: limit})
	}
	return hypothesis{e, r.suspects(e)}
}

// ways are all values that at most two of the parts make, alone or round a
// resistance that stays (NaN: none), with the number of parts.
func ways(parts []float64, stays float64) (values []float64, sizes []int) {
	parallel := func(a, b float64) float64 { return 1 / (1/a + 1/b) }
	add := func(size int, all ...float64) {
		for _, v := range all {
			values, sizes = append(values, v), append(sizes, size)
		}
	}
	kept := !math.IsNaN(stays)
	for i, a := range parts {
		if kept {
			add(1, stays+a, parallel(stays, a))
		} else {
			add(1, a)
		}
		for j, b := range parts {
			if i == j {
				continue
			}
			if kept {
				add(2, stays+a+b, parallel(stays, parallel(a, b)), parallel(stays+a, b), parallel(stays, a)+b, stays+parallel(a, b), parallel(stays, a+b))
			} else {
				add(2, a+b, parallel(a, b))
			}
		}
	}
	return values, sizes
}

// exactParts draws seven parts from 2 to 2000 ohm, known without a limit, so that
// limits decide nothing, and the drawer that holds them.
func exactParts(t *testing.T, random *rand.Rand) (ohms []float64, drawer string) {
	drawer = "id,ohms,gain_percent,floor_ohms\n"
	for i := range 7 {
		text := fmt.Sprintf("%.4g", 2*math.Pow(1000, random.Float64()))
		v, err := quantity.Parse(text, quantity.Ohm, quantity.Positive)
		if err != nil {
			t.Fatal(err)
		}
		ohms = append(ohms, v.Base)
		drawer += fmt.Sprintf("P%d,%s,0,0\n", i, text)
	}
	return ohms, drawer
}

// closest is the smallest error of a 10 mA range of 1 mA and 98.6 ohm, in percent,
// by the networks of the fewest parts that are within 1 %, and their number; 3 and
// the smallest of all where none is. What stays has to decide half of the value.
func closest(parts []float64, stays float64) (fewest int, least float64) {
	values, sizes := ways(parts, stays)
	const more = 1e-6
	moved, _ := ways(parts, stays*(1+more))
	fewest, least = 3, math.Inf(1)
	all := math.Inf(1)
	for i, v := range values {
		if share := math.Log(moved[i]/v) / more; share < 0.5 && !math.IsNaN(stays) {
			continue
		}
		e := math.Abs(100 * (10/(1+98.6/v) - 1))
		all = min(all, e)
		if e <= 1 && (sizes[i] < fewest || sizes[i] == fewest && e < least) {
			fewest, least = sizes[i], e
		}
	}
	if fewest == 3 {
		least = all
	}
	return fewest, least
}

// TestRemediesAgainstAll holds the search for a repair against all networks
// that a small drawer can make: what is within the class with the fewest
// parts, and of those the one with the smallest error; else the smallest error
// of all. Random drawers, a shunt that is high or low by a random amount.
func TestRemediesAgainstAll(t *testing.T) {
	random := rand.New(rand.NewPCG(7, 7))
	outcomes := map[string]int{}
	for round := range 80 {
		parts, drawer := exactParts(t, random)
		meter := `{"name": "m", "class": 1, "movement": {"full_scale": "1 mA", "coil": "98.6 ohm", "coil_gain_percent": 0, "coil_floor": "0 ohm"},
			"circuits": [{"circuit": "shunt", "range": "10 mA", "fitted": "10.9556 ohm"}]}`
		s := asbuilttest.Open(t, meter, drawer, "{}")
		r := searching(s, 1, 2, 1000)
		now := 10.9556 * math.Pow(2, 2*random.Float64()-1)
		if round%10 == 0 { // and some that are not far off
			now = 10.9556 * (1 + 0.04*(random.Float64()-0.5))
		}
		p := r.blaming([]float64{now}, []float64{10.9556}, 1e-9*now).suspects[0]
		found, err := r.remedies(t.Context(), p, r.state)
		if err != nil {
			t.Fatal(err)
		}
		off := math.Abs(100 * (10/(1+98.6/now) - 1))
		if serves, leaves := off <= 1, len(found) > 0 && found[0].action == leave; serves || leaves {
			outcomes["leave"]++
			if !serves || !leaves || len(found) != 1 {
				t.Errorf("%v ohm serves (%v), and it is not left: %+v", now, serves, found)
			}
			continue
		}
		for action, stays := range map[string]float64{replace: math.NaN(), trim: p.stays.Ohms.Base} {
			fewest, want := closest(parts, stays)
			at := slices.IndexFunc(found, func(m remedy) bool { return m.action == action })
			if at < 0 {
				outcomes["none"]++
				if fewest < 3 || want <= off/2 && (len(found) == 0 || found[0].hopeless()) {
					t.Errorf("no %s with %v round %v; all networks: %d parts, %v %%, and %v %% is off", action, parts, stays, fewest, want, off)
				}
				continue
			}
			m := found[at]
			outcomes[fmt.Sprintf("%s %d", m.action, fewest)]++
			if math.Abs(math.Abs(m.worst)-want) > 1e-7 || fewest < 3 && m.parts != fewest || fewest == 3 && want > off/2 {
				t.Errorf("%s with %v round %v: %s, %d parts, %v %%; all networks: %d parts, %v %%, and %v %% is off", m.action, parts, stays, m.network, m.parts, m.worst, fewest, want, off)
			}
		}
		if r.drifted(p) && len(found) > 1 && found[1].action == replace && found[1].grade() < 2 {
			t.Errorf("%v ohm in place of 10.9556, and it is to %s it though %s serves", now, found[0].action, found[1].network)
		}
		if len(found) > 1 && found[1].compare(found[0]) < 0 && !(r.drifted(p) && found[0].action == replace && found[0].grade() < 2) {
			t.Errorf("%s comes before %s", found[0].network, found[1].network)
		}
	}
	for _, outcome := range []string{"replace 1", "replace 2", "replace 3", "trim 1", "trim 2", "leave", "none"} {
		if outcomes[outcome] == 0 {
			t.Errorf("no case of %s was met: %v", outcome, outcomes)
		}
	}
}

// TestBestOhms: where one range depends on a resistance it is the target; where
// several do, no value of a fine scan is better.
func TestBestOhms(t *testing.T) {
	s := asbuilttest.Open(t, coupled, "id,ohms\n", "{}")
	r := searching(s, 2.5, 1, 1)
	targets, err := s.Meter.Targets()
	if err != nil {
		t.Fatal(err)
	}
	for i, position := range s.Positions {
		p := suspect{resistor: position.Resistor, position: i, from: targets[i] * 1.3}
		// One section of the ring is off too: no value brings all ranges to zero.
		state := r.state.With(s.Positions[0].Resistor, 40)
		ranges := r.served(p.resistor)
		got := r.bestOhms(p, ranges, state)
		errors := make([]float64, len(s.Ranges))
		worst := func(ohms float64) float64 {
			s.Meter.Errors(errors, state.With(p.resistor, ohms))
			most := 0.0
			for _, at := range ranges {
				most = max(most, math.Abs(errors[at]))
			}
			return most
		}
		best := worst(got)
		for x := 0.2; x < 5; x *= 1.001 {
			if w := worst(targets[i] * x); w < best-1e-9 {
				t.Fatalf("%s: %v %% at %v, and %v %% at %v", position.Name, best, got, w, targets[i]*x)
			}
		}
		if position.Name == "shunt 50 mA" && math.Abs(got/targets[i]-1) > 1e-9 {
			t.Errorf("%s: %v, want the target %v", position.Name, got, targets[i])
		}
	}
}

// TestHypothesisOfTwo: where two positions are to blame, the second is mended with
// the first one's new network in place, and takes none of its parts, though
// one part would be the best for both.
func TestHypothesisOfTwo(t *testing.T) {
	meter := `{"class": 2.5, "movement": {"full_scale": "1 mA", "coil": "98.6 ohm"}, "circuits": [
		{"circuit": "shunt", "range": "5 mA", "fitted": "24.65 ohm"}, {"circuit": "shunt", "range": "grid 5 mA", "fitted": "24.65 ohm"}]}`
	s := asbuilttest.Open(t, meter, "id,ohms\nA,24.66\nB,24.9\n", "{}")
	r := searching(s, 2.5, 1, 0.2)
	one := r.blaming([]float64{30, 20}, []float64{24.65, 24.65}, 0.1)
	one.explanation.State = r.state.With(s.Positions[0].Resistor, 30).With(s.Positions[1].Resistor, 20)
	found, err := r.cure(t.Context(), one)
	if err != nil || len(found) != 2 || len(found[0]) == 0 || len(found[1]) == 0 {
		t.Fatalf("%v, %v", found, err)
	}
	first, second := found[0][0], found[1][0]
	if first.network.String() != "A" || second.network.String() != "B" {
		t.Errorf("%s and %s, want A and B", first.network, second.network)
	}
	if got := second.state.Ohms[s.Positions[0].Resistor]; got != 24.66 {
		t.Errorf("the second reckons with %v ohm in the first place, want 24.66", got)
	}
	if len(r.chosen) != 2 {
		t.Errorf("%d parts are left for the next hypothesis, want 2", len(r.chosen))
	}
}

// TestBetterRemedy: those that pass for sure come first, then those within the
// class, each with the fewer parts first; else the smaller error.
func TestBetterRemedy(t *testing.T) {
	none := math.NaN()
	ordered := []remedy{
		{class: 1, sure: 0.9, worst: 0.8, parts: 1},
		{class: 1, sure: 0.5, worst: 0.1, parts: 2},
		{class: 1, sure: 0.6, worst: 0.2, parts: 2},
		{class: 1, sure: 1.1, worst: 0.9, parts: 1},
		{class: 1, sure: none, worst: 0.3, parts: 2},
		{class: 1, sure: 1.3, worst: 1.2, parts: 2},
		{class: 1, sure: 1.4, worst: 1.3, parts: 1},
	}
	for i, a := range ordered {
		for j, b := range ordered {
			if c := a.compare(b); (c < 0) != (i < j) || (c == 0) != (i == j) {
				t.Errorf("%+v by %+v: %v", a, b, c)
			}
		}
	}
	small, few := remedy{class: none, sure: 1, worst: 0.1, parts: 2}, remedy{class: none, sure: 1, worst: 0.3, parts: 1}
	if small.compare(few) >= 0 {
		t.Error("without a class the smaller error does not come first")
	}
	few.worst = 0.1 + 1e-12
	if small.compare(few) <= 0 {
		t.Error("of equal errors the fewer parts do not come first")
	}
}

// TestRemedyBesideAnOpenPosition: a range of which another resistor is not known
// says nothing of a remedy, and leaves it the ranges that are whole.
func TestRemedyBesideAnOpenPosition(t *testing.T) {
	s := asbuilttest.Open(t, `{"class": 2.5, "movement": {"full_scale": "1 mA", "coil": "100 ohm"}, "circuits": [
		{"circuit": "chain", "ranges": ["1 V", "10 V", "100 V"], "fitted": {"1 V": "1.200 kohm", "10 V": "9.000 kohm"}}]}`, "id,ohms\nA,900\n", "{}")
	r := searching(s, 2.5, 1, 0.2)
	found, err := r.remedies(t.Context(), r.blaming([]float64{1200}, []float64{900}, 1).suspects[0], r.state)
	if err != nil || len(found) == 0 || found[0].network.String() != "A" || math.Abs(found[0].worst) > 1e-9 || found[0].grade() != 0 {
		t.Errorf("%+v, %v; want A, which is what it must be", found, err)
	}
}
