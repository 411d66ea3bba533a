package check

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

// suspect is one resistor that is to be put right.
type suspect struct {
	resistor int            // index into the meter's resistors
	position int            // index into its positions, -1 where it is none
	name     string         // of the position, or of the resistor
	now      float64        // ohms that it has by the readings, or as fitted; +Inf: open
	limit    float64        // 95 % limit of that, ohms; NaN: as good as the measurement of what is fitted
	from     float64        // ohms that should be there
	stays    wiring.Network // what a trim is wired to; with parts of the drawer, all that is fitted
}

// hypothesis is one way to see what is wrong: the resistors that are to be put
// right together, and the meter as it is by that view.
type hypothesis struct {
	explanation reading.Explanation
	suspects    []suspect
}

// remedy is one thing to do for one suspect.
type remedy struct {
	suspect
	action  string         // replace, trim or leave
	network wiring.Network // what is then in the place, with what stays
	ohms    float64        // of that
	parts   int            // of the drawer that are put in
	errors  []float64      // full-scale errors of all ranges afterwards, percent
	limits  []float64      // 95 % limits of them; NaN where the resistor is no position
	worst   float64        // largest magnitude of the errors of the ranges that the resistor serves, percent
	limit95 float64        // limit of the error that is largest, percent; NaN where it is not known
	sure    float64        // largest sum of error and limit of those ranges, percent; NaN where limits are not known
	class   float64
	state   meter.State    // the meter afterwards
	then    *asbuilt.Setup // what is fitted afterwards
}

// The actions of a remedy: the resistor goes, or stays and gets parts beside it,
// or is left as it is: not what the files say, it serves all the same.
const (
	replace = "replace"
	trim    = "trim"
	leave   = "leave"
)

// grade orders remedies: 0 are those that pass for sure, 1 those that are within
// the class, 2 all others. Without a class all are 2.
func (r remedy) grade() int {
	switch {
	case r.sure <= r.class:
		return 0
	case r.worst <= r.class:
		return 1
	}
	return 2
}

// hopeless tells that a remedy does not bring its ranges within the class.
func (r remedy) hopeless() bool { return !math.IsNaN(r.class) && r.grade() == 2 }

// before tells which of two remedies is the better one: the better grade, then
// the fewer parts if it is within the class, then the smaller error, with its
// limit where that is known, which counts only where it is worth the digits.
func (r remedy) before(other remedy) bool {
	const alike = 1e-9
	if g, o := r.grade(), other.grade(); g != o {
		return g < o
	}
	if r.parts != other.parts && r.grade() < 2 {
		return r.parts < other.parts
	}
	if !math.IsNaN(r.sure-other.sure) && math.Abs(r.sure-other.sure) > alike {
		return r.sure < other.sure
	}
	if math.Abs(r.worst-other.worst) > alike {
		return r.worst < other.worst
	}
	return r.parts < other.parts
}

// search searches the drawer for remedies of what was found.
type search struct {
	*finding
	atMost int            // parts in one place, 1 to 4
	within float64        // how far from the best value a network is looked at, as a fraction of it, above 0
	derate float64        // the share of its rated watts that a part may carry, above 0 and up to 1
	chosen []int          // parts of the drawer that may be taken, by their indexes
	mid    *asbuilt.Setup // with the remedies chosen so far in place; nil: none is
}

// spare are the parts of the drawer that nobody has fitted, neither by the files
// nor in thought.
func (k *finding) spare(ratedOnly bool) []int {
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
func (r *search) remedies(ctx context.Context, p suspect, state meter.State) ([]remedy, error) {
	var out []remedy
	stays := !p.stays.IsNothing() && !math.IsInf(p.now, 1) && p.now > 0
	if stays {
		if as, err := r.asItIs(p, state); err != nil || as.grade() == 0 {
			return []remedy{as}, err
		}
	}
	for _, action := range []string{replace, trim} {
		if action == trim && !stays {
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
	if best, found, err := r.swap(p, state); err != nil {
		return nil, err
	} else if found {
		out = append(out, best)
	}
	slices.SortStableFunc(out, func(a, b remedy) int {
		switch {
		case r.drifted(p) && a.action != b.action && min(a.grade(), b.grade()) < 2 && replacement(a, b).grade() < 2:
			if a.action == replace {
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
	if len(out) > 1 && out[0].grade() < out[1].grade() && out[1].grade() == 2 && !math.IsNaN(r.class) {
		out = out[:1] // not worth a thought beside one that serves
	}
	return out, nil
}

// leftBehind are the parts of the drawer that the meter file has in the
// position now and that the remedy's text does not name.
func (k *finding) leftBehind(m remedy) []string {
	return slices.DeleteFunc(k.Networks[m.position].IDs(), func(id string) bool { return slices.Contains(m.network.IDs(), id) })
}

// nearest is how many networks about the best value are tried: the errors of
// several ranges need not be even on both sides of it.
const nearest = 24

// search finds the best remedy of one kind, with one part, then two and so on
// up to atMost, until one is within the class for sure.
func (r *search) search(ctx context.Context, p suspect, action string, state meter.State) (best remedy, found bool, err error) {
	if len(r.chosen) == 0 {
		return remedy{}, false, nil
	}
	stock, err := r.Bench.Stock(r.chosen, r.derate)
	if err != nil {
		return remedy{}, false, err
	}
	ranges := r.served(p.resistor)
	target := r.bestOhms(p, ranges, state)
	need := match.Need{Target: target, Within: r.within,
		Keep: math.NaN(), KeepBears: math.Inf(1), Flow: r.flow(p, state.With(p.resistor, target)), Drop: math.NaN()}
	if action == trim {
		if need.Keep, err = r.kept(p); err != nil {
			return remedy{}, false, err
		}
	}
	for need.AtMost = 1; need.AtMost <= r.atMost; need.AtMost++ {
		networks, err := r.near(ctx, stock, need)
		if err != nil {
			return remedy{}, false, err
		}
		for _, n := range networks {
			one, err := r.try(p, action, n, ranges, state)
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

// try works out what a network does in a suspect's place.
func (r *search) try(p suspect, action string, n network.Network, ranges []int, state meter.State) (remedy, error) {
	return r.weighed(remedy{suspect: p, action: action, network: r.Wire(n, r.chosen, p.stays), ohms: n.Value(), parts: n.Size(), class: r.class}, ranges, state)
}

// weighed works out what a remedy does to the ranges.
func (r *search) weighed(out remedy, ranges []int, state meter.State) (remedy, error) {
	out.state = state.With(out.resistor, out.ohms)
	out.errors = make([]float64, len(r.Ranges))
	r.Meter.Errors(out.errors, out.state)
	var err error
	if out.then, err = r.fitted(out); err != nil {
		return out, err
	}
	out.limits = slices.Repeat([]float64{math.NaN()}, len(r.Ranges))
	if out.position >= 0 { // how sure other resistors are is not known
		for i, limit := range out.then.RangeLimits(out.state) {
			out.limits[i] = limit.Limit
		}
	}
	for _, at := range ranges {
		if off := math.Abs(out.errors[at]); !(off < out.worst) {
			out.worst, out.limit95 = off, out.limits[at]
		}
		out.sure = max(out.sure, math.Abs(out.errors[at])+out.limits[at])
	}
	return out, nil
}

// fitted is what is fitted with one more remedy in place.
func (r *search) fitted(m remedy) (*asbuilt.Setup, error) {
	before := r.Setup
	if r.mid != nil {
		before = r.mid
	}
	then := before.Clone()
	if m.position < 0 {
		return then, nil
	}
	if err := then.Fill(m.position, m.network); err != nil {
		return nil, err
	}
	if m.action != replace && m.byReadings() {
		if err := r.doubtKept(then.Leaves[m.position], m.network, m.suspect); err != nil {
			return nil, err
		}
	}
	return then, nil
}
