package assign

import (
	"math"
	"slices"

	"shuntwright/match"
)

// fill settles how many positions stay open: as few as can be.
func (s *search) fill() error {
	low, high := s.leastOpen(), s.opens
	for low < high {
		r := s.rules
		r.opens = (low + high) / 2
		said, err := s.ask(r, true)
		if err != nil {
			return err
		}
		if said == yes {
			high = len(s.best) - s.best.filled()
		} else {
			low = r.opens + 1
		}
		s.opens = high
		if !s.pointed {
			s.prove(s.floor(0))
		}
	}
	return nil
}

// leastOpen is how many positions must stay open because they have no
// candidate, or because every part is taken.
func (s *search) leastOpen() int {
	empty, free := 0, 0
	for _, list := range s.options {
		switch {
		case list[0].isOpen():
			empty++
		case slices.ContainsFunc(list, func(o option) bool { return !o.isOpen() && len(o.parts) == 0 }):
			free++
		}
	}
	return max(empty, len(s.options)-free-s.p.Parts)
}

// rank settles the costs from the worst down, as long as there are any.
func (s *search) rank() error {
	s.ranking = true
	counted := 0 // settled, but open which positions have them
	for costs := s.costs(); counted < len(costs); costs = s.costs() {
		level, refuted, err := s.smallest(counted)
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
		} else if counted, err = s.sharing(counted, refuted); err != nil {
			return err
		}
	}
	s.ranking, s.proven = false, true
	return nil
}

// approaches are the ways to look for the smallest level, one after another.
// The best choice so far is mostly near it, so that the question just below
// often does, and a no says most there. Strides that grow with every yes come
// down from further up. Behind levels that several positions share, that
// question is mostly the only one.
func approaches(counted int) []approach {
	if counted > 0 {
		return []approach{{stride: 2, search: true}}
	}
	return []approach{{stride: 2}, {bisect: true}, {stride: 8, search: true}}
}

type approach struct {
	stride int  // from the upper end down, that many times as far with every yes
	bisect bool // in the middle; what remains unknown counts as no for the next
	search bool // until the answer is known
}

// smallest finds the smallest level such that at most counted positions, filled
// and not carried, cost more. More than refuted cost more than the next lower
// one.
func (s *search) smallest(counted int) (level float64, refuted int, err error) {
	levels := s.levels(s.floor(counted), s.nth(counted))
	from, to := 0, len(levels)-1
	refuted = counted
	for _, by := range approaches(counted) {
		step := 1
		for low := from; low < to; {
			at := (low + to) / 2
			if !by.bisect {
				at = max(at, to-step)
			}
			k := counted
			if at == to-1 && levels[to]-levels[at] > match.Equal { // a no about fewer at the upper level is one about none, too
				k = s.together(counted) - 1
			}
			said, err := s.ask(s.limited(counted, levels[to]).limited(k, levels[at]), by.search)
			switch {
			case err != nil:
				return 0, 0, err
			case said == yes:
				to, _ = slices.BinarySearch(levels, s.nth(counted))
				step *= by.stride
			case said == no:
				from, low, refuted = at+1, at+1, k
			case by.bisect:
				low = at + 1
			default:
				low = to
			}
			s.prove(levels[from])
		}
	}
	s.prove(levels[from])
	return levels[from], refuted, nil
}

// sharing settles how many positions cost as much as the one behind those
// counted, and returns how many are counted then. More than refuted are known
// to cost that or more.
func (s *search) sharing(counted, refuted int) (int, error) {
	level := s.nth(counted)
	lower := s.levels(0, math.Nextafter(level, 0))
	if len(lower) == 0 {
		return s.together(counted), nil
	}
	next := lower[len(lower)-1]
	if level-next <= match.Equal {
		return counted + 1, nil
	}
	for s.together(counted)-1 > refuted {
		said, err := s.ask(s.limited(s.together(counted)-1, next), true)
		if err != nil {
			return 0, err
		}
		if said == no {
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
// the level would not be the smallest.
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
