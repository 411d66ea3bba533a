package local

import (
	"slices"

	"shuntwright/match"
	"shuntwright/match/network"
)

// fewParts is how many parts networks have that are tried for two slots at once.
const fewParts = 2

// refit fills slot i anew with what is best there, and reports whether that
// betters the plan.
func (s *Search) refit(i int) bool {
	f := s.newBox(nobody, true, i)
	old := s.open(i)
	better := f.run(network.MaxParts)
	if better {
		old = f.found[0]
	}
	s.put(i, old)
	return better
}

// pair fills two slots of a circuit anew.
func (s *Search) pair(i, j int) bool {
	f := s.newBox(nobody, false, i, j)
	a, b := s.open(i), s.open(j)
	better := f.run(fewParts)
	if better {
		a, b = f.found[0], f.found[1]
	}
	s.put(i, a)
	s.put(j, b)
	return better
}

// take lets slot i have parts of another slot, which gets others.
func (s *Search) take(i int) bool {
	f := s.newBox(everybody, true, i)
	old := s.open(i)
	wanted := f.run(network.MaxParts)
	s.put(i, old)
	for j := range s.nets {
		if wanted && j != i && s.nets[j].Size() > 0 && s.takeFrom(i, j) {
			return true
		}
	}
	return false
}

// takeFrom lets slot i have parts of slot j.
func (s *Search) takeFrom(i, j int) bool {
	both, ranges := []int{i, j}, slices.Clone(s.rangesOf[i])
	for _, r := range s.rangesOf[j] {
		if !slices.Contains(ranges, r) {
			ranges = append(ranges, r)
		}
	}
	var before, after match.Key
	s.measure(&before, both, ranges)
	f := s.newBox(j, true, i)
	a := s.open(i)
	if !f.run(network.MaxParts) {
		s.put(i, a)
		return false
	}
	b := s.open(j)
	s.put(i, f.found[0])
	g := s.newBox(nobody, true, j)
	if g.run(network.MaxParts) {
		s.put(j, g.found[0])
	}
	if s.measure(&after, both, ranges); after.CompareAll(&before) < 0 {
		return true
	}
	s.open(i)
	s.open(j)
	s.put(i, a)
	s.put(j, b)
	return false
}

// descend betters the slots of a circuit until nothing betters them any more.
func (s *Search) descend(circuit []int) {
	for again := true; again; {
		again = false
		for _, i := range circuit {
			again = s.refit(i) || again
		}
		if again {
			continue
		}
		for _, i := range circuit {
			again = s.take(i) || again
		}
		for a, i := range circuit {
			for _, j := range circuit[:a] {
				again = s.pair(j, i) || again
			}
		}
	}
}

// Polish betters the plan until no slot by itself, and no two slots of one circuit
// with networks of up to two parts, can be refitted to better it.
func (s *Search) Polish() {
	if slices.Equal(s.nets, s.polished) {
		return
	}
	for before, after := s.Key(), s.Key(); ; before.Copy(&after) {
		for _, c := range s.circuits {
			s.descend(c)
		}
		if after = s.Key(); after.CompareAll(&before) >= 0 {
			if s.late.Err() == nil {
				s.polished = s.Networks()
			}
			return
		}
	}
}

// Try makes a plan of networks that may take parts twice, betters that, and keeps
// it if it is better than the one that was.
func (s *Search) Try(nets []network.Network) bool {
	before, old, polished := s.Key(), s.Networks(), s.polished
	s.load(nil)
	for i, n := range nets {
		if s.free(n, i, nobody) {
			s.put(i, n)
		}
	}
	s.Polish()
	if after := s.Key(); after.CompareAll(&before) < 0 {
		return true
	}
	s.load(old)
	s.polished = polished
	return false
}
