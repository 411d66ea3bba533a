package predict

import (
	"fmt"
	"math"
	"slices"

	"shuntwright/cmd/shuntwright/internal/asbuilt"
	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/match"
	"shuntwright/meter"
	"shuntwright/meter/quantity"
)

// Document says how the meter reads with what the setup holds, at the
// temperature that was wished: in words, and in the tables of the positions and of
// the ranges. The answer is returned beside the document, for callers who know
// more.
func (f *Forecast) Document() (report.Document, *MeterAnswer) {
	ohms := f.Ohms()
	prediction := f.Meter.Predict(ohms)
	state := f.AtTemperature(f.Meter.State(ohms), f.Celsius)
	prediction = heated(prediction, f.Meter.PredictState(state))
	class := f.Class
	answer := &MeterAnswer{Meter: f.Meter.Name, Positions: []Position{}, Open: &[]string{},
		Worst: report.Some(prediction.WorstPercent), Class: report.Some(class)}
	limits := f.RangeLimits(state)
	if r := worstRange(prediction); r >= 0 {
		answer.Limit = report.Some(limits[r].Limit)
	}
	positions, ranges := positionsTable(), rangesTable(class)
	for i, p := range prediction.Positions {
		f.addPosition(answer, &positions, i, p)
	}
	slopes := asbuilt.SlopesOf(f.Meter, state)
	for r, p := range prediction.Ranges {
		one := jsonRange(f.Ranges[r], p, limits[r], asbuilt.Verdict(p, limits[r], class))
		one.PassRestsOn = f.PassRestsOn(slopes[r], p, class)
		answer.Ranges = append(answer.Ranges, one)
		ranges.Rows = append(ranges.Rows, rangeRow(one, p, limits[r], class))
	}
	stands := f.standing(prediction, limits)
	if !math.IsNaN(class) {
		n := len(stands.within)
		answer.Within = &n
	}
	answer.Cautions = asbuilt.Of(f.Meter)
	answer.Assumptions = append(asbuilt.Assumed(f.Setup), f.temperatureAssumptions()...)
	over, much := overloads(f.ratings(prediction))
	over = append(f.overdriven(prediction), over...)
	doubts := slices.Concat(f.fading(f.Meter.Predict(ohms)), f.LeadsTaken(), f.leadsWords(prediction))
	answer.Warnings = slices.Concat(f.Warnings, over, doubts, much, f.roomWarning(), asbuilt.Warnings(f.Used()))
	doc := report.Document{Heading: f.headline(stands, prediction, limits), BottomLine: append(f.openWords(), f.unsureWords(stands, state)...),
		Raised: slices.Concat(over, doubts), Tables: []report.Table{positions, ranges}, Good: len(*answer.Open) == 0 && len(stands.outside) == 0 && f.Overloaded() == ""}
	return doc, answer
}

// overdriven warns of ranges on which full scale is more than the movement bears.
func (f *Forecast) overdriven(p meter.Prediction) []string {
	var names []string
	worst := -1
	for r, one := range p.Ranges {
		if !(one.ErrorPercent > match.Overdrive) {
			continue
		}
		if names = append(names, f.Ranges[r].Name); worst < 0 || one.ErrorPercent > p.Ranges[worst].ErrorPercent {
			worst = r
		}
	}
	if worst < 0 {
		return nil
	}
	r, one, most, there := f.Ranges[worst], p.Ranges[worst], "", ""
	if len(names) > 1 {
		most, there = ", most on "+r.Name, " there"
	}
	return []string{fmt.Sprintf("full scale overdrives the movement on %s%s, %.2g times: apply no more than %s%s",
		report.List(names), most, 1+one.ErrorPercent/100, quantity.Format(one.LastMark, r.Unit, 3), there)}
}

// heated is a prediction at another temperature with the targets of the
// reference temperature.
func heated(cold, warm meter.Prediction) meter.Prediction {
	for i := range warm.Positions {
		target := cold.Positions[i].TargetOhms
		warm.Positions[i].TargetOhms = target
		warm.Positions[i].ErrorPercent = 100 * (warm.Positions[i].Ohms/target - 1)
	}
	return warm
}

// worstRange is the first of the ranges with the largest error, -1 where none
// is whole.
func worstRange(p meter.Prediction) int {
	return slices.IndexFunc(p.Ranges, func(one meter.RangePrediction) bool {
		return one.Whole() && math.Abs(one.ErrorPercent) == p.WorstPercent
	})
}
