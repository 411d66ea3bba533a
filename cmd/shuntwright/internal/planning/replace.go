package planning

import (
	"context"
	"math"
	"slices"

	"shuntwright/cmd/shuntwright/internal/bench"
	"shuntwright/match"
	"shuntwright/meter/wiring"
)

// decides is the share of a network's value from which on what stays in it still
// decides the value; with less, what is added has replaced it in effect.
const decides = 0.5

// replaceTries is how many single parts are tried in place of a trimmed network,
// those nearest to the target first.
const replaceTries = 64

// replace looks at the networks of a trim in which what stays no longer decides
// the value. Where one part of the drawer alone brings the ranges within the
// class it takes the place of all; else it is noted how little the old part
// still says. It changes networks and made.
func (p *Planner) replace(ctx context.Context, made *Outcome, networks map[int]wiring.Network) error {
	made.Replaced, made.Swamped = map[int]bool{}, map[int]float64{}
	for slot, position := range made.Open {
		n, kept := networks[position], made.Kept[position]
		if bench.IsNothing(kept) || p.IsOpen(position) || kept.String() != p.Networks[position].String() || n.String() == kept.String() || bench.IsNothing(n) {
			continue
		}
		share, err := p.shareOf(n, kept)
		if err != nil {
			return err
		}
		if share >= decides {
			continue
		}
		made.Swamped[position] = share
		one, trial, err := p.alone(ctx, made, networks, slot)
		if err != nil {
			return err
		}
		if trial != nil {
			networks[position], made.Replaced[position] = one, true
			delete(made.Swamped, position)
			p.replaced(made, trial)
		}
	}
	return nil
}

// replaced notes how the meter stands with a part in the place of what was there.
// What the search has proven of networks round what stays is not proven of that.
func (p *Planner) replaced(made *Outcome, trial *bench.Setup) {
	beyond := p.beyond(trial)
	if len(beyond) < len(made.Beyond) {
		made.Plan.Proven, made.Plan.End = false, match.WorstProven
	}
	made.Beyond, made.reads = beyond, p.standingOf(trial, unmoved(made.Problem))
}

// shareOf is the share of a network's value that the resistors of what stays in
// it decide: how far the value moves, in percent, where these move by one. The
// shares of all resistors come to 1, since values scale together.
func (p *Planner) shareOf(n, kept wiring.Network) (float64, error) {
	leaves, err := p.Bench.Resistors(n, p.Meter.Movement.Instrument)
	if err != nil {
		return 0, err
	}
	values := bench.Values(leaves)
	slopes, sum := n.Slopes(values), 0.0
	for i, l := range n.Leaves() {
		if l.ID == "" || slices.Contains(kept.IDs(), l.ID) {
			sum += slopes[i] * values[i]
		}
	}
	return sum / n.Resistance(values), nil
}

// alone is a single part that does in a slot what its network is for: the ranges
// that the slot moves are within the class, and none is beyond it that is not so
// anyhow. trial is how the meter is with it, nil where there is none.
func (p *Planner) alone(ctx context.Context, made *Outcome, networks map[int]wiring.Network, slot int) (one wiring.Network, trial *bench.Setup, err error) {
	position, need := made.Open[slot], made.Problem.Needs[slot]
	need.AtMost, need.Keep, need.KeepBears, need.Within = 1, math.NaN(), math.Inf(1), p.Within
	found, err := made.Stock.Pick(ctx, match.Query{Need: need, Top: replaceTries})
	if err != nil {
		return one, nil, err
	}
	trial = p.Clone()
	used := map[string]bool{}
	for at, n := range networks {
		if err := trial.Fill(at, n); err != nil {
			return one, nil, err
		}
		for _, id := range n.IDs() {
			used[id] = used[id] || at != position
		}
	}
	for _, choice := range found.Choices {
		one = p.Wire(choice.Network, made.Chosen, wiring.Network{})
		if used[one.ID] {
			continue
		}
		if err := trial.Fill(position, one); err != nil {
			return one, nil, err
		}
		beyond := p.beyond(trial)
		if !movesAny(made.Problem, beyond, slot) && !slices.ContainsFunc(beyond, func(r int) bool { return !slices.Contains(made.Beyond, r) }) {
			return one, trial, nil
		}
	}
	return one, nil, nil
}
