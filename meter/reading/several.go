package reading

import (
	"cmp"
	"math"
	"slices"
)

// view is one way to see a meter in which several things are wrong: causes that
// all circuits share, and what every circuit needs beside them.
type view struct {
	given *fitted
	sets  [][]*fitted // by group, as group.blame gives them; empty: nothing explains the group
	cost  int         // number of causes and coincidences; a group that nothing explains counts as one more than all its gains being wrong
}

// view sees the meter with causes given, unless that costs more than most.
func (s *system) view(groups []group, given *fitted, most int) (view, bool) {
	v := view{given: given, cost: len(given.causes)}
	wrong := 0
	for _, g := range groups {
		if g.chiSquare(given.causes, given.setting) > g.enough[0] {
			wrong++
		}
	}
	if v.cost+wrong > most {
		return v, false
	}
	for _, g := range groups {
		sets := g.blame(given)
		v.sets = append(v.sets, sets)
		if len(sets) == 0 {
			v.cost += len(g.ranges) + 1
		} else {
			v.cost += len(sets[0].causes) - len(given.causes)
			if coincidence([]group{g}, sets[0]) {
				v.cost++
			}
		}
		if v.cost > most {
			return v, false
		}
	}
	return v, true
}

// explains says by group whether the view explains it.
func (v view) explains() []bool {
	var out []bool
	for _, sets := range v.sets {
		out = append(out, len(sets) > 0)
	}
	return out
}

// several explains the readings circuit by circuit, with as few causes as will
// do, and then all together. It gives the ways to do that which take equally
// many, and the system of the readings that are explained: those of circuits
// that nothing explains are left out.
func (s *system) several(groups []group, singles []*fitted) ([]*fitted, *system) {
	var views []view
	best := view{cost: math.MaxInt}
	for _, given := range s.givens(groups, singles) {
		v, ok := s.view(groups, given, best.cost)
		switch {
		case !ok:
		case v.cost < best.cost:
			views, best = []view{v}, v
		case slices.Equal(v.explains(), best.explains()):
			views = append(views, v)
		}
	}
	t, err := s.explained(groups, best)
	if err != nil {
		return nil, s
	}
	var all []*fitted
	for _, v := range views {
		all = append(all, t.joins(v)...)
	}
	t.sort(all)
	if len(all[0].causes) == 0 {
		return nil, t
	}
	first := t.completed(all[0], singles)
	if !first.explains {
		return nil, s
	}
	return t.alike(first, append(all, t.exchanged(first, singles)...)), t
}

// explained is the system of the readings that a view explains: s itself where
// it explains all, or none.
func (s *system) explained(groups []group, v view) (*system, error) {
	var ranges []int
	for k, explains := range v.explains() {
		if explains {
			ranges = append(ranges, groups[k].ranges...)
		}
	}
	if len(ranges) == 0 || len(ranges) == len(s.ranges) {
		return s, nil
	}
	return s.only(func(r int) bool { return slices.Contains(ranges, r) })
}

// joins puts the causes of a view together: the best of every group, and in the
// place of each what explains that group as well.
func (s *system) joins(v view) []*fitted {
	choice := make([]int, len(v.sets))
	out := []*fitted{s.join(v, choice)}
	for g, sets := range v.sets {
		for n := 1; n < min(len(sets), widest); n++ {
			choice[g] = n
			out = append(out, s.join(v, choice))
		}
		choice[g] = 0
	}
	return out
}

// join fits one choice of sets together.
func (s *system) join(v view, choice []int) *fitted {
	causes, setting, held := slices.Clone(v.given.causes), slices.Clone(v.given.setting), len(v.given.causes)
	for g, sets := range v.sets {
		if len(sets) > 0 {
			causes, setting = append(causes, sets[choice[g]].causes[held:]...), append(setting, sets[choice[g]].setting[held:]...)
		}
	}
	return s.together(causes, setting, 0).arranged()
}

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
		others := &fitted{causes: slices.Delete(slices.Clone(f.causes), i, i+1), setting: slices.Delete(slices.Clone(f.setting), i, i+1)}
		for _, one := range singles {
			c := one.causes[0]
			if slices.Contains(f.causes, c) || !s.meet(c, old) {
				continue
			}
			out = append(out, s.adding(others, c, 0).arranged())
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
