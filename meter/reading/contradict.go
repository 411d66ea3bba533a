package reading

import (
	"math"
	"slices"
)

// contradict reports whether no cause, and no two, can give both readings of one range. Every gain is zero or positive whatever a part is,
// and a wrong zero shifts both alike, so more applied never shows less; only friction, with the higher reading on the way down and the
// lower one on the way up, does that. Nor can a little more applied show a lot more, for the zero would have to be below the scale by
// more than its whole length.
func contradict(a, b Reading, full float64) bool {
	high, low := a, b
	if b.Indicated > a.Indicated {
		high, low = b, a
	}
	if high.Direction == Down && low.Direction == Up {
		return false
	}
	steepest := 1.0
	if high.Reference > 0 {
		steepest = math.Max(1, (high.Indicated+full)/high.Reference)
	}
	more := math.Max(high.Reference-low.Reference+high.ReferenceLimit+low.ReferenceLimit, 0)
	limits := high.IndicatedLimit + low.IndicatedLimit + steepest*more
	return high.Indicated-low.Indicated > limits*(1+equal)
}

// dropContradictions names the pairs of readings that contradict each other and leaves out of the system as few readings as rid it of
// them, both of two where nothing says which of them is wrong.
func (s *system) dropContradictions() []Contradiction {
	var out []Contradiction
	for j, b := range s.readings {
		for i, a := range s.readings[:j] {
			if a.Range == b.Range && contradict(a, b, s.full[a.Range]) {
				out = append(out, Contradiction{i, j})
			}
		}
	}
	dropped := make([]bool, len(s.readings))
	for {
		count := make([]int, len(s.readings))
		for _, c := range out {
			if !dropped[c.First] && !dropped[c.Second] {
				count[c.First]++
				count[c.Second]++
			}
		}
		most := 0
		if len(count) > 0 {
			most = slices.Max(count)
		}
		if most == 0 {
			break
		}
		for i, n := range count {
			dropped[i] = dropped[i] || n == most
		}
	}
	for i, c := range out {
		out[i] = Contradiction{s.index[c.First], s.index[c.Second]}
	}
	var readings []Reading
	var index []int
	for i, rd := range s.readings {
		if !dropped[i] {
			readings, index = append(readings, rd), append(index, s.index[i])
		}
	}
	s.readings, s.index = readings, index
	return out
}
