package solve

import (
	"shuntwright/match"
	"shuntwright/match/network"
)

// state is a choice for each circuit alone; they may take the same parts.
type state struct {
	nets [][]network.Network // of each circuit
	keys []match.Key         // of each circuit
	done []bool              // of each circuit, whether nothing comes before that
}

// clash reports whether a part is taken more than once.
func (s *state) clash() bool {
	by := map[int]bool{}
	for _, nets := range s.nets {
		for _, n := range nets {
			for _, p := range n.Parts() {
				if by[p] {
					return true
				}
				by[p] = true
			}
		}
	}
	return false
}
