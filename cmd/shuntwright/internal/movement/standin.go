package movement

import (
	"context"
	"math"

	"shuntwright/cmd/shuntwright/internal/asbuilt"
	"shuntwright/inventory"
	"shuntwright/match"
	"shuntwright/match/solve"
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
		Ohms:    asbuilt.Leaf{Name: "coil", Measured: coil}.Input(0),
	}
}

func (s Side) terminals() terminals { return terminals{s.Amperes.Value, s.Ohms.Value} }

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

// way is one way to make the new movement look like the old one.
type way struct {
	circuit
	name     string
	targets  [2]float64        // ohms: of the series resistor, 0 for none, and of the parallel one, +Inf for none
	networks [2]wiring.Network // the zero Network where there is none, or nothing was found
	leaves   [2][]asbuilt.Leaf
	proven   bool       // no other networks come closer
	filled   bool       // all that is needed was found
	errs     [2]float64 // percent, byCurrent and byVoltage, with these networks
	limits   [2]budget.Result
}

// ways are the ways that there are, and the parts for each, none taken twice in
// one way. The error says why the new movement cannot stand in.
func (s StandIn) ways(ctx context.Context) ([]way, error) {
	var out []way
	for i, name := range []string{"series-parallel", "parallel-series"} {
		w := way{circuit: circuit{old: s.Old.terminals(), new: s.New.terminals(), shunted: i == 1}, name: name}
		r, p, err := w.resistors()
		if err != nil {
			return nil, err
		}
		w.targets = [2]float64{r, p}
		switch {
		case math.IsInf(p, 1):
			w.name = "series"
		case r == 0:
			w.name = "parallel"
		}
		if len(s.Chosen) > 0 {
			if err := s.fill(ctx, &w); err != nil {
				return nil, err
			}
		}
		if out = append(out, w); w.name != name { // both ways are the same then
			break
		}
	}
	return out, nil
}

// fill chooses parts for both resistors at once.
func (s StandIn) fill(ctx context.Context, w *way) error {
	stock, err := s.Bench.Stock(s.Chosen, s.Derate)
	if err != nil {
		return err
	}
	resp := response{way: w}
	problem := match.Problem{Ranges: 2, Resolution: s.Step}
	for slot, target := range w.targets {
		if !positive(target) {
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
	w.proven, w.filled = plan.Proven, true
	for i, slot := range resp.slots {
		if plan.Networks[i].IsZero() {
			w.filled = false
			continue
		}
		w.networks[slot] = s.Bench.Wire(plan.Networks[i], s.Chosen, wiring.Network{})
		if w.leaves[slot], err = s.Bench.Resistors(w.networks[slot], ""); err != nil {
			return err
		}
	}
	if w.filled {
		s.judge(w)
	}
	return nil
}

// flow is the current through a resistor at full scale.
func (w *way) flow(slot int) float64 {
	switch {
	case slot == parallel:
		return w.old.amperes - w.new.amperes
	case w.shunted:
		return w.old.amperes
	}
	return w.new.amperes
}

// ohms are the resistances of a way with its networks.
func (w *way) ohms() [2]float64 {
	out := w.targets
	for slot, found := range w.leaves {
		if len(found) > 0 {
			out[slot] = w.networks[slot].Resistance(asbuilt.Values(found))
		}
	}
	return out
}

// judge tells how far off the stand-in is, and how sure that is.
func (s StandIn) judge(w *way) {
	ohms := w.ohms()
	w.errs = w.errors(ohms)
	for r, slopes := range w.slopes(ohms[series], ohms[parallel]) {
		var inputs []budget.Input
		for i, in := range []budget.Input{s.Old.Amperes, s.Old.Ohms, s.New.Amperes, s.New.Ohms} {
			inputs = append(inputs, with(slopes[i], in))
		}
		for slot := range w.networks {
			if len(w.leaves[slot]) > 0 {
				inputs = append(inputs, asbuilt.Inputs(w.networks[slot], w.leaves[slot], slopes[4+slot])...)
			}
		}
		w.limits[r] = budget.Combine(budget.Sources(inputs))
	}
}

// worst is the larger of the two errors, in percent: no range of any circuit of
// resistors is further off.
func (w *way) worst() float64 { return max(math.Abs(w.errs[0]), math.Abs(w.errs[1])) }

// closer is the index of the way that comes closer; -1 where none is filled.
func closer(ways []way) int {
	best := -1
	for i, w := range ways {
		if w.filled && (best < 0 || w.worst() < ways[best].worst()) {
			best = i
		}
	}
	return best
}

// warmed are the errors with the coil so many kelvin warmer than where it was
// measured, its copper following (perKelvin) and the resistors not; less those
// that there are cold.
func (w *way) warmed(perKelvin, kelvin float64) [2]float64 {
	ohms, hot := w.ohms(), w.circuit
	hot.new.ohms *= 1 + perKelvin*kelvin
	cold, warm := w.errors(ohms), hot.errors(ohms)
	return [2]float64{warm[0] - cold[0], warm[1] - cold[1]}
}

// response is a way as the search asks it, some slots being to be filled.
type response struct {
	*way
	slots []int
}

func (r response) Errors(dst, ohms []float64) {
	all := r.targets
	for i, slot := range r.slots {
		all[slot] = ohms[i]
	}
	errors := r.errors(all)
	copy(dst, errors[:])
}

func (r response) Rising(range_, s int) int { return r.rising(range_, r.slots[s]) }
