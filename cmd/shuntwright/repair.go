package main

import (
	"context"
	"maps"
	"math"
	"slices"

	"shuntwright/cmd/shuntwright/internal/bench"
	"shuntwright/match"
	"shuntwright/meter"
	"shuntwright/meter/reading"
	"shuntwright/meter/wiring"
)

// patient is one resistor that is to be put right.
type patient struct {
	resistor int     // index into the meter's resistors
	position int     // index into its positions, -1 where it is none
	name     string  // of the position, or of the resistor
	now      float64 // what it is by the readings, or as fitted; +Inf: open
	limit    float64 // 95 % limit of that, NaN: as good as the measurement of what is fitted
	from     float64 // what should be there
	stays    wiring.Network
}

// course is one way to see what is wrong: the resistors that are to be put
// right together, and the meter as it is by that view.
type course struct {
	explanation reading.Explanation
	patients    []patient
}

// remedy is one thing to do for one patient.
type remedy struct {
	patient
	action  string
	network wiring.Network
	ohms    float64
	parts   int
	errors  []float64 // full-scale errors of all ranges afterwards, percent
	limits  []float64 // 95 % limits of them; NaN where the resistor is no position
	worst   float64   // of the ranges that the resistor serves
	sure    float64   // worst of error plus limit of those
	class   float64
	state   meter.State // the meter afterwards
}

// The actions of a remedy.
const (
	replace = "replace"
	trimIt  = "trim"
)

// grade orders remedies: those that pass for sure, those that are within the
// class, all others. Without a class all are alike.
func (r remedy) grade() int {
	switch {
	case r.sure <= r.class:
		return 0
	case r.worst <= r.class:
		return 1
	}
	return 2
}

// before tells which of two remedies is the better one: the better grade, then
// the fewer parts if it is within the class, then the smaller error, which
// counts only where it is worth the digits.
func (r remedy) before(other remedy) bool {
	const alike = 1e-9
	if g, o := r.grade(), other.grade(); g != o {
		return g < o
	}
	if r.parts != other.parts && r.grade() < 2 {
		return r.parts < other.parts
	}
	if math.Abs(r.worst-other.worst) > alike {
		return r.worst < other.worst
	}
	return r.parts < other.parts
}

// repairer searches the drawer for remedies.
type repairer struct {
	*checked
	call   *call
	ctx    context.Context
	chosen []int // parts of the drawer that may be taken
}

// spare are the parts of the drawer that nobody has fitted, neither by the files
// nor in thought.
func (k *checked) spare(ratedOnly bool) []int {
	taken := maps.Clone(k.Taken)
	for i, n := range k.Networks {
		for _, id := range n.IDs() {
			taken[id] = k.Where(i)
		}
	}
	return k.Free(taken, ratedOnly)
}

// cure finds the remedies of every patient of a course, for each the best
// first. What is chosen for one counts for the next, and its parts are gone.
func (r *repairer) cure(c course) ([][]remedy, error) {
	state := c.explanation.State
	for _, p := range c.patients {
		state = state.With(p.resistor, p.from)
	}
	free := r.chosen
	defer func() { r.chosen = free }()
	var all [][]remedy
	for _, p := range c.patients {
		found, err := r.remedies(p, state)
		if err != nil {
			return nil, err
		}
		all = append(all, found)
		if len(found) > 0 {
			state = found[0].state
			r.chosen = slices.DeleteFunc(slices.Clone(r.chosen), func(i int) bool {
				return slices.Contains(found[0].network.IDs(), r.Parts[i].ID)
			})
		}
	}
	return all, nil
}

// remedies are to replace a resistor and to trim it, the better one first;
// state is the meter with all else in place.
func (r *repairer) remedies(p patient, state meter.State) ([]remedy, error) {
	var out []remedy
	for _, action := range []string{replace, trimIt} {
		if action == trimIt && (bench.IsNothing(p.stays) || math.IsInf(p.now, 1) || !(p.now > 0)) {
			continue
		}
		best, found, err := r.search(p, action, state)
		if err != nil {
			return nil, err
		}
		if found {
			out = append(out, best)
		}
	}
	slices.SortStableFunc(out, func(a, b remedy) int {
		switch {
		case a.before(b):
			return -1
		case b.before(a):
			return 1
		}
		return 0
	})
	if len(out) > 1 && out[0].grade() < out[1].grade() && out[1].grade() == 2 && isNumber(r.class) {
		out = out[:1] // not worth a thought beside one that serves
	}
	return out, nil
}

// nearest is how many networks about the best value are tried: the errors of
// several ranges need not be even on both sides of it.
const nearest = 24

// search finds the best remedy of one kind, with one part, then two and so on
// up to --parts, until one is within the class for sure.
func (r *repairer) search(p patient, action string, state meter.State) (best remedy, found bool, err error) {
	if len(r.chosen) == 0 {
		return remedy{}, false, nil
	}
	stock, err := r.Bench.Stock(r.chosen, r.call.options.derate)
	if err != nil {
		return remedy{}, false, err
	}
	ranges := r.served(p.resistor)
	target := r.bestOhms(p, ranges, state)
	need := match.Need{Target: target, Within: float64(r.call.options.within) / 100,
		Keep: math.NaN(), KeepBears: math.Inf(1), Flow: r.flow(p, state.With(p.resistor, target)), Drop: math.NaN()}
	if action == trimIt {
		need.Keep = r.kept(p)
	}
	for need.AtMost = 1; need.AtMost <= r.call.options.parts; need.AtMost++ {
		picked, err := stock.Pick(r.ctx, match.Query{Need: need, Top: nearest})
		if err != nil {
			return remedy{}, false, err
		}
		for _, choice := range picked.Choices {
			if choice.Network.Size() == 0 { // what is there, as it is
				continue
			}
			one, err := r.try(p, action, choice.Network, ranges, state)
			if err != nil {
				return remedy{}, false, err
			}
			if !found || one.before(best) {
				best, found = one, true
			}
		}
		if found && best.grade() == 0 {
			break
		}
	}
	return best, found, nil
}

// try works out what a network does in a patient's place.
func (r *repairer) try(p patient, action string, n match.Network, ranges []int, state meter.State) (remedy, error) {
	out := remedy{patient: p, action: action, network: r.Wire(n, r.chosen, p.stays), ohms: n.Value(), parts: n.Size(), class: r.class}
	out.state = state.With(p.resistor, out.ohms)
	out.errors = make([]float64, len(r.Ranges))
	r.Meter.Errors(out.errors, out.state)
	var err error
	if out.limits, err = r.limitsAfter(out); err != nil {
		return out, err
	}
	for _, at := range ranges {
		out.worst = max(out.worst, math.Abs(out.errors[at]))
		out.sure = max(out.sure, math.Abs(out.errors[at])+out.limits[at])
	}
	return out, nil
}

// limitsAfter are the limits of the ranges with a remedy in place; not known
// for a resistor that is no position.
func (r *repairer) limitsAfter(after remedy) ([]float64, error) {
	out := slices.Repeat([]float64{math.NaN()}, len(r.Ranges))
	if after.position < 0 {
		return out, nil
	}
	trial := r.setup.Clone()
	if err := trial.Fill(after.position, after.network); err != nil {
		return nil, err
	}
	if after.action == trimIt && isNumber(after.limit) {
		r.doubtKept(trial.Leaves[after.position], after.network, after.patient)
	}
	for i, limit := range trial.RangeLimits(after.state) {
		out[i] = limit.Limit
	}
	return out, nil
}

// doubtKept gives the resistance that stays the limit which the readings give
// it, in place of an instrument's: nobody measured it. A limit of k·u becomes
// the half-width of the rectangle with the same u.
func (r *repairer) doubtKept(leaves []bench.Leaf, n wiring.Network, p patient) {
	for i, l := range n.Leaves() {
		if l.ID == "" && l.Ohms == p.stays.Ohms {
			m := leaves[i].Measured
			m.GainPercent, m.Shared, m.FloorOhms = 0, "", p.limit/1.96*math.Sqrt(3)
			leaves[i].Measured = m
		}
	}
}
