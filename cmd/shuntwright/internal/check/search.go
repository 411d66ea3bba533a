package check

import (
	"context"
	"maps"
	"math"
	"slices"

	"shuntwright/cmd/shuntwright/internal/asbuilt"
	"shuntwright/cmd/shuntwright/internal/predict"
	"shuntwright/match"
	"shuntwright/match/enumerate"
	"shuntwright/match/network"
	"shuntwright/meter"
	"shuntwright/meter/reading"
	"shuntwright/meter/wiring"
)

// search searches the drawer for remedies of what was found.
type search struct {
	*Checkup
	chosen []int           // parts of the drawer that may be taken, by their indexes
	mid    *asbuilt.Setup  // with the remedies chosen so far in place; nil: none is
	taken  []predict.Piece // by the remedies that are named
}

// spare are the parts of the drawer that nobody has fitted, neither by the files
// nor in thought.
func (k *Checkup) spare(ratedOnly bool) []int {
	taken := maps.Clone(k.Taken)
	for i, n := range k.Networks {
		for _, id := range n.IDs() {
			taken[id] = k.Where(i)
		}
	}
	return k.Free(taken, asbuilt.Wanted{RatedOnly: ratedOnly})
}

// served are the ranges on which a resistor of the meter, by its index, counts.
func (k *Checkup) served(resistor int) []int {
	var out []int
	for at := range k.Ranges {
		path := k.Meter.Path(at)
		if slices.Contains(slices.Concat(path.Lead, path.Across, path.Branch), resistor) {
			out = append(out, at)
		}
	}
	return out
}

// furthest is the error, in percent, of that one of some ranges which a state puts
// furthest off; ranges that are not whole do not count.
func (k *Checkup) furthest(state meter.State, ranges []int) float64 {
	errors, worst := make([]float64, len(k.Ranges)), 0.0
	k.Meter.Errors(errors, state)
	for _, at := range ranges {
		if math.Abs(errors[at]) > math.Abs(worst) {
			worst = errors[at]
		}
	}
	return worst
}

// remedies are to replace a resistor and to trim it, the better one first, those
// alone that take away half of what it has its ranges off by; state is the meter
// with all else in place.
func (r *search) remedies(ctx context.Context, p suspect, state meter.State) ([]remedy, error) {
	ranges := r.served(p.resistor)
	off := math.Abs(r.furthest(state.With(p.resistor, p.now), ranges))
	actions, out := []string{replace}, []remedy(nil)
	if !p.stays.IsNothing() && !math.IsInf(p.now, 1) && p.now > 0 {
		kept, err := r.kept(p)
		if err != nil {
			return nil, err
		}
		as, err := r.weighed(remedy{suspect: p, action: leave, network: p.stays, ohms: kept}, ranges, state)
		if err != nil || as.grade() == 0 {
			return []remedy{as}, err
		}
		fails := slices.ContainsFunc(r.with(reading.Fail), func(j reading.RangeJudgement) bool { return slices.Contains(ranges, j.Range) })
		if as.grade() == 1 && (p.byReadings() || !fails) {
			out = append(out, as)
		}
		actions = append(actions, trim)
	}
	for _, action := range actions {
		best, err := r.best(ctx, p, action, ranges, state)
		if err != nil {
			return nil, err
		}
		out = append(out, best...)
	}
	for _, steady := range []bool{true, false} {
		if best, err := r.swap(p, ranges, state, steady); err != nil {
			return nil, err
		} else if out = append(out, best...); slices.ContainsFunc(out, func(m remedy) bool { return m.grade() < 2 }) {
			break
		}
	}
	out = slices.DeleteFunc(out, func(m remedy) bool { return m.grade() == 2 && math.Abs(m.worst) > off/2 })
	goes := slices.ContainsFunc(out, func(m remedy) bool { return m.action == replace && m.grade() < 2 }) && r.drifted(p)
	slices.SortStableFunc(out, func(a, b remedy) int {
		if goes && a.action != b.action {
			if a.action == replace {
				return -1
			}
			return 1
		}
		return a.compare(b)
	})
	if len(out) > 1 && !out[0].hopeless() && out[1].hopeless() {
		out = out[:1] // not worth a thought beside one that serves
	}
	return out, nil
}

// nearest is how many networks about the best value are tried: the errors of
// several ranges need not be even on both sides of it.
const nearest = 24

// best finds the best remedy of one kind, with one part, then two and so on up to
// AtMost, until one is within the class for sure; none where nothing is near.
func (r *search) best(ctx context.Context, p suspect, action string, ranges []int, state meter.State) (best []remedy, err error) {
	if len(r.chosen) == 0 {
		return nil, nil
	}
	stock, err := r.Bench.Stock(r.chosen, r.Derate)
	if err != nil {
		return nil, err
	}
	target := r.bestOhms(p, ranges, state)
	need := match.Need{Target: target, Within: r.Within,
		Keep: math.NaN(), KeepBears: math.Inf(1), Flow: r.flow(p, state.With(p.resistor, target)), Drop: math.NaN()}
	if action == trim {
		if need.Keep, err = r.kept(p); err != nil {
			return nil, err
		}
	}
	for need.AtMost = 1; need.AtMost <= r.AtMost; need.AtMost++ {
		networks, err := r.near(ctx, stock, need)
		if err != nil {
			return nil, err
		}
		for _, n := range networks {
			one, err := r.weighed(remedy{suspect: p, action: action, network: r.Wire(n, r.chosen, p.stays), ohms: n.Value(), parts: n.Size()}, ranges, state)
			if err != nil {
				return nil, err
			}
			if best == nil || one.compare(best[0]) < 0 {
				best = []remedy{one}
			}
		}
		if best != nil && best[0].grade() == 0 {
			break
		}
	}
	return best, nil
}

// near returns the networks nearest to a target, as many as nearest says at most.
// Where something is kept, only those count in which it still decides the value.
func (r *search) near(ctx context.Context, stock *enumerate.Stock, need match.Need) ([]network.Network, error) {
	const most = 64 * nearest // as many are looked at for the few in which it does
	for top := nearest; ; top *= 8 {
		picked, err := stock.Pick(ctx, match.Query{Need: need, Top: top})
		if err != nil {
			return nil, err
		}
		var out []network.Network
		for _, choice := range picked.Choices {
			if choice.Network.Size() > 0 && len(out) < nearest && (math.IsNaN(need.Keep) || r.decides(choice.Network, need.Keep)) {
				out = append(out, choice.Network)
			}
		}
		if len(out) == nearest || len(picked.Choices) < top || top >= most {
			return out, nil
		}
	}
}

// decides tells whether what is kept still decides the value of a network: a
// change of it by one part in a thousand moves the whole by half of that or
// more. Else the new parts replace it, and it is a burden.
func (r *search) decides(n network.Network, kept float64) bool {
	w := r.Wire(n, r.chosen, wiring.Network{})
	values, at := make([]float64, len(w.Leaves())), 0
	for i, l := range w.Leaves() {
		if l.ID == "" {
			values[i], at = kept, i
		} else {
			values[i] = r.Measured[r.Index[l.ID]].Ohms
		}
	}
	const half = 0.5 * (1 - 1e-12)
	return w.Slopes(values)[at]*kept/n.Value() >= half
}

// weighed works out what a remedy does to the ranges.
func (r *search) weighed(out remedy, ranges []int, state meter.State) (remedy, error) {
	out.class, out.state = r.Class, state.With(out.resistor, out.ohms)
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
	out.limit95 = math.NaN()
	for _, at := range ranges {
		by := out.errors[at]
		if math.IsNaN(by) { // another resistor of the range is not known
			continue
		}
		if math.Abs(by) >= math.Abs(out.worst) {
			out.worst, out.limit95 = by, out.limits[at]
		}
		out.sure = max(out.sure, math.Abs(by)+out.limits[at])
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

// doubtKept gives what stays the value and the limit that the readings give it,
// in place of its instrument's: nobody has measured it as it is now. A limit of
// k·u becomes the half-width of the rectangle with the same u.
func (r *search) doubtKept(leaves []asbuilt.Leaf, n wiring.Network, p suspect) error {
	moved, err := r.moved(p)
	if err != nil {
		return err
	}
	for i, l := range n.Leaves() {
		if slices.ContainsFunc(p.stays.Leaves(), func(stays wiring.Network) bool { return l.ID == stays.ID && l.Ohms == stays.Ohms }) {
			m := &leaves[i].Measured
			m.Ohms *= moved
			m.GainPercent, m.Shared, m.FloorOhms = 100*p.limit/p.now/1.96*math.Sqrt(3), "readings of "+p.name, 0
		}
	}
	return nil
}

// flow is the largest current through a position at full scale, NaN where it
// is not known.
func (r *search) flow(p suspect, state meter.State) float64 {
	if p.position < 0 {
		return math.NaN()
	}
	if a := r.Meter.PredictState(state).Positions[p.position].Amperes; a >= 0 && !math.IsInf(a, 0) {
		return a
	}
	return math.NaN()
}

// bestOhms is the resistance with which the worst of the ranges that depend on
// it is best, all else as it is. Every error rises or falls steadily with a
// resistance, so its magnitude has one valley, and so has the largest of
// several: a golden section finds it.
func (r *search) bestOhms(p suspect, ranges []int, state meter.State) float64 {
	worst := func(ln float64) float64 { return math.Abs(r.furthest(state.With(p.resistor, math.Exp(ln)), ranges)) }
	const golden, reach, steps = 0.6180339887498949, 3, 90 // e³ either way, down to rounding
	lo, hi := math.Log(p.from)-reach, math.Log(p.from)+reach
	a, b := hi-golden*(hi-lo), lo+golden*(hi-lo)
	atA, atB := worst(a), worst(b)
	for range steps {
		if atA <= atB {
			hi, b, atB = b, a, atA
			a = hi - golden*(hi-lo)
			atA = worst(a)
		} else {
			lo, a, atA = a, b, atB
			b = lo + golden*(hi-lo)
			atB = worst(b)
		}
	}
	return math.Exp((lo + hi) / 2)
}
