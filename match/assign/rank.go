package assign

import (
	"math"
	"slices"

	"shuntwright/match"
)

// fill settles how many positions stay open: as few as can be.
func (s *search) fill() error {
	for low := 0; low < s.opens; {
		r := s.rules
		r.opens = (low + s.opens) / 2
		yes, err := s.ask(r)
		if err != nil {
			return err
		}
		if yes {
			s.opens = len(s.best) - s.best.filled()
		} else {
			low = r.opens + 1
		}
		if !s.pointed {
			s.prove(s.floor(0))
		}
	}
	return nil
}

// rank settles the costs from the worst down, as long as there are any.
func (s *search) rank() error {
	counted := 0 // settled, but open which positions have them
	for counted < len(s.costs()) {
		level, err := s.smallest(counted)
		if err != nil {
			return err
		}
		s.proven = true
		s.rules = s.limited(counted, level+match.Equal)
		if level == 0 {
			break
		}
		if i := s.carrier(level); i >= 0 {
			s.carry(i, level)
		} else if counted, err = s.sharing(counted); err != nil {
			return err
		}
	}
	s.proven = true
	return nil
}

// smallest finds the smallest level such that at most counted positions, filled
// and not carried, cost more. The best choice so far is mostly near it, so that
// the question just below often does, and a no says most there; strides that grow
// eightfold with every yes (twofold: a tenth slower) come down from further up.
func (s *search) smallest(counted int) (float64, error) {
	levels := s.levels(s.floor(counted), s.nth(counted))
	low, high := 0, len(levels)-1
	for step := 1; low < high; {
		at := max((low+high)/2, high-step)
		yes, err := s.ask(s.limited(counted, levels[at]))
		switch {
		case err != nil:
			return 0, err
		case yes:
			high, _ = slices.BinarySearch(levels, s.nth(counted))
			step *= 8
		default:
			low = at + 1
		}
		s.prove(levels[low])
	}
	s.prove(levels[low])
	return levels[low], nil
}

// sharing settles how many positions cost as much as the one behind those
// counted, and returns how many are counted then.
func (s *search) sharing(counted int) (int, error) {
	level := s.nth(counted)
	lower := s.levels(0, math.Nextafter(level, 0))
	if len(lower) == 0 {
		return s.together(counted), nil
	}
	next := lower[len(lower)-1]
	if level-next <= match.Equal {
		return counted + 1, nil
	}
	for s.together(counted)-1 > counted {
		yes, err := s.ask(s.limited(s.together(counted)-1, next))
		if err != nil {
			return 0, err
		}
		if !yes {
			break
		}
	}
	return s.together(counted), nil
}

// together returns how many positions cost as much in the best choice as the
// one behind those counted, or more.
func (s *search) together(counted int) int {
	costs := s.costs()
	n, level := counted, costs[counted]
	for n < len(costs) && costs[n] == level {
		n++
	}
	return n
}

// prove raises the bound of the worst cost, while that is what is looked for.
func (s *search) prove(level float64) {
	if !s.proven {
		s.low = max(s.low, level)
	}
}

// costs are those of the best choice in the positions that are filled and not
// carried, the largest first.
func (s *search) costs() []float64 {
	var costs []float64
	for i, o := range s.best {
		if !s.carried[i] && !o.isOpen() {
			costs = append(costs, o.cost)
		}
	}
	slices.Sort(costs)
	slices.Reverse(costs)
	return costs
}

// nth is the (k+1)-th largest of the costs.
func (s *search) nth(k int) float64 { return s.costs()[k] }

// levels lists the different costs from low to high of positions that are not
// carried.
func (s *search) levels(low, high float64) []float64 {
	var levels []float64
	for i, list := range s.options {
		for _, o := range list {
			if !s.carried[i] && o.cost >= low && o.cost <= high {
				levels = append(levels, o.cost)
			}
		}
	}
	slices.Sort(levels)
	return slices.Compact(levels)
}

// carrier is the only position, of those not carried, with an option equal to
// level; -1 if there are several. One of them must take its option there, or
// the level would not be the smallest. Without carriers published instances take
// 8 times as long.
func (s *search) carrier(level float64) int {
	found := -1
	for i := range s.options {
		if !s.carried[i] && slices.ContainsFunc(s.within(i), func(o option) bool { return equals(o, level) }) {
			if found >= 0 {
				return -1
			}
			found = i
		}
	}
	return found
}

func equals(o option, level float64) bool { return o.cost >= level && o.cost <= level+match.Equal }

// carry settles that position i has an option equal to level.
func (s *search) carry(i int, level float64) {
	list := slices.DeleteFunc(slices.Clone(s.within(i)), func(o option) bool { return !equals(o, level) })
	s.options = slices.Clone(s.options)
	s.options[i] = list
	s.carried = slices.Clone(s.carried)
	s.carried[i] = true
}
