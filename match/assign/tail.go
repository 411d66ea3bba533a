package assign

import "slices"

// fewest settles the number of parts.
func (s *search) fewest() error {
	low := 0
	for i := range s.options {
		list := s.within(i)
		least := len(list[0].parts)
		for _, o := range list {
			least = min(least, len(o.parts))
		}
		low += least
	}
	high := s.best.parts()
	for low < high {
		r := s.rules
		r.parts = (low + high) / 2
		said, err := s.ask(r, true)
		if err != nil {
			return err
		}
		if said == yes {
			high = s.best.parts()
		} else {
			low = r.parts + 1
		}
	}
	s.parts = high
	return nil
}

// first settles, position by position, the list of parts that comes first.
func (s *search) first() error {
	for i := range s.options {
		if err := s.firstAt(i); err != nil {
			return err
		}
	}
	return nil
}

func (s *search) firstAt(i int) error {
	list := slices.Clone(s.within(i))
	slices.SortFunc(list, byParts)
	place := func() int {
		return slices.IndexFunc(list, func(o option) bool { return o.index == s.best[i].index })
	}
	low, high := 0, place()
	for mid := low; low < high; mid = (low + high) / 2 {
		said, err := s.ask(s.only(i, list[low:mid+1]), true)
		if err != nil {
			return err
		}
		if said == yes {
			high = place()
		} else {
			low = mid + 1
		}
	}
	s.rules = s.only(i, list[high:high+1])
	return nil
}
