package reading

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/stat"

	"shuntwright/meter/budget"
)

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
