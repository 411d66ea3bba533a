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
	for low < s.best.parts() {
		r := s.rules
		r.parts = (low + s.best.parts()) / 2
		yes, err := s.ask(r)
		if err != nil {
			return err
		}
		if !yes {
			low = r.parts + 1
		}
	}
	s.parts = s.best.parts()
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
	low := 0
	for mid := low; low < place(); mid = (low + place()) / 2 {
		yes, err := s.ask(s.only(i, list[low:mid+1]))
		if err != nil {
			return err
		}
		if !yes {
			low = mid + 1
		}
	}
	s.rules = s.only(i, list[low:low+1])
	return nil
}
