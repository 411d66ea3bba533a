package pack

// decide takes an item that failures were about lately and that the relaxation has a large but not a whole fraction of: there
// failure comes early, and teaches most.
func (s *search) decide() {
	s.Decisions++
	best, high := int32(-1), -1.0
	for item, v := range s.value {
		if v != unknown {
			continue
		}
		x := s.relaxed.system.Value(item)
		if score := s.score[item] * (x*(1-x) + 0.01); score > high {
			best, high = int32(item), score
		}
	}
	s.limits = append(s.limits, int32(len(s.trail)))
	s.assign(take(best), reason{kind: decided})
}
