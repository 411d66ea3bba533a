package disjoint

import (
	"math"
	"slices"
)

// fill settles how many positions stay open: as few as can be.
func (s *search) fill() error {
	n := len(s.options)
	low, high := 0, n-s.best.filled()
	for _, list := range s.options {
		if len(list) == 1 {
			low++
		}
	}
	for low < high {
		mid := low
		yes, err := s.ask(s.limited(mid, math.MaxFloat64))
		if err != nil {
			return err
		}
		if yes {
			high = n - s.best.filled()
		} else {
			low = mid + 1
		}
	}
	s.limits[high] = math.MaxFloat64
	s.low = max(s.low, s.floor(high))
	return nil
}

// enough settles whether every filled position can be good enough. If so, choices of fewer parts come first.
func (s *search) enough() error {
	r := s.limited(s.counted(), s.p.Enough)
	yes := s.best.worst() <= s.p.Enough
	if !yes && s.best.filled() > 0 {
		var err error
		if yes, err = s.ask(r); err != nil {
			return err
		}
	}
	if yes {
		s.rules = r
		s.proven = true
		return s.fewest()
	}
	return nil
}

// limited returns the rules with one more: at most k positions that are not carried cost more than limit.
func (s *search) limited(k int, limit float64) rules {
	r := s.rules
	r.limits = slices.Clone(r.limits)
	r.limits[k] = min(r.limits[k], limit)
	return r
}

// counted is how many positions that are not carried may be above every limit.
func (s *search) counted() int {
	for k, limit := range slices.Backward(s.limits) {
		if !math.IsInf(limit, 1) {
			return k
		}
	}
	return 0
}

// rank settles the costs from the worst down.
func (s *search) rank() error {
	counted := s.counted()
	for range s.best.filled() {
		level, err := s.smallest(counted)
		if err != nil {
			return err
		}
		s.ranked++
		s.proven = true
		s.limits[counted] = min(s.limits[counted], level+Equal)
		if i := s.carrier(level); i >= 0 {
			s.carry(i, level)
		} else {
			counted++
			s.limits[counted] = level + Equal
		}
	}
	s.proven = true
	return nil
}

// smallest finds the smallest level such that at most counted positions that are not carried cost more.
func (s *search) smallest(counted int) (float64, error) {
	low, high := s.floor(counted), s.nth(counted)
	levels := s.levels(low, high)
	from, to := 0, len(levels)-1
	for mid := from; from < to; mid = (from + to) / 2 {
		yes, err := s.ask(s.limited(counted, levels[mid]))
		if err != nil {
			return 0, err
		}
		if yes {
			to, _ = slices.BinarySearch(levels, s.nth(counted))
		} else {
			from = mid + 1
		}
		if !s.proven {
			s.low = max(s.low, levels[from])
		}
	}
	if !s.proven {
		s.low = max(s.low, levels[from])
	}
	return levels[from], nil
}

// nth is the (k+1)-th largest cost in the best choice among the positions that are not carried.
func (s *search) nth(k int) float64 {
	var costs []float64
	for i, o := range s.best {
		if !s.carried[i] {
			costs = append(costs, o.cost)
		}
	}
	slices.Sort(costs)
	return costs[len(costs)-1-k]
}

// levels lists the different costs from low to high of positions that are not carried.
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

// carrier is the only position, of those not carried, with an option equal to level; -1 if there are several. One of them must
// take its option there, or the level would not be the smallest.
func (s *search) carrier(level float64) int {
	found := -1
	for i, list := range s.options {
		if !s.carried[i] && slices.ContainsFunc(list, func(o option) bool { return equals(o, level) }) {
			if found >= 0 {
				return -1
			}
			found = i
		}
	}
	return found
}

func equals(o option, level float64) bool { return o.cost >= level && o.cost <= level+Equal }

// carry settles that position i has an option equal to level.
func (s *search) carry(i int, level float64) {
	s.carried[i] = true
	s.options[i] = slices.DeleteFunc(slices.Clone(s.options[i]), func(o option) bool { return !equals(o, level) })
}
