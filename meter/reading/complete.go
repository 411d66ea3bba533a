package reading

import (
	"cmp"
	"slices"
)

// arranged puts causes into the order of their kinds and of the meter's resistors.
func (f *fitted) arranged() *fitted {
	order := make([]int, len(f.causes))
	for i := range order {
		order[i] = i
	}
	slices.SortFunc(order, func(i, j int) int {
		a, b := f.causes[i], f.causes[j]
		return cmp.Or(cmp.Compare(a.Kind, b.Kind), cmp.Compare(a.Resistor, b.Resistor))
	})
	causes, setting := make([]*candidate, len(order)), make([]float64, len(order))
	for k, i := range order {
		causes[k], setting[k] = f.causes[i], f.setting[i]
	}
	f.causes, f.setting = causes, setting
	return f
}

// without is a fit's causes and setting but for one of them.
func (f *fitted) without(i int) ([]*candidate, []float64) {
	return slices.Delete(slices.Clone(f.causes), i, i+1), slices.Delete(slices.Clone(f.setting), i, i+1)
}

// lacking is a fit with the one further cause that brings most, where some reading
// is beyond its limits and the cause brings more than chance gives the best of so
// many, or, where the fit does not explain the readings, anything worth a word; nil:
// none does. A pointer read to the nearest mark errs alike everywhere, so what
// explains the readings lacks no zero and no friction.
func (s *system) lacking(f *fitted, singles []*fitted) *fitted {
	if f.explains && s.within(f.theta) || len(f.causes) >= s.features() {
		return nil
	}
	enough := matters
	if f.explains {
		enough = s.byChance(singles)
	}
	var best *fitted
	for _, one := range singles {
		c := one.causes[0]
		if slices.Contains(f.causes, c) || f.explains && c.rank == thePointer {
			continue
		}
		g := s.adding(f, c, 0)
		if f.chi-g.chi > enough && (best == nil || g.chi < best.chi) {
			best = g
		}
	}
	return best
}

// weed lets those explain the readings no longer that lack a further cause.
func (s *system) weed(fits, singles []*fitted) {
	for _, f := range fits {
		f.explains = f.explains && s.lacking(f, singles) == nil
	}
}

// completed adds what each circuit by itself let pass.
func (s *system) completed(f *fitted, singles []*fitted) *fitted {
	for more := s.lacking(f, singles); more != nil; more = s.lacking(f, singles) {
		f = more.arranged()
	}
	return f
}

// exchanged are the explanations with another cause in the place of one.
func (s *system) exchanged(f *fitted, singles []*fitted) []*fitted {
	var out []*fitted
	for i, old := range f.causes {
		for _, one := range singles {
			c := one.causes[0]
			if slices.Contains(f.causes, c) || !s.meet(c, old) {
				continue
			}
			causes, setting := f.without(i)
			out = append(out, s.beside(append(causes, c), append(setting, c.start), 0).arranged())
		}
	}
	return out
}

// meet reports whether two causes move one range both.
func (s *system) meet(a, b *candidate) bool {
	return slices.ContainsFunc(s.ranges, func(r int) bool {
		one := []int{r}
		return (shared(a) || s.moves(a, one)) && (shared(b) || s.moves(b, one))
	})
}

// alike are the explanations by as many causes as the first has, each once, the
// likeliest first.
func (s *system) alike(first *fitted, all []*fitted) []*fitted {
	var out []*fitted
	for _, f := range append([]*fitted{first}, all...) {
		if f.explains && len(f.causes) == len(first.causes) && !slices.ContainsFunc(out, func(g *fitted) bool { return slices.Equal(f.causes, g.causes) }) {
			out = append(out, f)
		}
	}
	s.sort(out)
	return out
}
