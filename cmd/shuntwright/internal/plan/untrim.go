package plan

import (
	"context"
	"maps"
	"slices"

	"shuntwright/cmd/shuntwright/internal/asbuilt"
	"shuntwright/meter/wiring"
)

// besideOne is the share of the time for trims by Sure, which is hard to prove,
// where parts in the place of what is in one position would do: for fewer.
const besideOne = 0.2

// oneDoes tells whether up to two parts in the place of what is in one position
// bring every range within the class.
func (p *Planner) oneDoes(ctx context.Context, made *Outcome) (bool, error) {
	if !p.Sure || len(p.OpenPositions()) > 0 {
		return false, nil
	}
	off := p.beyond(p.Setup)
	for slot := range made.Open {
		if len(moved(made.Problem, slot, off)) == 0 {
			continue
		}
		trial, err := p.instead(ctx, made, maps.Clone(made.Kept), slot, min(p.AtMost, 2))
		if err != nil || trial != nil && len(p.beyond(trial)) == 0 {
			return err == nil, err
		}
	}
	return false, nil
}

// untrim takes out again what was added to a position and does nothing, once others
// are replaced. It changes networks and made.
func (p *Planner) untrim(made *Outcome, networks map[int]wiring.Network) error {
	trial, err := p.filled(networks)
	if err != nil {
		return err
	}
	for _, position := range made.Open {
		kept := made.Kept[position]
		if kept.IsNothing() || made.Replaced[position] || networks[position].String() == kept.String() {
			continue
		}
		without := trial.Clone()
		if err := without.Fill(position, kept); err != nil {
			return err
		}
		if p.asGood(without, trial) {
			trial, networks[position] = without, kept
			delete(made.Swamped, position)
			p.replaced(made, trial, false)
		}
	}
	return nil
}

// asGood tells whether no range that a setup leaves beyond the class is so much
// further off than it was that it can be seen.
func (p *Planner) asGood(setup, was *asbuilt.Setup) bool {
	now, then := p.counts(setup), p.counts(was)
	return !slices.ContainsFunc(p.beyond(setup), func(r int) bool { return now[r] > then[r]+p.Resolution })
}
