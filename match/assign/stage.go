package assign

import (
	"math"
	"slices"

	"shuntwright/match"
)

// stage settles for good what the rules say, and lets the rules to come look at
// another cost of every option: what has been limited becomes room that the
// options take.
func (s *search) stage(cost func(i int, o option) float64) {
	old := s.rules
	room := slices.Clone(old.room)
	counters := old.counters(&room)
	sum := int32(len(room))
	if old.sum < math.MaxInt {
		room = append(room, int32(old.sum))
	}
	options := make([][]option, len(old.options))
	for i := range options {
		options[i] = slices.Clone(old.within(i))
		for j, o := range options[i] {
			if !o.isOpen() {
				options[i][j].takes = old.counted(slices.Clone(o.takes), i, o, counters, sum)
				options[i][j].cost = cost(i, o)
			}
		}
		slices.SortFunc(options[i], byCost)
		at := slices.IndexFunc(options[i], func(o option) bool { return o.index == s.best[i].index })
		s.best[i] = options[i][at]
	}
	s.rules = free(options)
	s.opens, s.parts, s.room = old.opens, old.parts, room
	s.solver = nil
}

// settlePoints settles how many points all have together: as few as can be.
func (s *search) settlePoints() error {
	least, base := make([]int, len(s.options)), 0
	for i, list := range s.options {
		least[i] = math.MaxInt
		for _, o := range list {
			if !o.isOpen() || s.opens > 0 {
				least[i] = min(least[i], o.points)
			}
		}
		base += least[i]
	}
	s.stage(func(i int, o option) float64 { return float64(o.points - least[i]) })
	s.least = base
	for low := 0; low < s.best.sum(); {
		r := s.limited(0, float64((low+s.best.sum())/2))
		r.sum = int(r.limits[0])
		yes, err := s.ask(r)
		if err != nil {
			return err
		}
		if !yes {
			low = r.sum + 1
			s.least = base + low
		}
	}
	s.sum = s.best.sum()
	s.rules = s.limited(0, float64(s.sum))
	return nil
}

// rankInside settles the costs of candidates without points; those that are
// good enough count as none.
func (s *search) rankInside() error {
	s.stage(func(_ int, o option) float64 {
		if o.points > 0 || o.worth <= s.p.Enough*(1+match.Guard) {
			return 0
		}
		return o.worth
	})
	return s.rank()
}

// rankOutside settles the costs of the others.
func (s *search) rankOutside() error {
	s.stage(func(_ int, o option) float64 {
		if o.points == 0 {
			return 0
		}
		return o.worth
	})
	return s.rank()
}

// rankAll settles all costs as they are.
func (s *search) rankAll() error {
	s.stage(func(_ int, o option) float64 { return o.worth })
	return s.rank()
}
