// Package repair searches the drawer for what puts a meter right of which
// readings say what is wrong.
package repair

import (
	"context"
	"maps"
	"math"
	"slices"

	"shuntwright/cmd/shuntwright/internal/asbuilt"
	"shuntwright/match"
	"shuntwright/match/network"
	"shuntwright/meter"
	"shuntwright/meter/reading"
	"shuntwright/meter/wiring"
)

// Patient is one resistor that is to be put right.
type Patient struct {
	Resistor int            // index into the meter's resistors
	Position int            // index into its positions, -1 where it is none
	Name     string         // of the position, or of the resistor
	Now      float64        // ohms that it has by the readings, or as fitted; +Inf: open
	Limit    float64        // 95 % limit of that, ohms; NaN: as good as the measurement of what is fitted
	From     float64        // ohms that should be there
	stays    wiring.Network // what a trim is wired to; with parts of the drawer, all that is fitted
}

// Course is one way to see what is wrong: the resistors that are to be put
// right together, and the meter as it is by that view.
type Course struct {
	Explanation reading.Explanation
	Patients    []Patient
}

// Remedy is one thing to do for one patient.
type Remedy struct {
	Patient
	Action  string         // Replace, Trim or Leave
	Network wiring.Network // what is then in the place, with what stays
	Ohms    float64        // of that
	Parts   int            // of the drawer that are put in
	Errors  []float64      // full-scale errors of all ranges afterwards, percent
	Limits  []float64      // 95 % limits of them; NaN where the resistor is no position
	Worst   float64        // largest magnitude of the errors of the ranges that the resistor serves, percent
	Limit95 float64        // limit of the error that is largest, percent; NaN where it is not known
	Sure    float64        // largest sum of error and limit of those ranges, percent; NaN where limits are not known
	class   float64
	State   meter.State    // the meter afterwards
	then    *asbuilt.Setup // what is fitted afterwards
}

// The actions of a remedy: the resistor goes, or stays and gets parts beside it,
// or is left as it is: not what the files say, it serves all the same.
const (
	Replace = "replace"
	Trim    = "trim"
	Leave   = "leave"
)

// Grade orders remedies: 0 are those that pass for sure, 1 those that are within
// the class, 2 all others. Without a class all are 2.
func (r Remedy) Grade() int {
	switch {
	case r.Sure <= r.class:
		return 0
	case r.Worst <= r.class:
		return 1
	}
	return 2
}

// Then is what is fitted with the remedy, and those chosen before it, in place.
func (r Remedy) Then() *asbuilt.Setup { return r.then }

// Hopeless tells that a remedy does not bring its ranges within the class.
func (r Remedy) Hopeless() bool { return !math.IsNaN(r.class) && r.Grade() == 2 }

// before tells which of two remedies is the better one: the better grade, then
// the fewer parts if it is within the class, then the smaller error, with its
// limit where that is known, which counts only where it is worth the digits.
func (r Remedy) before(other Remedy) bool {
	const alike = 1e-9
	if g, o := r.Grade(), other.Grade(); g != o {
		return g < o
	}
	if r.Parts != other.Parts && r.Grade() < 2 {
		return r.Parts < other.Parts
	}
	if !math.IsNaN(r.Sure-other.Sure) && math.Abs(r.Sure-other.Sure) > alike {
		return r.Sure < other.Sure
	}
	if math.Abs(r.Worst-other.Worst) > alike {
		return r.Worst < other.Worst
	}
	return r.Parts < other.Parts
}

// Search searches the drawer for remedies of what was found.
type Search struct {
	*Finding
	AtMost int            // parts in one place, 1 to 4
	Within float64        // how far from the best value a network is looked at, as a fraction of it, above 0
	Derate float64        // the share of its rated watts that a part may carry, above 0 and up to 1
	Chosen []int          // parts of the drawer that may be taken, by their indexes
	mid    *asbuilt.Setup // with the remedies chosen so far in place; nil: none is
}

// Spare are the parts of the drawer that nobody has fitted, neither by the files
// nor in thought.
func (k *Finding) Spare(ratedOnly bool) []int {
	taken := maps.Clone(k.Taken)
	for i, n := range k.Networks {
		for _, id := range n.IDs() {
			taken[id] = k.Where(i)
		}
	}
	return k.Free(taken, asbuilt.Wanted{RatedOnly: ratedOnly})
}

// remedies are to replace a resistor and to trim it, the better one first;
// state is the meter with all else in place.
func (r *Search) remedies(ctx context.Context, p Patient, state meter.State) ([]Remedy, error) {
	var out []Remedy
	stays := !asbuilt.IsNothing(p.stays) && !math.IsInf(p.Now, 1) && p.Now > 0
	if stays {
		if as, err := r.asItIs(p, state); err != nil || as.Grade() == 0 {
			return []Remedy{as}, err
		}
	}
	for _, action := range []string{Replace, Trim} {
		if action == Trim && !stays {
			continue
		}
		best, found, err := r.search(ctx, p, action, state)
		if err != nil {
			return nil, err
		}
		if found {
			out = append(out, best)
		}
	}
	slices.SortStableFunc(out, func(a, b Remedy) int {
		switch {
		case r.drifted(p) && a.Action != b.Action && min(a.Grade(), b.Grade()) < 2 && replacement(a, b).Grade() < 2:
			if a.Action == Replace {
				return -1
			}
			return 1
		case a.before(b):
			return -1
		case b.before(a):
			return 1
		}
		return 0
	})
	if len(out) > 1 && out[0].Grade() < out[1].Grade() && out[1].Grade() == 2 && !math.IsNaN(r.Class) {
		out = out[:1] // not worth a thought beside one that serves
	}
	return out, nil
}

// LeftBehind are the parts of the drawer that the meter file has in the
// position now and that the remedy's text does not name.
func (k *Finding) LeftBehind(m Remedy) []string {
	return slices.DeleteFunc(k.Networks[m.Position].IDs(), func(id string) bool { return slices.Contains(m.Network.IDs(), id) })
}

// nearest is how many networks about the best value are tried: the errors of
// several ranges need not be even on both sides of it.
const nearest = 24

// search finds the best remedy of one kind, with one part, then two and so on
// up to AtMost, until one is within the class for sure.
func (r *Search) search(ctx context.Context, p Patient, action string, state meter.State) (best Remedy, found bool, err error) {
	if len(r.Chosen) == 0 {
		return Remedy{}, false, nil
	}
	stock, err := r.Bench.Stock(r.Chosen, r.Derate)
	if err != nil {
		return Remedy{}, false, err
	}
	ranges := r.Served(p.Resistor)
	target := r.bestOhms(p, ranges, state)
	need := match.Need{Target: target, Within: r.Within,
		Keep: math.NaN(), KeepBears: math.Inf(1), Flow: r.flow(p, state.With(p.Resistor, target)), Drop: math.NaN()}
	if action == Trim {
		if need.Keep, err = r.kept(p); err != nil {
			return Remedy{}, false, err
		}
	}
	for need.AtMost = 1; need.AtMost <= r.AtMost; need.AtMost++ {
		networks, err := r.near(ctx, stock, need)
		if err != nil {
			return Remedy{}, false, err
		}
		for _, n := range networks {
			one, err := r.try(p, action, n, ranges, state)
			if err != nil {
				return Remedy{}, false, err
			}
			if !found || one.before(best) {
				best, found = one, true
			}
		}
		if found && best.Grade() == 0 {
			break
		}
	}
	return best, found, nil
}

// try works out what a network does in a patient's place.
func (r *Search) try(p Patient, action string, n network.Network, ranges []int, state meter.State) (Remedy, error) {
	return r.weighed(Remedy{Patient: p, Action: action, Network: r.Wire(n, r.Chosen, p.stays), Ohms: n.Value(), Parts: n.Size(), class: r.Class}, ranges, state)
}

// weighed works out what a remedy does to the ranges.
func (r *Search) weighed(out Remedy, ranges []int, state meter.State) (Remedy, error) {
	out.State = state.With(out.Resistor, out.Ohms)
	out.Errors = make([]float64, len(r.Ranges))
	r.Meter.Errors(out.Errors, out.State)
	var err error
	if out.then, err = r.fitted(out); err != nil {
		return out, err
	}
	out.Limits = slices.Repeat([]float64{math.NaN()}, len(r.Ranges))
	if out.Position >= 0 { // how sure other resistors are is not known
		for i, limit := range out.then.RangeLimits(out.State) {
			out.Limits[i] = limit.Limit
		}
	}
	for _, at := range ranges {
		if off := math.Abs(out.Errors[at]); !(off < out.Worst) {
			out.Worst, out.Limit95 = off, out.Limits[at]
		}
		out.Sure = max(out.Sure, math.Abs(out.Errors[at])+out.Limits[at])
	}
	return out, nil
}

// fitted is what is fitted with one more remedy in place.
func (r *Search) fitted(m Remedy) (*asbuilt.Setup, error) {
	before := r.Setup
	if r.mid != nil {
		before = r.mid
	}
	then := before.Clone()
	if m.Position < 0 {
		return then, nil
	}
	if err := then.Fill(m.Position, m.Network); err != nil {
		return nil, err
	}
	if m.Action != Replace && m.ByReadings() {
		if err := r.doubtKept(then.Leaves[m.Position], m.Network, m.Patient); err != nil {
			return nil, err
		}
	}
	return then, nil
}
