package main

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"shuntwright/match"
	"shuntwright/meter/quantity"
	"shuntwright/meter/wiring"
)

// keeps reads the --keep flags of plan: "POSITION=OHMS" puts a resistance into
// an open position and builds round it, "POSITION" alone does so with what is
// fitted there.
func (s *setup) keeps(flags []string) (map[int]wiring.Network, error) {
	kept := map[int]wiring.Network{}
	for _, flag := range flags {
		name, text, given := strings.Cut(flag, "=")
		position, err := s.find(strings.TrimSpace(name))
		if err != nil {
			return nil, fmt.Errorf("--keep %q: %w", flag, err)
		}
		switch {
		case given && !s.open(position):
			return nil, fmt.Errorf("--keep %q: %q holds %s already; leave out the resistance to trim that, or unfit it first",
				flag, s.positions[position].Name, s.networks[position])
		case given:
			v, err := quantity.Parse(text, quantity.Ohm, quantity.Positive)
			if err != nil {
				return nil, misused("--keep %q: %w", flag, err)
			}
			kept[position] = wiring.Network{Ohms: v}
		case s.open(position):
			return nil, fmt.Errorf("--keep %q: nothing is fitted in %q; say what stays, such as --keep %q", flag,
				s.positions[position].Name, s.positions[position].Name+"=25.1 ohm")
		default:
			kept[position] = s.networks[position]
		}
	}
	return kept, nil
}

// toFill are the open positions and those in which something stays and is
// trimmed, in the meter's order.
func (s *setup) toFill(kept map[int]wiring.Network) []int {
	out := s.openPositions()
	for position := range kept {
		if !slices.Contains(out, position) {
			out = append(out, position)
		}
	}
	slices.Sort(out)
	return out
}

// keptNetwork is the resistance of what stays, and the largest current that it
// may carry: the least that any part of it allows.
func (s *setup) keptNetwork(n wiring.Network, derate float64) (keep, mayCarry float64, err error) {
	found, err := s.bench.leaves(n, s.meter.Movement.Instrument)
	if err != nil {
		return 0, 0, err
	}
	values := ohms(found)
	amperes, _ := n.Shares(values)
	mayCarry = math.Inf(1)
	for i, l := range n.Leaves() {
		if l.ID != "" {
			mayCarry = min(mayCarry, bears(s.parts[s.index[l.ID]], values[i], derate)/amperes[i])
		}
	}
	return n.Resistance(values), mayCarry, nil
}

// planLimits tells the search how sure every range would be with given
// networks in the positions that it fills: --sure ranks by error plus limit.
func (s *setup) planLimits(q *search) func([]match.Network, []float64) {
	return func(nets []match.Network, dst []float64) {
		trial, err := s.tried(q, nets)
		if err != nil { // a network that the bench cannot measure cannot be trusted at all
			for r := range dst {
				dst[r] = math.MaxFloat64
			}
			return
		}
		for r, limit := range trial.rangeLimits(s.meter.State(trial.ohms())) {
			dst[r] = limit.Limit
		}
	}
}
