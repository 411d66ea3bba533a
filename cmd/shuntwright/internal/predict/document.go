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
	slopes, verdicts, within := asbuilt.SlopesOf(f.Meter, state), f.verdicts(prediction, limits), 0
	for r, p := range prediction.Ranges {
		if answer.Limit == nil && p.Whole() && math.Abs(p.ErrorPercent) == prediction.WorstPercent {
			answer.Limit = report.Some(limits[r].Limit)
		}
		one := jsonRange(f.Ranges[r], p, limits[r], verdicts[r])
		one.PassRestsOn = f.PassRestsOn(slopes[r], p, class)
		answer.Ranges = append(answer.Ranges, one)
		ranges.Rows = append(ranges.Rows, rangeRow(one, p, limits[r], class))
		if off := math.Abs(p.ErrorPercent); off <= class && !(f.Sure && off+limits[r].Limit > class) {
			within++
		}
	}
	stands := f.standing(prediction, limits, verdicts)
	if !math.IsNaN(class) {
		answer.Within = &within
	}
	answer.Cautions = asbuilt.Cautions(f.Meter)
	answer.Assumptions = append(asbuilt.Assumed(f.Setup), f.temperatureAssumptions()...)
	over, much := overloads(f.ratings(prediction))
	over = append(f.overdriven(prediction), over...)
	doubts := slices.Concat(UnratedWords(f.Setup), f.fading(), f.LeadsTaken(), f.leadsWords(prediction))
	answer.Warnings = slices.Concat(f.Warnings, over, doubts, much, f.roomWarning(), asbuilt.Warnings(f.Used()))
	doc := report.Document{Heading: f.headline(stands, prediction, limits), BottomLine: append(f.openWords(), f.unsureWords(stands.unsure, prediction, limits, state)...),
		Raised: slices.Concat(over, doubts), Tables: []report.Table{positions, ranges}, Good: len(*answer.Open)+len(f.Outside()) == 0 && f.Overloaded() == ""}
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
	within  []int // error and limit together, or where there is no class all
	unsure  []int // by the error alone within the class
	outside []int
	open    []int
	worst   int // by the error, with Sure with its limit, of those within; -1: none
}

// standing sorts the ranges by the class and their verdicts.
func (f *Forecast) standing(p meter.Prediction, limits []budget.Result, verdicts []string) standing {
	out, most := standing{worst: -1}, -1.0
	for r, one := range p.Ranges {
		switch off := math.Abs(one.ErrorPercent); {
		case !one.Whole():
			out.open = append(out.open, r)
		case off > f.Class:
			out.outside = append(out.outside, r)
		case verdicts[r] == "undecided":
			out.unsure = append(out.unsure, r)
		default:
			out.within = append(out.within, r)
			if f.Sure {
				off += limits[r].Limit
			}
			if off > most {
				out.worst, most = r, off
			}
		}
	}
	return out
}

// verdicts are those of the ranges; one that may read higher than predicted and
// outside the class is undecided.
func (f *Forecast) verdicts(p meter.Prediction, limits []budget.Result) []string {
	ohms, _ := f.atWork()
	out, higher := make([]string, len(p.Ranges)), f.higher(ohms)
	for r, one := range p.Ranges {
		out[r] = asbuilt.Verdict(one, limits[r], f.Class)
		if out[r] == "pass" && higher[r] >= fadingSeen && one.ErrorPercent+higher[r]+limits[r].Limit > f.Class {
			out[r] = "undecided"
		}
	}
	return out
}

// Outside are the ranges that are outside the class, with Sure those too that may be.
func (f *Forecast) Outside() []int {
	s := f.stands()
	if f.Sure {
		return append(s.outside, s.unsure...)
	}
	return s.outside
}

// Within is how many ranges are within the class, error and limit together.
func (f *Forecast) Within() int { return len(f.stands().within) }

func (f *Forecast) stands() standing {
	ohms := f.Ohms()
	p := f.Meter.Predict(ohms)
	limits := f.RangeLimits(f.Meter.State(ohms))
	return f.standing(p, limits, f.verdicts(p, limits))
}

// headline says in one line how the meter stands: how many ranges are within
// the class and the worst of them, which may be, and which are outside.
func (f *Forecast) headline(s standing, p meter.Prediction, limits []budget.Result) string {
	figure := func(r int) string { return report.PercentPair(p.Ranges[r].ErrorPercent, limits[r].Limit).Text }
	name := func(r int) string { return f.Ranges[r].Name + ", " + figure(r) }
	n := len(f.Ranges)
	out := f.Meter.Name + ": "
	switch {
	case len(s.open) == n:
		out += "no range is whole"
	case math.IsNaN(f.Class):
		out += fmt.Sprintf("worst range %s, %s", f.Ranges[s.worst].Name, figure(s.worst))
	case n == 1 && len(s.outside) == 0:
		return fmt.Sprintf("%s%s %s class %g, %s", out, f.Ranges[0].Name, report.Either(len(s.unsure) == 0, "within", "undecided in"), f.Class, figure(0))
	case len(s.within) == 0:
		out += fmt.Sprintf("no range%s within class %g", report.Either(len(s.unsure) == 0, "", " surely"), f.Class)
	case len(s.within) == n:
		out += fmt.Sprintf("all %d ranges within class %g", n, f.Class)
	default:
		out += fmt.Sprintf("%d of %d ranges within class %g", len(s.within), n, f.Class)
	}
	if !math.IsNaN(f.Class) && len(s.within) > 0 {
		out += fmt.Sprintf(", worst %s (%s)", figure(s.worst), f.Ranges[s.worst].Name)
	}
	if len(s.unsure) > 0 {
		out += "; undecided: " + said(s.unsure, name)
	}
	if len(s.outside) > 0 {
		out += "; outside: " + said(s.outside, func(r int) string {
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

// unsureWords say what to measure again so that ranges are surer whose limits leave
// them undecided.
func (f *Forecast) unsureWords(unsure []int, p meter.Prediction, limits []budget.Result, state meter.State) []string {
	budgets := slices.DeleteFunc(budgetOf(f.Setup, state), func(b rangeBudget) bool {
		return !slices.ContainsFunc(unsure, func(r int) bool {
			return f.Ranges[r].Name == b.name && asbuilt.Verdict(p.Ranges[r], limits[r], f.Class) == "undecided"
		})
	})
	if again := measureAgain(budgets); again != nil {
		return []string{again.String()}
	}
	return nil
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
