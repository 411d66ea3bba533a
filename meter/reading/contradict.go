package reading

import (
	"math"
	"slices"
)

// contradict reports whether no cause, and no two, can give both readings of one range: more applied must not show less. Every gain is
// zero or positive whatever a part is, and a wrong zero shifts both alike; only friction, with the higher reading on the way down and
// the lower one on the way up, can do it.
func contradict(a, b Reading) bool {
	high, low := a, b
	if b.Indicated > a.Indicated {
		high, low = b, a
	}
	if high.Direction == Down && low.Direction == Up {
		return false
	}
	gain := 1.0
	for _, rd := range []Reading{high, low} {
		if rd.Reference > 0 {
			gain = math.Max(gain, rd.Indicated/rd.Reference)
		}
	}
	more := math.Max(high.Reference-low.Reference+high.ReferenceLimit+low.ReferenceLimit, 0)
	limits := high.IndicatedLimit + low.IndicatedLimit + gain*more
	return high.Indicated-low.Indicated > limits*(1+equal)
}

// dropContradictions names the pairs of readings that contradict each other and leaves out of the system as few readings as rid it of
// them, both of two where nothing says which of them is wrong.
func (s *system) dropContradictions() []Contradiction {
	var out []Contradiction
	for j, b := range s.readings {
		for i, a := range s.readings[:j] {
			if a.Range == b.Range && contradict(a, b) {
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
