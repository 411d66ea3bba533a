package reading

import (
	"cmp"
	"math"
	"slices"
)

// group is the readings of one circuit by themselves. Circuits share nothing
// but the movement: given that, each is diagnosed by its own readings, however
// much is wrong with the others.
type group struct {
	*system
	parts []*candidate // the resistors of the circuit that move some of its readings
}

// groups parts the readings by circuit.
func (s *system) groups(singles []*fitted) ([]group, error) {
	var out []group
	ranges := s.m.Ranges()
	for i := range s.m.Circuits {
		g, err := s.only(func(r int) bool { return ranges[r].Circuit == i })
		if err != nil {
			return nil, err
		}
		if len(g.readings) > 0 {
			out = append(out, group{g, g.own(singles)})
		}
	}
	return out, nil
}

// only is the system with the readings of some ranges alone.
func (s *system) only(of func(r int) bool) (*system, error) {
	g := *s
	g.keep(func(i int) bool { return of(s.readings[i].Range) })
	if len(g.readings) == 0 {
		return &g, nil
	}
	return &g, g.settle()
}

// own are the causes that move ranges of the system and no range of another
// circuit.
func (s *system) own(singles []*fitted) []*candidate {
	var out []*candidate
	for _, f := range singles {
		if c := f.causes[0]; !shared(c) && s.moves(c, s.ranges) {
			out = append(out, c)
		}
	}
	return out
}

// moves reports whether a resistor carries current on one of some ranges.
func (s *system) moves(c *candidate, ranges []int) bool {
	return slices.ContainsFunc(ranges, func(r int) bool {
		p := s.m.Path(r)
		return slices.Contains(p.Lead, c.Resistor) || slices.Contains(p.Across, c.Resistor) || slices.Contains(p.Branch, c.Resistor)
	})
}

// shared reports whether a cause is one that all circuits share: the movement,
// with its coil and swamping resistor, which come before the resistors of all
// circuits, and the pointer.
func shared(c *candidate) bool { return c.Kind != Resistance || c.Resistor < 2 }

// coincidence reports whether causes blame a part of a circuit that by itself reads
// as it should: that the part just makes up for what all circuits share is as much
// to believe as one cause more.
func coincidence(groups []group, f *fitted) bool {
	return slices.ContainsFunc(groups, func(g group) bool {
		return g.healthy <= g.enough[0] && slices.ContainsFunc(g.parts, func(c *candidate) bool { return slices.Contains(f.causes, c) })
	})
}

// widest is how many sets of parts of one size are built upon: all single ones
// of a circuit of the trade, so that all pairs are tried.
const widest = 8

// set is some parts of a group, as bits, fitted beside causes that are given.
type set struct {
	*fitted
	bits uint64
}

// blame looks for the fewest parts of the group that explain its readings
// beside causes that are given: all sets of that size that do, the best first.
// None: no set does. As many parts as ranges meet any gains, so more are never
// tried.
func (g group) blame(given *fitted) []*fitted {
	held := len(given.causes)
	none := g.together(given.causes, given.setting, held)
	if none.explains {
		return []*fitted{none}
	}
	if g.loose(given) > g.enough[len(g.ranges)] {
		return nil
	}
	level := []set{{none, 0}}
	for range min(len(g.ranges), len(g.parts)) {
		level = g.larger(level, held)
		var out []*fitted
		for _, one := range level {
			if one.explains {
				out = append(out, one.fitted)
			}
		}
		if len(out) > 0 {
			return out
		}
	}
	return nil
}

// larger puts one more part into the best of some sets of one size.
func (g group) larger(level []set, held int) []set {
	var out []set
	tried := map[uint64]bool{}
	for _, one := range level[:min(len(level), widest)] {
		for k, c := range g.parts[:min(len(g.parts), 64)] {
			bits := one.bits | 1<<k
			if bits == one.bits || tried[bits] {
				continue
			}
			tried[bits] = true
			out = append(out, set{g.adding(one.fitted, c, held), bits})
		}
	}
	slices.SortStableFunc(out, func(a, b set) int { return cmp.Compare(a.chi, b.chi) })
	return out
}

// loose is the chi-square that is left with every gain as it likes, and zero
// and friction as given causes have them: readings that stay further off than
// this allows are not on one line.
func (s *system) loose(given *fitted) float64 {
	_, chi := s.line(func(p *leastSquares, start []float64) {
		theta := make([]float64, s.features())
		s.at(theta, given.causes, given.setting)
		for k := s.zero(); k < s.features(); k++ {
			start[k], p.lower[k], p.upper[k] = theta[k], theta[k], theta[k]
		}
	})
	return chi
}

// line fits the features themselves, gains free, zero and friction as bound says.
func (s *system) line(bound func(p *leastSquares, start []float64)) ([]float64, float64) {
	n := s.features()
	start := append(s.measured(), make([]float64, n-len(s.ranges))...)
	p := leastSquares{size: n, residual: s.data.residual, lower: slices.Repeat([]float64{math.Inf(-1)}, n), upper: slices.Repeat([]float64{math.Inf(1)}, n)}
	bound(&p, start)
	theta, sum := p.minimise(start)
	return theta, sum + s.data.rest
}

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
