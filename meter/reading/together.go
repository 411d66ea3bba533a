package reading

import (
	"fmt"
	"slices"
	"strings"

	"shuntwright/meter/quantity"
)

// mostTold is how many explanations by several causes are told.
const mostTold = 10

// together looks for pairs of causes that explain the readings, and where none
// does for more. What comes back are those that do, the best first, and the
// system of the readings that they explain: all, or all but those of ranges
// that nothing explains.
func (d *Diagnosis) together(s *system, singles []*fitted) ([]*fitted, *system) {
	if ranges := s.undirected(); len(ranges) > 0 {
		d.note(fmt.Sprintf("at one reference of %s the pointer stood further apart than it is read to: was one reading taken on the way up and the other "+
			"on the way down? With the direction of each (up, down), friction is looked for too", s.named(ranges)))
	}
	crooked := s.crooked()
	if t, err := s.only(func(r int) bool { return !slices.Contains(crooked, r) }); err == nil && len(crooked) > 0 {
		d.note(fmt.Sprintf("the readings of %s lie on no straight line, which no part, no zero and no friction brings about: one of them may be misread%s; they are left out, take them again", s.named(crooked), s.misread(crooked)))
		if len(t.readings) == 0 {
			return nil, s
		}
		return d.straight(t)
	}
	if len(s.readings) < 2 {
		d.note("no single cause explains the readings")
		return nil, s
	}
	return d.pairsOrMore(s, singles)
}

// straight explains what is left when crooked ranges are left out.
func (d *Diagnosis) straight(t *system) ([]*fitted, *system) {
	singles, disagree := t.disagrees()
	if !disagree {
		d.note("all other readings agree with what should be there")
		return nil, t
	}
	if out := slices.DeleteFunc(slices.Clone(singles), func(f *fitted) bool { return !f.explains }); len(out) > 0 {
		return out, t
	}
	return d.pairsOrMore(t, singles)
}

// pairsOrMore are what explains the readings where no single cause does: pairs, or,
// where all pairs that do rest on a coincidence, three causes that do without.
func (d *Diagnosis) pairsOrMore(s *system, singles []*fitted) ([]*fitted, *system) {
	groups, err := s.groups(singles)
	if err != nil {
		return nil, s
	}
	pairs := s.fitPairs(singles)
	s.weed(pairs, singles)
	pairs = slices.DeleteFunc(pairs, func(f *fitted) bool { return !f.explains })
	sound := slices.DeleteFunc(slices.Clone(pairs), func(f *fitted) bool { return coincidence(groups, f) })
	all, t := []*fitted(nil), s
	if len(sound) == 0 {
		all, t = s.several(groups, singles)
	}
	if len(sound) > 0 || len(pairs) > 0 && (t != s || len(all) == 0 || len(all[0].causes) > 3) {
		d.note("no single cause explains the readings")
		if s.data.rank() <= 2 {
			d.note("there is no more in these readings than two causes can always meet: the pairs are possible, none is proven")
		}
		s.sort(pairs)
		return pairs, s
	}
	switch {
	case len(all) == 0:
		d.note("no single cause explains the readings")
		d.note("no two causes explain them either: more than two things are wrong, or a reading is")
	case t == s:
		but := ""
		if len(pairs) > 0 {
			but = " but by coincidence"
		}
		d.note(fmt.Sprintf("no single cause and no two causes explain the readings%s; %d together do", but, len(all[0].causes)))
	}
	if left := s.missing(t); len(left) > 0 {
		d.note(fmt.Sprintf("nothing explains the readings of %s, whatever is wrong with the other ranges: take them again, for one that was misread is enough", s.named(left)))
	}
	if len(all) == 0 {
		return nil, s
	}
	d.unproven(t, all[0])
	return all, t
}

// crooked are the ranges, by index, whose readings lie on no straight line,
// whatever zero and friction are.
func (s *system) crooked() []int {
	return slices.DeleteFunc(slices.Clone(s.ranges), func(r int) bool {
		one, err := s.only(func(k int) bool { return k == r })
		return err != nil || one.onLine(alpha/float64(len(s.ranges)))
	})
}

// onLine reports whether the readings of one range lie on a straight line, whatever
// zero and friction are, at a risk of saying no where they do.
func (s *system) onLine(risk float64) bool {
	_, chi := s.line(func(*leastSquares, []float64) {})
	return chi <= threshold(len(s.readings)-s.features(), risk)
}

// misread names in every crooked range the one reading without which the others lie on
// a straight line; none where there are several such.
func (s *system) misread(crooked []int) (said string) {
	for _, r := range crooked {
		var off []int // readings
		for i, rd := range s.readings {
			if rd.Range != r {
				continue
			}
			rest := *s
			rest.keep(func(k int) bool { return k != i && s.readings[k].Range == r })
			if err := rest.settle(); err == nil && rest.onLine(alpha) {
				off = append(off, i)
			}
		}
		if len(off) == 1 {
			said += fmt.Sprintf(", likely reading %d, with %s applied", s.index[off[0]]+1, quantity.Format(s.readings[off[0]].Reference, s.m.Ranges()[r].Unit, 3))
		}
	}
	return said
}

// missing are the ranges read, by index, that take no part in another system.
func (s *system) missing(t *system) []int {
	return slices.DeleteFunc(slices.Clone(s.ranges), func(r int) bool { return t.column[r] >= 0 })
}

// named lists ranges by name.
func (s *system) named(ranges []int) string {
	all := s.m.Ranges()
	var names []string
	for _, r := range ranges {
		names = append(names, all[r].Name)
	}
	return strings.Join(names, ", ")
}

// unproven notes the circuits in which as many causes were found as ranges were
// read.
func (d *Diagnosis) unproven(s *system, f *fitted) {
	all := s.m.Ranges()
	for i := range s.m.Circuits {
		ranges := slices.DeleteFunc(slices.Clone(s.ranges), func(r int) bool { return all[r].Circuit != i })
		causes := 0
		for _, c := range f.causes {
			if !shared(c) && s.moves(c, ranges) {
				causes++
			}
		}
		if len(ranges) > 1 && causes >= len(ranges) {
			d.note(fmt.Sprintf("so many parts meet any readings of so few ranges: what is said of %s is possible, not proven", s.named(ranges)))
		}
	}
}
