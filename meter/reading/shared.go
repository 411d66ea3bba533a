package reading

import (
	"math"
	"slices"
)

// givens lists what may be wrong with what all circuits share, nothing first:
// the pointer, as far as the readings say so whatever the gains are, and beside
// it one cause in the movement, at every amount that the readings of some
// circuit imply which has no other fault, or one.
func (s *system) givens(groups []group, singles []*fitted) []*fitted {
	out := s.pointers(singles)
	for _, base := range slices.Clone(out) {
		for _, f := range singles {
			if c := f.causes[0]; shared(c) && c.rank != thePointer {
				for _, at := range implied(groups, base, c) {
					out = append(out, &fitted{causes: append(slices.Clone(base.causes), c), setting: append(slices.Clone(base.setting), at)})
				}
			}
		}
	}
	return out
}

// pointers are no cause at all, and zero and friction where they matter.
func (s *system) pointers(singles []*fitted) []*fitted {
	out := []*fitted{{}}
	healthy := s.loose(out[0])
	var both *fitted
	for _, f := range singles {
		c := f.causes[0]
		if c.rank != thePointer {
			continue
		}
		theta, chi := s.line(func(p *leastSquares, _ []float64) {
			for k := s.zero(); k < s.features(); k++ {
				if free := s.zero(); c.Kind == Friction && k == free || c.Kind == Zero && k > free {
					p.lower[k], p.upper[k] = 0, 0
				}
			}
		})
		if healthy-chi <= matters {
			continue
		}
		at := theta[s.zero()]
		if c.Kind == Friction {
			at = math.Max(theta[s.zero()+1], 0)
		}
		one := &fitted{causes: []*candidate{c}, setting: []float64{at}}
		out = append(out, one)
		if both == nil {
			both = one
			continue
		}
		out = append(out, &fitted{causes: []*candidate{both.causes[0], c}, setting: []float64{both.setting[0], at}})
	}
	return out
}

// implied are the coordinates of a cause that explain the readings of some
// circuit, by itself or with one part of the circuit.
func implied(groups []group, base *fitted, c *candidate) []float64 {
	var out []float64
	add := func(f *fitted, k int) {
		at := f.setting[k]
		if f.explains && !slices.ContainsFunc(out, func(other float64) bool { return math.Abs(at-other) <= 1e-4*math.Abs(at) }) {
			out = append(out, at)
		}
	}
	held := len(base.causes)
	for _, g := range groups {
		add(g.adding(base, c, held), held)
		if len(g.ranges) == 1 {
			continue // a part and the movement meet anything
		}
		for _, part := range g.parts {
			add(g.adding(g.adding(base, part, held), c, held), held+1)
		}
	}
	return out
}
