package reading

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/stat"

	"shuntwright/meter"
	"shuntwright/meter/budget"
)

// Judgement is a meter held against its class.
type Judgement struct {
	Ranges  []RangeJudgement // in the meter's order, only ranges with readings
	Verdict Verdict          // fail where any range fails, else undecided where any is, else pass
}

// RangeJudgement is one range held against the class. Percentages are of full
// scale, but for GainPercent.
type RangeJudgement struct {
	Range        int     // index into Meter.Ranges
	Points       []Point // in the order of the readings
	Worst        int     // index into Points, of those that have the verdict of the largest error
	ErrorPercent float64 // of the worst point, positive where it reads high
	LimitPercent float64 // of the worst point
	Factor       float64 // coverage factor of that limit
	Verdict      Verdict // from all points: fail where any fails, else undecided where any is, else pass
	Ratio        float64 // class by LimitPercent; NaN without a class

	// Contradictions are the pairs of its readings, by index, that no cause and
	// no two causes give both; LeftOut are the readings, by index, that the
	// straight line leaves out for that. All of them count for the verdict.
	Contradictions []Contradiction
	LeftOut        []int

	ZeroPercent      float64 // mean error with nothing applied, else of the straight line there; NaN: one reference alone
	GainPercent      float64 // slope of the straight line less 1, percent of the reading; NaN: one reference alone
	LinearityPercent float64 // largest distance of a reading from the straight line; NaN: fewer than three references
	UpDownPercent    float64 // largest difference, falling less rising, at one reference; NaN: no point read both ways

	Reach                  float64 // largest reference of its straight line, as a share of full scale
	FullPercent, FullLimit float64 // error of the straight line held to full scale, and its 95 % limit; NaN: nothing was applied
	Partly                 bool    // it passes for what was read, short of full scale, and held to that it need not
}

// Point is one reading held against the class.
type Point struct {
	Reading      int     // index into the readings
	ErrorPercent float64 // 100·(indicated − reference)/full scale
	LimitPercent float64 // 95 % limit of that error
	Factor       float64 // coverage factor of the limit, as budget.Combine chooses it
	Verdict      Verdict
}

// equal is how many percent are no difference, so that a rounded product does
// not change a verdict.
const equal = 1e-9

// Judge holds readings against an accuracy class in percent of full scale; NaN
// is no class. The limit of an error is that of two rectangular sources,
// reference and pointer (JCGM 100, as budget.Combine). A point passes where
// |error| + limit ≤ class, fails where |error| − limit > class, and is
// undecided between: the limit is the guard band on both sides (JCGM 106,
// ILAC-G8:09/2019). With simple the error alone decides (simple acceptance
// there). Readings of a range that is not in ranges are left out; one that is
// not a number is undecided.
func Judge(ranges []meter.Range, readings []Reading, classPercent float64, simple bool) Judgement {
	var out Judgement
	for r, rng := range ranges {
		j := RangeJudgement{Range: r}
		for i, rd := range readings {
			if rd.Range == r {
				j.Points = append(j.Points, judgePoint(rd, i, rng.FullScale, classPercent, simple))
			}
		}
		if len(j.Points) == 0 {
			continue
		}
		for i, p := range j.Points {
			worst := j.Points[j.Worst]
			if p.Verdict == worst.Verdict && math.Abs(p.ErrorPercent) > math.Abs(worst.ErrorPercent) ||
				p.Verdict != worst.Verdict && p.Verdict.Worse(worst.Verdict) == p.Verdict {
				j.Worst = i
			}
		}
		worst := j.Points[j.Worst]
		j.Verdict = worst.Verdict
		j.ErrorPercent, j.LimitPercent, j.Factor = worst.ErrorPercent, worst.LimitPercent, worst.Factor
		j.Ratio = classPercent / j.LimitPercent
		j.contradicted(readings, rng.FullScale)
		j.straight(readings, rng.FullScale)
		j.UpDownPercent = upDown(readings, j.Points, rng.FullScale)
		j.held(readings, rng.FullScale, classPercent, simple)
		out.Ranges = append(out.Ranges, j)
		out.Verdict = out.Verdict.Worse(j.Verdict)
	}
	return out
}

func judgePoint(rd Reading, index int, fullScale, class float64, simple bool) Point {
	limit := budget.Combine([]budget.Source{
		{Name: "reference", Half: 100 * rd.ReferenceLimit / fullScale},
		{Name: "pointer", Half: 100 * rd.IndicatedLimit / fullScale},
	})
	p := Point{Reading: index, ErrorPercent: 100 * (rd.Indicated - rd.Reference) / fullScale, LimitPercent: limit.Limit, Factor: limit.Factor}
	guard := p.LimitPercent
	if simple {
		guard = 0
	}
	p.Verdict = Decide(p.ErrorPercent, guard, class)
	return p
}

// Decide holds an error against the most that is allowed, with its limit as guard
// band on both sides (JCGM 106, ILAC-G8); NoVerdict where that is NaN.
func Decide(err, limit, most float64) Verdict {
	size := math.Abs(err)
	switch {
	case math.IsNaN(most):
		return NoVerdict
	case size+limit <= most+equal:
		return Pass
	case size-limit > most+equal:
		return Fail
	}
	return Undecided
}

// contradicted finds the readings of a range that contradict each other.
func (j *RangeJudgement) contradicted(readings []Reading, fullScale float64) {
	var own []Reading
	for _, p := range j.Points {
		own = append(own, readings[p.Reading])
	}
	pairs, out := contradictions(own, func(int) float64 { return fullScale })
	for _, c := range pairs {
		j.Contradictions = append(j.Contradictions, Contradiction{j.Points[c.First].Reading, j.Points[c.Second].Reading})
	}
	for i, p := range j.Points {
		if out[i] {
			j.LeftOut = append(j.LeftOut, p.Reading)
		}
	}
}

// straight fits the weighted straight line through those readings of a range
// that are not left out: indicated by reference, in fractions of full scale.
func (j *RangeJudgement) straight(readings []Reading, fullScale float64) {
	var x, y, weight, zero []float64
	distinct := map[float64]bool{}
	for _, p := range j.Points {
		if slices.Contains(j.LeftOut, p.Reading) {
			continue
		}
		rd := readings[p.Reading]
		x, y = append(x, rd.Reference/fullScale), append(y, rd.Indicated/fullScale)
		weight = append(weight, 1/(p.LimitPercent*p.LimitPercent))
		distinct[rd.Reference] = true
		if rd.Reference == 0 {
			zero = append(zero, p.ErrorPercent)
		}
	}
	j.ZeroPercent, j.GainPercent, j.LinearityPercent = nan, nan, nan
	if len(distinct) > 1 {
		intercept, slope := stat.LinearRegression(x, y, weight, false)
		j.ZeroPercent, j.GainPercent = 100*intercept, 100*(slope-1)
		if len(distinct) > 2 {
			j.LinearityPercent = 0
			for i := range x {
				j.LinearityPercent = max(j.LinearityPercent, 100*math.Abs(y[i]-intercept-slope*x[i]))
			}
		}
	}
	if len(zero) > 0 {
		j.ZeroPercent = stat.Mean(zero, nil)
	}
}

// upDown is the largest difference between the errors of two readings at one
// reference, the falling one less the rising one.
func upDown(readings []Reading, points []Point, fullScale float64) float64 {
	out := nan
	for _, p := range points {
		for _, q := range points {
			up, down := readings[p.Reading], readings[q.Reading]
			if up.Direction != Up || down.Direction != Down || !sameReference(up, down, fullScale) {
				continue
			}
			if d := q.ErrorPercent - p.ErrorPercent; !(math.Abs(d) <= math.Abs(out)) {
				out = d
			}
		}
	}
	return out
}

// sameReference reports whether two readings were taken at one reference,
// within what both references are trusted.
func sameReference(a, b Reading, fullScale float64) bool {
	return math.Abs(a.Reference-b.Reference) <= a.ReferenceLimit+b.ReferenceLimit+equal/100*fullScale
}

// atFull is the share of the scale from which on a reading stands for its end: a
// supply cannot be set closer (common practice).
const atFull = 0.98

// held holds the readings of a range that are not left out to full scale, along
// their straight line.
func (j *RangeJudgement) held(readings []Reading, fullScale, class float64, simple bool) {
	var own []Reading
	for _, p := range j.Points {
		if !slices.Contains(j.LeftOut, p.Reading) {
			own = append(own, readings[p.Reading])
			j.Reach = max(j.Reach, readings[p.Reading].Reference/fullScale)
		}
	}
	j.FullPercent, j.FullLimit = atFullScale(own, fullScale)
	guard := j.FullLimit
	if simple {
		guard = 0
	}
	j.Partly = j.Verdict == Pass && j.Reach < atFull && !(math.Abs(j.FullPercent)+guard <= class+equal)
}

// atFullScale is the error of the straight line through some readings at full
// scale, in percent of it, and its limit; NaN where nothing was applied. Where no
// reading was taken with nothing applied, the pointer rests on zero as well as it
// is read: it is set there before (common practice).
func atFullScale(own []Reading, fullScale float64) (percent, limit float64) {
	if !slices.ContainsFunc(own, func(rd Reading) bool { return rd.Reference > 0 }) {
		return nan, nan
	}
	if !slices.ContainsFunc(own, func(rd Reading) bool { return rd.Reference == 0 }) {
		own = append(own, Reading{IndicatedLimit: own[0].IndicatedLimit})
	}
	var x, y []float64
	for _, rd := range own {
		x, y = append(x, rd.Reference/fullScale), append(y, 100*(rd.Indicated-rd.Reference)/fullScale)
	}
	zero, slope := stat.LinearRegression(x, y, nil, false)
	mean, n := stat.Mean(x, nil), float64(len(x))
	scatter := n * stat.Moment(2, x, nil)
	var sources []budget.Source
	for i, rd := range own {
		counts := 100 / fullScale * (1/n + (1-mean)*(x[i]-mean)/scatter) // of a reading in the line at full scale
		sources = append(sources, budget.Source{Name: "reference", Half: counts * rd.ReferenceLimit}, budget.Source{Name: "pointer", Half: counts * rd.IndicatedLimit})
	}
	return zero + slope, budget.Combine(sources).Limit
}
