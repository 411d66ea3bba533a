package reading

import (
	"fmt"
	"math"
	"slices"
)

// Diagnose says what the readings tell about the cause. The readings' errors
// are taken as rectangular within their limits and independent, what the file's
// figures may be off as shared by all readings (Doubts); both enter the
// weighted least squares and the chi-square tests. A cause explains the
// readings where no more is left than one right diagnosis in a hundred leaves.
//
// Something is wrong where the verdict is fail, or where the readings are
// further from the state than limits and doubts allow: some reading by itself,
// and all of them together or in the way of one cause. Readings that contradict
// each other are named and left out of all fits.
func Diagnose(c Case) Diagnosis {
	s, notes := newSystem(c)
	d := Diagnosis{Notes: notes}
	d.Contradictions = s.dropContradictions()
	if len(s.readings) == 0 {
		d.Wrong = c.Verdict == Fail
		d.note("no reading is left to find a cause by")
		return d
	}
	if err := s.settle(); err != nil {
		d.Wrong = c.Verdict == Fail
		d.note(fmt.Sprintf("the readings cannot be weighed against one another: %v", err))
		return d
	}
	singles, disagree := s.disagrees()
	if !disagree && c.Foretold && len(d.Contradictions) == 0 {
		d.Wrong, d.AsPredicted = c.Verdict == Fail, true
		return d
	}
	if !disagree {
		if plain, err := s.without(); err == nil {
			s = plain
			singles, disagree = s.disagrees()
		}
		d.Wrong = c.Verdict == Fail
		d.AsPredicted = !disagree && len(d.Contradictions) == 0 && (d.Wrong || c.Verdict == Undecided)
		if disagree && !d.Wrong {
			d.suspect(s, singles, c)
		}
		if !disagree || !d.Wrong {
			return d
		}
		d.note("the figures of the meter file, each within its limit, may be off by as much as the readings are: the cause may be no more than a part that was measured too roughly")
	}
	d.Wrong = true
	d.explain(s, singles, c.Divisions)
	return d
}

// suspect names the likeliest single cause of what is not enough to accuse the
// meter.
func (d *Diagnosis) suspect(s *system, singles []*fitted, c Case) {
	likely := slices.DeleteFunc(slices.Clone(singles), func(f *fitted) bool { return !f.explains || s.healthy-f.chi < matters })
	if c.Verdict != Undecided || len(likely) == 0 {
		return
	}
	s.sort(likely)
	e := s.explanation(likely[0], c.Divisions)
	e.Amounts[0].SameAs = s.sameAs(likely[0], 0, likely)
	d.Suspect = &e
}

func (d *Diagnosis) note(text string) { d.Notes = append(d.Notes, text) }

// without is the system with the file's figures taken as exact.
func (s *system) without() (*system, error) {
	if len(s.common) == 0 {
		return s, nil
	}
	plain := *s
	if s.file != nil {
		plain = *s.file
	}
	plain.doubts = nil
	return &plain, plain.settle()
}

// disagrees reports whether the readings are further from the state as it
// should be than they may be, and if so gives every cause fitted by itself.
// Where every reading is within its limits they never are, however many lean
// the same way: a pointer read to the nearest mark errs alike on every range.
// Else the chi-square of all together decides, which any number of faults can
// bring about, or that in the direction of one cause, which tells a small
// single fault among many readings. Each test runs half of the risk, the second
// one divided by the number of causes (Bonferroni).
func (s *system) disagrees() ([]*fitted, bool) {
	theta := make([]float64, s.features())
	s.at(theta, nil, nil)
	if s.within(theta) {
		return nil, false
	}
	singles := s.fitEach()
	one := s.byChance(singles)
	return singles, s.healthy > threshold(len(s.readings), alpha/2) ||
		slices.ContainsFunc(singles, func(f *fitted) bool { return s.healthy-f.chi > one })
}

// byChance is the fall of chi-square that the best of all single causes brings by
// chance.
func (s *system) byChance(singles []*fitted) float64 {
	return threshold(1, alpha/2/float64(len(singles)))
}

// within reports whether every reading is within its limits of what features
// predict.
func (s *system) within(theta []float64) bool {
	for i, rd := range s.readings {
		full := s.full[rd.Range]
		limit := (rd.IndicatedLimit + theta[s.column[rd.Range]]*rd.ReferenceLimit) / full
		doubt := 0.0
		for _, column := range s.common {
			doubt = math.Hypot(doubt, column[i])
		}
		if math.Abs(rd.Indicated-s.shown(theta, rd))/full > limit*(1+equal)+normal*doubt {
			return false
		}
	}
	return true
}

// fitted are causes at the setting that is nearest to the readings.
type fitted struct {
	causes   []*candidate
	setting  []float64
	chi      float64
	explains bool
	theta    []float64 // features
}

// settled keeps what a fit found with the first held causes given.
func (s *system) settled(causes []*candidate, setting []float64, chi float64, held int) *fitted {
	f := &fitted{causes, setting, chi, false, make([]float64, s.features())}
	s.at(f.theta, causes, setting)
	f.explains = chi <= s.enough[len(causes)-held]
	return f
}

// fit fits causes but for the first held ones, from where they stand.
func (s *system) fit(causes []*candidate, setting []float64, held int) (at []float64, chi float64) {
	if len(causes) == held {
		return setting, s.chiSquare(causes, setting)
	}
	p := s.problem(causes)
	copy(p.lower, setting[:held])
	copy(p.upper, setting[:held])
	at, sum := p.minimise(setting)
	return at, sum + s.data.rest
}

// beside fits the last cause while the others stand at their setting, and then
// all of them but for the first held ones.
func (s *system) beside(causes []*candidate, setting []float64, held int) *fitted {
	at, _ := s.fit(causes, setting, len(causes)-1)
	return s.together(causes, at, held)
}

// adding is a fit with one cause more, as beside fits it.
func (s *system) adding(f *fitted, c *candidate, held int) *fitted {
	return s.beside(append(slices.Clone(f.causes), c), append(slices.Clone(f.setting), c.start), held)
}

// together fits all causes but for the first held ones, from where they stand.
func (s *system) together(causes []*candidate, setting []float64, held int) *fitted {
	at, chi := s.fit(causes, setting, held)
	return s.settled(causes, at, chi, held)
}

// fitEach fits every cause by itself.
func (s *system) fitEach() []*fitted {
	var out []*fitted
	for _, c := range s.candidates() {
		out = append(out, s.together([]*candidate{c}, []float64{c.start}, 0))
	}
	return out
}

// matters is by how much chi-square must fall for a cause to be worth a word.
var matters = threshold(1, alpha)

// fitPairs fits every two causes together, each time from both ends: one as
// found alone, the other fitted beside it, and then both. Of those that explain
// no more than one of them alone it keeps none.
func (s *system) fitPairs(singles []*fitted) []*fitted {
	var out []*fitted
	for i, a := range singles {
		for _, b := range singles[:i] {
			best := s.adding(b, a.causes[0], 0)
			if other := s.adding(a, b.causes[0], 0).arranged(); other.chi < best.chi {
				best = other
			}
			if math.Min(a.chi, b.chi)-best.chi > matters {
				out = append(out, best.arranged())
			}
		}
	}
	return out
}
