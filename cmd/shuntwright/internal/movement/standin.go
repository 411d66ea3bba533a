package movement

import (
	"context"
	"math"

	"shuntwright/cmd/shuntwright/internal/asbuilt"
	"shuntwright/inventory"
	"shuntwright/match"
	"shuntwright/match/network"
	"shuntwright/match/solve"
	"shuntwright/meter/bench"
	"shuntwright/meter/budget"
	"shuntwright/meter/wiring"
)

// Side is a movement of a stand-in, the old or the new one: what it is and how
// sure that is.
type Side struct {
	Amperes, Ohms budget.Input
	From          string // its meter file; empty where it was typed
}

// SideOf is a movement of so many amperes, known to so many percent, and the coil
// as it was measured.
func SideOf(amperes, percent float64, coil inventory.Measured) Side {
	return Side{
		Amperes: budget.Input{Name: "full-scale current", Value: amperes, GainPercent: percent},
		Ohms:    budget.Input{Name: "coil", Value: coil.Ohms, GainPercent: coil.GainPercent, Shared: coil.Shared, Floor: coil.FloorOhms},
	}
}

func (s Side) terminals() bench.Terminals {
	return bench.Terminals{Amperes: s.Amperes.Value, Ohms: s.Ohms.Value}
}

// StandIn is a new movement in place of an old one, with the parts that there
// are for its resistors.
type StandIn struct {
	Old, New Side
	Bench    *asbuilt.Bench
	Chosen   []int   // parts that may be taken, by their indexes in the drawer
	AtMost   int     // parts in one place
	Within   float64 // how far off a network is looked at, as a fraction of its target
	Derate   float64 // the share of its rated watts that a part may carry
	Step     float64 // percent of full scale that counts as a difference between two errors; 0: any does
}

// The slots of a way, in the order of bench.StandIn.Errors.
const (
	series = iota
	parallel
)

// Way is one way to make the new movement look like the old one.
type Way struct {
	bench.StandIn
	Name     string
	Targets  [2]float64        // ohms: of the series resistor, 0 for none, and of the parallel one, +Inf for none
	Networks [2]wiring.Network // the zero Network where there is none, or nothing was found
	Proven   bool              // no other networks come closer
	Filled   bool              // all that is needed was found
	Errors   [2]float64        // percent, by bench.ByCurrent and bench.ByVoltage, with these networks
	Limits   [2]budget.Result
	leaves   [2][]asbuilt.Leaf
}

// Ways are the ways that there are, and the parts for each, none taken twice in
// one way. The error says why the new movement cannot stand in.
func (s StandIn) Ways(ctx context.Context) ([]Way, error) {
	var out []Way
	for _, way := range bench.Ways {
		w := Way{StandIn: bench.StandIn{Old: s.Old.terminals(), New: s.New.terminals(), Way: way}}
		r, p, err := w.Resistors()
		if err != nil {
			return nil, err
		}
		w.Targets, w.Name = [2]float64{r, p}, way.String()
		one := ""
		switch {
		case math.IsInf(p, 1):
			one = "series"
		case r == 0:
			one = "parallel"
		}
		if one != "" { // both ways are the same then
			w.Name = one
		}
		if len(s.Chosen) > 0 {
			if err := s.fill(ctx, &w); err != nil {
				return nil, err
			}
		}
		if out = append(out, w); one != "" {
			break
		}
	}
	return out, nil
}

// fill chooses parts for both resistors at once.
func (s StandIn) fill(ctx context.Context, w *Way) error {
	stock, err := s.Bench.Stock(s.Chosen, s.Derate)
	if err != nil {
		return err
	}
	resp := response{StandIn: w.StandIn, full: w.Targets}
	problem := match.Problem{Ranges: 2, Resolution: s.Step}
	for slot, target := range w.Targets {
		if target == 0 || math.IsInf(target, 1) {
			continue
		}
		resp.slots = append(resp.slots, slot)
		problem.Needs = append(problem.Needs, match.Need{Target: target, Within: s.Within, AtMost: s.AtMost,
			Keep: math.NaN(), KeepBears: math.Inf(1), Flow: w.flow(slot), Drop: math.NaN()})
	}
	problem.Response = resp
	plan, err := solve.Plan(ctx, stock, problem)
	if err != nil {
		return err
	}
	w.Proven, w.Filled = plan.Proven, true
	for i, slot := range resp.slots {
		if plan.Networks[i].IsZero() {
			w.Filled = false
			continue
		}
		if err := s.take(w, slot, plan.Networks[i]); err != nil {
			return err
		}
	}
	if w.Filled {
		s.judge(w)
	}
	return nil
}

// flow is the current through a resistor at full scale.
func (w Way) flow(slot int) float64 {
	switch {
	case slot == parallel:
		return w.Old.Amperes - w.New.Amperes
	case w.Way == bench.SeriesParallel:
		return w.New.Amperes
	}
	return w.Old.Amperes
}

// take puts a network of the search into a slot.
func (s StandIn) take(w *Way, slot int, n network.Network) (err error) {
	w.Networks[slot] = s.Bench.Wire(n, s.Chosen, wiring.Network{})
	w.leaves[slot], err = s.Bench.Resistors(w.Networks[slot], "")
	return err
}

// ohms are the resistances of a way with its networks.
func (w Way) ohms() [2]float64 {
	out := w.Targets
	for slot, found := range w.leaves {
		if len(found) > 0 {
			out[slot] = w.Networks[slot].Resistance(asbuilt.Values(found))
		}
	}
	return out
}

// judge tells how far off the stand-in is, and how sure that is.
func (s StandIn) judge(w *Way) {
	ohms := w.ohms()
	w.StandIn.Errors(w.Errors[:], ohms[:])
	for r, slopes := range w.Slopes(ohms[series], ohms[parallel]) {
		inputs := []budget.Input{s.Old.Amperes, s.Old.Ohms, s.New.Amperes, s.New.Ohms}
		for i := range inputs {
			inputs[i].Slope = slopes[i]
		}
		for slot := range w.Networks {
			if len(w.leaves[slot]) > 0 {
				inputs = append(inputs, asbuilt.Inputs(w.Networks[slot], w.leaves[slot], slopes[4+slot])...)
			}
		}
		w.Limits[r] = budget.Combine(budget.Sources(inputs))
	}
}

// worst is the larger of the two errors, in percent: no range of any circuit of
// resistors is further off.
func (w Way) worst() float64 { return max(math.Abs(w.Errors[0]), math.Abs(w.Errors[1])) }

// closer is the index of the way that comes closer; -1 where none is filled.
func closer(ways []Way) int {
	best := -1
	for i, w := range ways {
		if w.Filled && (best < 0 || w.worst() < ways[best].worst()) {
			best = i
		}
	}
	return best
}

// warmed are the errors with the coil so many kelvin warmer than where it was
// measured, its copper following (perKelvin) and the resistors not; less those
// that there are cold.
func (w Way) warmed(perKelvin, kelvin float64) [2]float64 {
	var cold, warm [2]float64
	ohms := w.ohms()
	w.StandIn.Errors(cold[:], ohms[:])
	hot := w.StandIn
	hot.New.Ohms *= 1 + perKelvin*kelvin
	hot.Errors(warm[:], ohms[:])
	return [2]float64{warm[0] - cold[0], warm[1] - cold[1]}
}

// response is a stand-in of which only some resistors are to be found.
type response struct {
	bench.StandIn
	full  [2]float64
	slots []int
}

func (r response) Errors(dst, ohms []float64) {
	all := r.full
	for i, slot := range r.slots {
		all[slot] = ohms[i]
	}
	r.StandIn.Errors(dst, all[:])
}

func (r response) Rising(range_, s int) int { return r.StandIn.Rising(range_, r.slots[s]) }
