package solve

import (
	"slices"

	"shuntwright/match"
	"shuntwright/match/network"
)

// state is one choice for each circuit; they may take the same parts.
type state struct {
	nets   [][]network.Network // of each circuit
	keys   []match.Key         // of each circuit; without the banned parts nothing comes before that
	banned [][]int             // of each circuit
	key    match.Key           // of all together
}

// insert keeps states sorted by their bounds; of equal ones the last comes first,
// so that the search goes deep.
func insert(list []*state, s *state) []*state {
	at := slices.IndexFunc(list, func(o *state) bool { return s.key.Compare(&o.key) <= 0 })
	if at < 0 {
		at = len(list)
	}
	return slices.Insert(list, at, s)
}

// clash returns a part that is taken more than once, and the circuits that take it.
func (s *state) clash() (part int, takers []int) {
	by := map[int]bool{}
	for _, nets := range s.nets {
		for _, n := range nets {
			for _, p := range n.Parts() {
				if by[p] {
					return p, s.takers(p)
				}
				by[p] = true
			}
		}
	}
	return 0, nil
}

func (s *state) takers(part int) (out []int) {
	for i, nets := range s.nets {
		if takes(nets, part) {
			out = append(out, i)
		}
	}
	return out
}

func takes(nets []network.Network, part int) bool {
	return slices.ContainsFunc(nets, func(n network.Network) bool { return slices.Contains(n.Parts(), part) })
}
