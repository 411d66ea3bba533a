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

// completed adds what each circuit by itself let pass: the cause that brings
// most, as long as one is needed, or some reading is beyond its limits and the
// cause brings more than chance gives the best of so many.
func (s *system) completed(f *fitted, singles []*fitted) *fitted {
	for len(f.causes) < s.features() && !(f.explains && s.within(f.theta)) {
		var best *fitted
		for _, one := range singles {
			c := one.causes[0]
			if slices.Contains(f.causes, c) || f.explains && c.rank == thePointer {
				continue // a pointer read to the nearest mark errs alike everywhere
			}
			g := s.beside(append(slices.Clone(f.causes), c), append(slices.Clone(f.setting), c.start), 0)
			if best == nil || g.chi < best.chi {
				best = g
			}
		}
		enough := matters
		if f.explains {
			enough = threshold(1, alpha/2/float64(len(singles)))
		}
		if best == nil || f.chi-best.chi <= enough {
			break
		}
		f = best.arranged()
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
