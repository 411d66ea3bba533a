package main

import (
	"fmt"
	"strings"

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
		position, err := s.Find(strings.TrimSpace(name))
		if err != nil {
			return nil, fmt.Errorf("--keep %q: %w", flag, err)
		}
		switch {
		case given && !s.IsOpen(position):
			return nil, fmt.Errorf("--keep %q: %q holds %s already; leave out the resistance to trim that, or unfit it first",
				flag, s.Positions[position].Name, s.Networks[position])
		case given:
			v, err := quantity.Parse(text, quantity.Ohm, quantity.Positive)
			if err == nil {
				err = wiring.NotAnID(text, s.Has)
			}
			if err != nil {
				return nil, misused("--keep %q: %w", flag, err)
			}
			kept[position] = wiring.Network{Ohms: v}
		case s.IsOpen(position):
			return nil, fmt.Errorf("--keep %q: nothing is fitted in %q; say what stays, such as --keep %q", flag,
				s.Positions[position].Name, s.Positions[position].Name+"=25.1 ohm")
		default:
			kept[position] = s.Networks[position]
		}
	}
	return kept, nil
}
