package predict

import (
	"fmt"
	"math"
	"slices"

	"shuntwright/cmd/shuntwright/internal/asbuilt"
	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/meter"
	"shuntwright/meter/budget"
)

// Document shows positions and ranges with what the setup holds, at the
// temperature that was wished. The answer is returned beside the document, for
// callers who know more.
func (f *Forecast) Document() (report.Document, *report.MeterAnswer) {
	ohms := f.Ohms()
	prediction := f.Meter.Predict(ohms)
	state := f.AtTemperature(f.Meter.State(ohms), f.Celsius)
	prediction = heated(prediction, f.Meter.PredictState(state))
	class := f.Class
	answer := &report.MeterAnswer{Meter: f.Meter.Name, Positions: []report.Position{}, Open: &[]string{},
		Worst: report.Some(prediction.WorstPercent), Class: report.Some(class)}
	limits := f.RangeLimits(state)
	if r := worstRange(prediction); r >= 0 {
		answer.Limit = report.Some(limits[r].Limit)
	}
	positions, ranges := positionsTable(), rangesTable(class)
	for i, p := range prediction.Positions {
		f.addPosition(answer, &positions, i, p)
	}
	good := len(*answer.Open) == 0
	for r, p := range prediction.Ranges {
		limit := limits[r]
		verdict := asbuilt.Verdict(p, limit, class)
		good = good && !(math.Abs(p.ErrorPercent) > class)
		answer.Ranges = append(answer.Ranges, jsonRange(f.Ranges[r], p, limit, verdict))
		ranges.Rows = append(ranges.Rows, rangeRow(f.Ranges[r], p, limit, verdict, class))
	}
	answer.Cautions = asbuilt.Of(f.Meter)
	answer.Assumptions = append(asbuilt.Assumed(f.Setup), f.temperatureAssumptions()...)
	answer.Warnings = slices.Concat(f.Warnings, overloads(f.ratings(prediction)), asbuilt.Warnings(f.Used()))
	doc := report.Document{Tables: []report.Table{positions, ranges}, Good: good}
	if line := f.worstLine(prediction, limits); line != "" {
		doc.Closing = append(doc.Closing, line)
	}
	if len(*answer.Open) > 0 {
		doc.Closing = append(doc.Closing, "open: "+report.List(*answer.Open))
	}
	return doc, answer
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

// surelyWorst is the first of the ranges with the largest error and limit
// together, -1 where none is whole.
func surelyWorst(p meter.Prediction, limits []budget.Result) int {
	at, most := -1, math.Inf(-1)
	for r, one := range p.Ranges {
		if off := math.Abs(one.ErrorPercent) + limits[r].Limit; one.Whole() && off > most {
			at, most = r, off
		}
	}
	return at
}

// worstRange is the first of the ranges with the largest error, -1 where none
// is whole.
func worstRange(p meter.Prediction) int {
	return slices.IndexFunc(p.Ranges, func(one meter.RangePrediction) bool {
		return one.Whole() && math.Abs(one.ErrorPercent) == p.WorstPercent
	})
}

// worstLine names the worst range, or where error and limit together count the
// one that may be furthest off.
func (f *Forecast) worstLine(p meter.Prediction, limits []budget.Result) string {
	r := worstRange(p)
	if f.Sure {
		r = surelyWorst(p, limits)
	}
	if r < 0 {
		return ""
	}
	limit, what := limits[r].Limit, "worst range"
	if f.Sure {
		what = "worst range, error and limit together"
	}
	return fmt.Sprintf("%s: %s, %s (%s)", what, f.Ranges[r].Name,
		report.PercentError(p.Ranges[r].ErrorPercent, limit).Text, report.PercentLimit(limit).Text)
}
