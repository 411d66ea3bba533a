package predict

import (
	"fmt"
	"math"
	"slices"

	"shuntwright/cmd/shuntwright/internal/asbuilt"
	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/match"
	"shuntwright/meter"
	"shuntwright/meter/budget"
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
	positions, ranges := positionsTable(), rangesTable(class)
	for i, p := range prediction.Positions {
		f.addPosition(answer, &positions, i, p)
	}
	slopes := asbuilt.SlopesOf(f.Meter, state)
	for r, p := range prediction.Ranges {
		if answer.Limit == nil && p.Whole() && math.Abs(p.ErrorPercent) == prediction.WorstPercent {
			answer.Limit = report.Some(limits[r].Limit)
		}
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
	answer.Cautions = asbuilt.Cautions(f.Meter)
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

// mostSaid is how many ranges a sentence names before it counts the rest.
const mostSaid = 4

// standing is how the ranges of a meter stand, by their indexes.
type standing struct {
	within, outside, unsure, open []int
	worst                         int // of those unsure by error and limit, else within, or of all where there is no class; -1: none
}

// standing sorts the ranges by the class. With Sure error and limit together
// are what counts.
func (f *Forecast) standing(p meter.Prediction, limits []budget.Result) standing {
	out := standing{worst: -1}
	most := math.Inf(-1)
	for r, one := range p.Ranges {
		off := math.Abs(one.ErrorPercent)
		if f.Sure {
			off += limits[r].Limit
		}
		switch {
		case !one.Whole():
			out.open = append(out.open, r)
			continue
		case off > f.Class:
			out.outside = append(out.outside, r)
			continue
		}
		out.within = append(out.within, r)
		if asbuilt.Verdict(one, limits[r], f.Class) == "undecided" {
			if all := math.Abs(one.ErrorPercent) + limits[r].Limit; len(out.unsure) == 0 || all > most {
				most, out.worst = all, r
			}
			out.unsure = append(out.unsure, r)
		}
		if off > most && len(out.unsure) == 0 {
			most, out.worst = off, r
		}
	}
	return out
}

// Outside are the ranges that are outside the class.
func (f *Forecast) Outside() []int {
	ohms := f.Ohms()
	return f.standing(f.Meter.Predict(ohms), f.RangeLimits(f.Meter.State(ohms))).outside
}

// headline says in one line how the meter stands: how many ranges are within
// the class and the worst of them, and which are outside.
func (f *Forecast) headline(s standing, p meter.Prediction, limits []budget.Result) string {
	figure := func(r int) string { return report.PercentPair(p.Ranges[r].ErrorPercent, limits[r].Limit).Text }
	n := len(f.Ranges)
	out := f.Meter.Name + ": "
	switch {
	case len(s.open) == n:
		out += "no range is whole"
	case math.IsNaN(f.Class):
		out += fmt.Sprintf("worst range %s, %s", f.Ranges[s.worst].Name, figure(s.worst))
	case len(s.within) == 0:
		out += fmt.Sprintf("no range within class %g", f.Class)
	case len(s.within) == n:
		out += fmt.Sprintf("all %d ranges within class %g", n, f.Class)
		if n == 1 {
			out = fmt.Sprintf("%s: %s within class %g", f.Meter.Name, f.Ranges[0].Name, f.Class)
		}
	default:
		out += fmt.Sprintf("%d of %d ranges within class %g", len(s.within), n, f.Class)
	}
	switch {
	case math.IsNaN(f.Class) || len(s.within) == 0:
	case n == 1:
		out += ", " + figure(s.worst)
	default:
		out += fmt.Sprintf(", worst %s (%s)", figure(s.worst), f.Ranges[s.worst].Name)
	}
	if len(s.outside) > 0 {
		out += "; outside: " + said(s.outside, func(r int) string {
			if math.Abs(p.Ranges[r].ErrorPercent) <= f.Class { // outside by its limit alone
				return f.Ranges[r].Name + ", " + figure(r)
			}
			return f.Ranges[r].Name + ", " + report.PercentError(p.Ranges[r].ErrorPercent, limits[r].Limit).Text
		})
	}
	return out
}

// openWords name the positions that are open.
func (f *Forecast) openWords() []string {
	open := f.OpenPositions()
	if len(open) == 0 {
		return nil
	}
	return []string{"open: " + said(open, func(i int) string { return f.Positions[i].Name })}
}

// unsureWords say which ranges are within the class by their error alone, and
// what to measure again so that they are surer.
func (f *Forecast) unsureWords(s standing, state meter.State) []string {
	if len(s.unsure) == 0 {
		return nil
	}
	out := []string{"not sure: error and limit together reach beyond the class on " +
		said(s.unsure, func(r int) string { return f.Ranges[r].Name })}
	budgets := slices.DeleteFunc(budgetOf(f.Setup, state), func(b rangeBudget) bool {
		return !slices.ContainsFunc(s.unsure, func(r int) bool { return f.Ranges[r].Name == b.name })
	})
	if again := measureAgain(budgets); again != nil {
		out = append(out, again.String())
	}
	return out
}

// Moved are the ranges that some positions move.
func (f *Forecast) Moved(positions []int) []int {
	response := f.Meter.Response(positions, f.Ohms())
	var out []int
	for r := range f.Ranges {
		if slices.ContainsFunc(positions, func(i int) bool { return response.Rising(r, slices.Index(positions, i)) != 0 }) {
			out = append(out, r)
		}
	}
	return out
}

// Reads says how the ranges read that some positions move; empty where none of
// them is whole.
func (f *Forecast) Reads(answer *MeterAnswer, positions []int) string {
	whole := slices.DeleteFunc(f.Moved(positions), func(r int) bool { return answer.Ranges[r].FullScaleError == nil })
	return said(whole, func(r int) string {
		one := answer.Ranges[r]
		return one.Range + " reads " + report.PercentPair(*one.FullScaleError, report.Number(one.LimitPercent)).Text
	})
}

// said names ranges, and counts those that would be too many for a sentence.
func said(ranges []int, name func(int) string) string {
	var names []string
	for _, r := range ranges {
		names = append(names, name(r))
	}
	return report.Few(names, mostSaid)
}
