package reading

import (
	"math"
	"slices"
)

// contradict reports whether no cause, and no two, can give both readings of
// one range. Every gain is zero or positive whatever a part is, and a wrong
// zero shifts both alike, so more applied never shows less; only friction, with
// the higher reading on the way down and the lower one on the way up, does
// that. Nor can a little more applied show a lot more, for the zero would have
// to be below the scale by more than its whole length.
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

// contradictions are the pairs of readings, by index, that contradict each
// other, and by reading whether it must be left out to be rid of them: as few
// as will do, both of two where nothing says which of them is wrong. Full is
// the full scale of each range.
func contradictions(readings []Reading, full func(r int) float64) (pairs []Contradiction, out []bool) {
	for j, b := range readings {
		for i, a := range readings[:j] {
			if a.Range == b.Range && contradict(a, b, full(a.Range)) {
				pairs = append(pairs, Contradiction{i, j})
			}
		}
	}
	out = make([]bool, len(readings))
	for {
		count := make([]int, len(readings))
		for _, c := range pairs {
			if !out[c.First] && !out[c.Second] {
				count[c.First]++
				count[c.Second]++
			}
		}
		most := 0
		if len(count) > 0 {
			most = slices.Max(count)
		}
		if most == 0 {
			return pairs, out
		}
		for i, n := range count {
			out[i] = out[i] || n == most
		}
	}
}

// dropContradictions names the pairs of readings that contradict each other,
// and leaves them out of the system.
func (s *system) dropContradictions() []Contradiction {
	pairs, dropped := contradictions(s.readings, func(r int) float64 { return s.full[r] })
	for i, c := range pairs {
		pairs[i] = Contradiction{s.index[c.First], s.index[c.Second]}
	}
	s.keep(func(i int) bool { return !dropped[i] })
	return pairs
}

// undirected are the ranges, by index, that were read twice at one reference
// with more between than the pointer is trusted to, and nothing says which way
// it came: friction may be all there is to it.
func (s *system) undirected() []int {
	var out []int
	for j, b := range s.readings {
		for _, a := range s.readings[:j] {
			if a.Range == b.Range && a.Direction == Either && b.Direction == Either && !slices.Contains(out, a.Range) &&
				math.Abs(a.Reference-b.Reference) <= equal*s.full[a.Range] && math.Abs(a.Indicated-b.Indicated) > (a.IndicatedLimit+b.IndicatedLimit)*(1+equal) {
				out = append(out, a.Range)
			}
		}
	}
	slices.Sort(out)
	return out
}
