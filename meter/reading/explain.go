package reading

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"

	"shuntwright/meter"
)

// explain ranks what was fitted, singly and where that is not enough in pairs
// and more, and says what would separate the best.
func (d *Diagnosis) explain(s *system, singles []*fitted, divisions float64) {
	near := slices.DeleteFunc(slices.Clone(singles), func(f *fitted) bool {
		return !f.explains && (s.healthy-f.chi < matters || f.stuck() && s.score(f.chi) < noScore)
	})
	s.weed(singles, singles)
	all, known, t := near, near, s
	if !slices.ContainsFunc(singles, func(f *fitted) bool { return f.explains }) {
		if known, t = d.together(s, singles); t == s {
			all = append(slices.Clone(known[:min(len(known), mostTold)]), near...)
		} else {
			all = known[:min(len(known), mostTold)]
		}
	}
	t.sort(all)
	for _, f := range all {
		e := t.explanation(f, divisions)
		for i := range e.Amounts {
			e.Amounts[i].SameAs = t.sameAs(f, i, known)
		}
		if t != s {
			e.ChiSquare, e.Explains, e.Unexplained = s.chiSquare(f.causes, f.setting), false, s.missing(t)
			e.Score = s.score(e.ChiSquare)
		}
		d.Explanations = append(d.Explanations, e)
	}
	if len(s.readings) == 1 && len(all) > 0 && all[0].explains {
		d.note("one reading alone: every cause that can move its range explains it")
	}
	if s.still() {
		d.note("the pointer never moved: something is broken or shorted that every range read shares, or nothing reached the meter; look with an ohmmeter, the movement disconnected")
	}
	d.separate(t, all)
}

// noScore is a share that is nothing, where a cause went as far as it can go
// and would have to go on, past a short or a break.
const noScore = 0.05

// stuck reports whether a single cause stands at the end of what it can be.
func (f *fitted) stuck() bool {
	c, at := f.causes[0], f.setting[0]
	return at <= c.lower+equal || at >= c.upper-equal
}

// sameAs are the causes that do as well as one of a fit's, the others staying.
func (s *system) sameAs(f *fitted, i int, known []*fitted) []string {
	var out []string
	for _, g := range known {
		if g == f || len(g.causes) != len(f.causes) || !s.same(f, g) {
			continue
		}
		others := slices.DeleteFunc(slices.Clone(g.causes), func(c *candidate) bool { return slices.Contains(f.causes, c) })
		if len(others) == 1 && !slices.Contains(g.causes, f.causes[i]) {
			out = append(out, others[0].Name)
		}
	}
	return out
}

// still reports whether the pointer stayed at zero although something was applied.
func (s *system) still() bool {
	applied := false
	for _, rd := range s.readings {
		if math.Abs(rd.Indicated) > rd.IndicatedLimit {
			return false
		}
		applied = applied || rd.Reference > rd.IndicatedLimit
	}
	return applied
}

// Differences of chi-square. Within a tie causes go by plausibility; within
// indistinct, three standard deviations of a normal distribution, the right one
// of two causes may have come off worse by chance.
const (
	tie        = 1
	indistinct = 9
)

// sort puts those that explain the readings first and orders by chi-square;
// those within a tie of the best go by plausibility.
func (s *system) sort(all []*fitted) {
	slices.SortStableFunc(all, func(f, g *fitted) int {
		switch {
		case f.explains && !g.explains:
			return -1
		case g.explains && !f.explains:
			return 1
		}
		return cmp.Compare(f.chi, g.chi)
	})
	n := 0
	for n < len(all) && all[n].explains == all[0].explains && all[n].chi <= all[0].chi+tie {
		n++
	}
	slices.SortStableFunc(all[:n], func(f, g *fitted) int {
		return cmp.Or(cmp.Compare(f.rank(), g.rank()), cmp.Compare(f.change(), g.change()))
	})
}

// rank is that of the least plausible of its causes.
func (f *fitted) rank() int {
	worst := 0
	for _, c := range f.causes {
		worst = max(worst, c.rank)
	}
	return worst
}

// broken is how many times what should be there a cause is from where on it is all
// one how many.
const broken = 1000

// change is how far the causes are from what should be there, relative to that.
func (f *fitted) change() float64 {
	sum := 0.0
	for i, c := range f.causes {
		switch implied := c.implied(f.setting[i]); {
		case c.Kind == Zero || c.Kind == Friction:
			sum += math.Abs(f.setting[i])
		case c.from > 0:
			sum += math.Min(math.Abs(implied/c.from-1), broken)
		}
	}
	return sum
}

// same reports whether the readings cannot tell two causes apart: both explain
// them, and predict each of them within its limits alike or explain all of them
// about equally well.
func (s *system) same(f, g *fitted) bool {
	if !f.explains || !g.explains {
		return false
	}
	if math.Abs(f.chi-g.chi) <= indistinct {
		return true
	}
	for _, rd := range s.readings {
		k := s.column[rd.Range]
		limit := rd.IndicatedLimit + math.Min(f.theta[k], g.theta[k])*rd.ReferenceLimit
		if math.Abs(s.shown(f.theta, rd)-s.shown(g.theta, rd)) > limit {
			return false
		}
	}
	return true
}

// shown is what features predict for a reading.
func (s *system) shown(theta []float64, rd Reading) float64 {
	return floats.Dot(s.row(rd), theta) * s.full[rd.Range]
}

// explanation turns a fit into what people can read: how much there is of each cause
// as the meter file has all else.
func (s *system) explanation(f *fitted, divisions float64) Explanation {
	e := Explanation{ChiSquare: f.chi, Explains: f.explains, Score: s.score(f.chi), State: s.state}
	if s.file != nil {
		s, f = s.file, s.file.together(f.causes, f.setting, 0)
	}
	variance := s.problem(f.causes).variance(f.setting)
	for i, c := range f.causes {
		a := Amount{Cause: c.Cause, From: c.from, Implied: c.implied(f.setting[i]), Limit: normal * math.Sqrt(variance[i]) * c.slope(f.setting[i])}
		switch c.Kind {
		case Resistance:
			if s.unbounded(f, i) {
				a.Implied = math.Inf(1)
			}
			e.State = e.State.With(c.Resistor, a.Implied)
		case FullScale:
			if s.unbounded(f, i) {
				a.Implied = math.Inf(1)
			}
			e.State = meter.State{FullScaleAmperes: a.Implied, Ohms: e.State.Ohms}
		case Zero:
			e.ZeroFraction = a.Implied
		case Friction:
			e.FrictionFraction = a.Implied
		}
		if c.Kind == Zero || c.Kind == Friction {
			unit := 100.0
			if divisions > 0 && finite(divisions) {
				unit = divisions
			}
			a.Implied, a.Limit = a.Implied*unit, a.Limit*unit
		}
		if math.IsInf(a.Limit, 0) || math.IsInf(a.Implied, 0) {
			a.Limit = nan
		}
		e.Amounts = append(e.Amounts, a)
	}
	return e
}

// score is the share of chi-square that is explained; nothing where there is
// nothing to explain, whatever the verdict.
func (s *system) score(chi float64) float64 {
	if s.healthy == 0 {
		return 0
	}
	return math.Min(math.Max(1-chi/s.healthy, 0), 1)
}

// normal is the coverage factor of 95 %, and bounded the chi-square that goes
// with it.
const (
	normal  = 1.96
	bounded = normal * normal
)

// unbounded reports whether the readings say only that an amount is not what it
// should be: they agree with everything from some value to a break.
func (s *system) unbounded(f *fitted, i int) bool {
	c, p := f.causes[i], s.problem(f.causes)
	end := c.upper
	if c.Kind == FullScale {
		end = 0
	}
	with := func(at float64) float64 {
		p.lower[i], p.upper[i] = at, at
		_, sum := p.minimise(f.setting)
		return sum + s.data.rest - f.chi
	}
	return with(end) <= bounded && with(c.start) > bounded
}

// implied is what a coordinate stands for: ohms, amperes, or a fraction of full
// scale.
func (c *candidate) implied(at float64) float64 {
	switch c.Kind {
	case Resistance:
		return c.ohms(at)
	case FullScale:
		return c.from / at
	}
	return at
}

// slope is by how much that grows or falls with the coordinate.
func (c *candidate) slope(at float64) float64 {
	switch c.Kind {
	case Resistance:
		return c.scale / ((1 - at) * (1 - at))
	case FullScale:
		return c.from / (at * at)
	}
	return 1
}
