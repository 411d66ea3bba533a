package plan

import (
	"context"
	"maps"
	"math"
	"slices"

	"shuntwright/cmd/shuntwright/internal/asbuilt"
	"shuntwright/inventory"
	"shuntwright/match"
	"shuntwright/meter/wiring"
)

// decides is the share of a network's value from which on what stays in it still
// decides the value; with less, what is added has replaced it in effect.
const decides = 0.5

// burnt is the fraction by which what is fitted has drifted from its target from
// which on it is not to be trusted any longer: it goes rather than being trimmed
// (common practice).
const burnt = 0.2

// replace looks at the networks of a trim in which what stays no longer decides
// the value, or has drifted too far to stay, and at those that leave ranges beyond
// the class. Where parts of the drawer alone bring the ranges within the class, and
// in the first case are no more than were added, they take the place of all; where
// both are beyond it, they do so if they come closer and what stays decided little
// or has drifted. Else it is noted how little the old part still says. It changes
// networks and made.
func (p *Planner) replace(ctx context.Context, made *Outcome, networks map[int]wiring.Network) error {
	made.Replaced, made.Swamped = map[int]bool{}, map[int]float64{}
	for slot, position := range made.Open {
		n, kept := networks[position], made.Kept[position]
		if kept.IsNothing() || p.IsOpen(position) || kept.String() != p.Networks[position].String() || n.IsNothing() {
			continue
		}
		share, err := p.ShareOf(n, kept)
		if err != nil {
			return err
		}
		within, gone, added := len(moved(made.Problem, slot, made.Beyond)) == 0, p.gone(position), len(n.IDs())-len(kept.IDs())
		if share >= decides && within && !gone {
			continue
		}
		most := p.AtMost
		if within && !gone {
			most = min(most, added)
		}
		instead, err := p.instead(ctx, made, networks, slot, most)
		if err != nil {
			return err
		}
		fewer := instead != nil && len(p.beyond(instead)) < len(made.Beyond)
		if fewer || instead != nil && (share < decides || gone) {
			networks[position], made.Replaced[position] = instead.Networks[position], true
			p.replaced(made, instead, len(networks[position].IDs()) > added)
		} else if share < decides {
			made.Swamped[position] = share
		}
	}
	return nil
}

// gone tells that what is fitted in a position is further from its target than a
// part may drift that stays.
func (p *Planner) gone(position int) bool {
	targets, err := p.Meter.Targets()
	return err == nil && math.Abs(p.Ohms()[position]/targets[position]-1) > burnt
}

// replaced notes how the meter stands with parts in the place of what was there.
// Where the plan was beyond the class, or these are more parts than it added, what
// the search has proven of networks round what stays is not proven of that.
func (p *Planner) replaced(made *Outcome, trial *asbuilt.Setup, more bool) {
	if len(made.Beyond) > 0 || more {
		made.Plan.Proven, made.Plan.End, made.Plan.Bound = false, match.WorstProven, math.NaN()
	}
	made.Beyond, made.reads = p.beyond(trial), p.standingOf(trial, made.Problem)
}

// ShareOf is the share of a network's value that the resistors of what stays in
// it decide: how far the value moves, in percent, where these move by one. The
// shares of all resistors come to 1, since values scale together.
func (p *Planner) ShareOf(n, kept wiring.Network) (float64, error) {
	leaves, err := p.Bench.Resistors(n, p.Meter.Movement.Instrument)
	if err != nil {
		return 0, err
	}
	values := asbuilt.Values(leaves)
	slopes, sum := n.Slopes(values), 0.0
	for i, l := range n.Leaves() {
		if l.ID == "" || l.IsWire() || slices.Contains(kept.IDs(), l.ID) { // no wire is added
			sum += slopes[i] * values[i]
		}
	}
	return sum / n.Resistance(values), nil
}

// instead is how the meter stands with up to most parts of the drawer alone in a
// slot, all others as planned: the fewest that bring its ranges within the
// class, else those that come closest. Parts that somebody has measured go
// first. It is nil where there is nothing as good as the plan.
func (p *Planner) instead(ctx context.Context, made *Outcome, networks map[int]wiring.Network, slot, most int) (*asbuilt.Setup, error) {
	planned, err := p.filled(networks)
	if err != nil {
		return nil, err
	}
	used := takenBy(planned, made.Open[slot])
	free := slices.DeleteFunc(append(p.own(made.Open[slot]), made.Chosen...), func(i int) bool { return used[p.Measured[i].ID] })
	slices.Sort(free)
	var best *asbuilt.Setup
	for _, chosen := range [][]int{p.measured(free), free} {
		anew := &Planner{planned, p.Asked}
		anew.Trim, anew.Enough, anew.AtMost = false, p.Class, most
		trial, err := anew.best(ctx, made.Open[slot], chosen, nil)
		if err != nil {
			return nil, err
		}
		if trial == nil {
			continue
		}
		if p.betters(trial, planned, moved(made.Problem, slot, p.beyond(planned))) {
			best, planned = trial, trial
		}
		if best != nil && len(moved(made.Problem, slot, p.beyond(best))) == 0 {
			break
		}
	}
	return best, nil
}

// own are the parts in a position that may stay in other company: as long as it has
// not drifted so far that who knows which of them did, those that are steady and that
// the flags allow.
func (p *Planner) own(position int) (out []int) {
	if p.gone(position) {
		return nil
	}
	for _, id := range p.Networks[position].IDs() {
		if i := p.Index[id]; p.Wanted.Has(p.Bench, i) && p.Parts[i].Unsteady(p.Measured[i].Ohms) == "" {
			out = append(out, i)
		}
	}
	return out
}

// betters tells whether a trial leaves no range beyond the class that the plan
// does not, and brings one within it, or all of ours closer; where none of ours
// is beyond, there is nothing to better.
func (p *Planner) betters(trial, planned *asbuilt.Setup, ours []int) bool {
	now, then := p.beyond(trial), p.beyond(planned)
	if slices.ContainsFunc(now, func(r int) bool { return !slices.Contains(then, r) }) {
		return false
	}
	return len(ours) == 0 || len(now) < len(then) || p.worstOf(trial, ours) < p.worstOf(planned, ours)
}

// worstOf is what the worst of some ranges counts.
func (p *Planner) worstOf(s *asbuilt.Setup, ranges []int) float64 {
	counts, worst := p.counts(s), 0.0
	for _, r := range ranges {
		worst = max(worst, counts[r])
	}
	return worst
}

// Instead is how the meter stands, once it is planned, with the best network in a
// position of those parts that are not passed over and nowhere else; nil where there
// is none, or where one range more would be beyond the class.
func (p *Planner) Instead(ctx context.Context, made *Outcome, position int, pass func(inventory.Part) bool) (*asbuilt.Setup, error) {
	used := takenBy(p.Setup, position)
	chosen := slices.DeleteFunc(slices.Clone(made.Chosen), func(i int) bool { return used[p.Measured[i].ID] || pass(p.Parts[i]) })
	trial, err := p.best(ctx, position, chosen, maps.Clone(made.Kept))
	if err != nil || trial == nil || len(p.beyond(trial)) > len(p.beyond(p.Setup)) {
		return nil, err
	}
	return trial, nil
}
