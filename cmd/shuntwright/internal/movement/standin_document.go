package movement

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"shuntwright/cmd/shuntwright/internal/asbuilt"
	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/inventory"
	"shuntwright/meter"
	"shuntwright/meter/bench"
	"shuntwright/meter/quantity"
)

// standInAnswer is the JSON of movement stand-in.
type standInAnswer struct {
	Old  sideAnswer  `json:"old"`
	New  sideAnswer  `json:"new"`
	Ways []wayAnswer `json:"ways"`
	Best string      `json:"best,omitempty"` // the way that comes closer
	report.Notes
}

type sideAnswer struct {
	FullScaleAmperes float64 `json:"full_scale_amperes"`
	CoilOhms         float64 `json:"coil_ohms"`
}

// wayAnswer is one way: what its resistors must be, and what there is for them.
type wayAnswer struct {
	Way          string       `json:"way"`
	SeriesOhms   report.Maybe `json:"series_ohms,omitempty"`
	ParallelOhms report.Maybe `json:"parallel_ohms,omitempty"`
	Series       *fitAnswer   `json:"series,omitempty"`
	Parallel     *fitAnswer   `json:"parallel,omitempty"`

	FullScaleAmperes    report.Maybe `json:"full_scale_amperes,omitempty"`
	CoilOhms            report.Maybe `json:"coil_ohms,omitempty"`
	CurrentErrorPercent report.Maybe `json:"current_error_percent,omitempty"`
	CurrentLimitPercent report.Maybe `json:"current_limit_percent,omitempty"`
	VoltageErrorPercent report.Maybe `json:"voltage_error_percent,omitempty"`
	VoltageLimitPercent report.Maybe `json:"voltage_limit_percent,omitempty"`
	WorstErrorPercent   report.Maybe `json:"worst_error_percent,omitempty"`
	Proven              *bool        `json:"proven,omitempty"`

	WarmerCurrentErrorPercent float64 `json:"warmer_10_kelvin_current_error_percent"`
	WarmerVoltageErrorPercent float64 `json:"warmer_10_kelvin_voltage_error_percent"`
}

// fitAnswer is what takes the place of one resistor.
type fitAnswer struct {
	Network      string       `json:"network"`
	Parts        []string     `json:"parts"`
	Ohms         float64      `json:"ohms"`
	ErrorPercent float64      `json:"error_percent"`
	LimitPercent report.Maybe `json:"limit_percent,omitempty"`
}

// warmer is the change of temperature that the answer shows, in kelvin.
const warmer = 10

// Document shows the ways and which comes closer.
func (s StandIn) Document(ways []Way, assumed []string) report.Document {
	answer := &standInAnswer{Old: sideOf(s.Old), New: sideOf(s.New), Ways: []wayAnswer{}}
	parts := report.Table{Name: "resistors", Columns: []report.Column{
		{Title: "way", Key: "way"}, {Title: "resistor", Key: "resistor"}, {Title: "must be", Key: "target_ohms", Number: true},
		{Title: "network", Key: "network", Flexible: true}, {Title: "value", Key: "ohms", Number: true}, {Title: "error", Key: "error_percent", Number: true},
	}}
	reads := report.Table{Name: "ways", Heading: "How true, against the old movement", Columns: []report.Column{
		{Title: "way", Key: "way"}, {Title: "high multipliers", Key: "current_error_percent", Number: true}, {Title: "low shunts", Key: "voltage_error_percent", Number: true},
		{Title: "multipliers +10 K", Key: "warmer_10_kelvin_current_error_percent", Number: true}, {Title: "shunts +10 K", Key: "warmer_10_kelvin_voltage_error_percent", Number: true},
	}}
	var used []inventory.Measured
	for _, w := range ways {
		answer.Ways = append(answer.Ways, w.answer())
		parts.Rows = append(parts.Rows, w.rows()...)
		reads.Rows = append(reads.Rows, w.reads())
		for _, found := range w.leaves {
			for _, l := range found {
				used = append(used, l.Measured)
			}
		}
	}
	answer.Assumptions = report.Unique(append(assumed, asbuilt.Assumptions(used)...))
	answer.Warnings = append(asbuilt.Warnings(used), s.unrated(ways)...)
	old := meter.CopperPerKelvin * warmer
	doc := report.Document{
		Heading: fmt.Sprintf("%s made to look like %s", s.New.words(), s.Old.words()), Tables: []report.Table{parts, reads}, Answer: answer, Good: true,
		Closing: []string{fmt.Sprintf("no range of a meter is further off than the worse of the two; the old movement %d K warmer: 0 and %.1f %%", warmer, -100*old/(1+old))},
	}
	doc.BottomLine, doc.Good = s.bottomLine(ways, answer)
	if s.Old.From != "" && doc.Good {
		doc.Next = "shuntwright check " + report.InShell(s.Old.From)
	} else if len(s.Chosen) == 0 {
		doc.Next = "shuntwright drawer add"
	}
	doc.Notes = answer.Notes
	return doc
}

func sideOf(s Side) sideAnswer { return sideAnswer{s.Amperes.Value, s.Ohms.Value} }

// words are a movement's figures: "500 µA, 150 Ω".
func (s Side) words() string {
	return report.Short(s.Amperes.Value, quantity.Ampere) + ", " + report.Short(s.Ohms.Value, quantity.Ohm)
}

// bottomLine says which way comes closer, and whether the answer is good.
func (s StandIn) bottomLine(ways []Way, answer *standInAnswer) ([]string, bool) {
	if len(s.Chosen) == 0 {
		return []string{"no part of a drawer is free for it: these are the resistances to make"}, true
	}
	best := closer(ways)
	if best < 0 {
		return []string{fmt.Sprintf("nothing in the drawer comes within %g %%; allow more --parts (now %d), widen --within, or measure more parts", 100*s.Within, s.AtMost)}, false
	}
	w := ways[best]
	answer.Best = w.Name
	limit := max(w.Limits[0].Limit, w.Limits[1].Limit)
	within := strings.TrimPrefix(report.PercentPair(w.worst(), limit).Text, "+")
	words := fmt.Sprintf("every range of the meter stays within %s of what it was", within)
	if len(ways) > 1 {
		words = fmt.Sprintf("%s comes closer: %s", w.Name, words)
	}
	if !w.Proven {
		words += " (not proven: the search was ended)"
	}
	return []string{words}, true
}

// unrated warns of parts that are held against no rating.
func (s StandIn) unrated(ways []Way) []string {
	var ids []string
	for _, w := range ways {
		for _, n := range w.Networks {
			ids = append(ids, n.IDs()...)
		}
	}
	slices.Sort(ids)
	if ids = s.Bench.Unrated(slices.Compact(ids)); len(ids) == 0 {
		return nil
	}
	return []string{"watts and volts are not known of " + report.List(ids) + "; --rated-only leaves such parts out"}
}

// nothing is a cell of a column that is not shown where nothing is in it.
var nothing = report.Cell{Silent: true}

// answer is a way in JSON.
func (w Way) answer() wayAnswer {
	out := wayAnswer{Way: w.Name}
	if w.Targets[series] != 0 {
		out.SeriesOhms = report.Some(w.Targets[series])
	}
	out.ParallelOhms = report.Some(w.Targets[parallel])
	out.Series, out.Parallel = w.fit(series), w.fit(parallel)
	warm := w.warmed(meter.CopperPerKelvin, warmer)
	out.WarmerCurrentErrorPercent, out.WarmerVoltageErrorPercent = warm[bench.ByCurrent], warm[bench.ByVoltage]
	if !w.Filled {
		return out
	}
	ohms := w.ohms()
	looks := w.Looks(ohms[series], ohms[parallel])
	out.FullScaleAmperes, out.CoilOhms = report.Some(looks.Amperes), report.Some(looks.Ohms)
	out.CurrentErrorPercent, out.CurrentLimitPercent = report.Some(w.Errors[bench.ByCurrent]), report.Some(w.Limits[bench.ByCurrent].Limit)
	out.VoltageErrorPercent, out.VoltageLimitPercent = report.Some(w.Errors[bench.ByVoltage]), report.Some(w.Limits[bench.ByVoltage].Limit)
	out.WorstErrorPercent, out.Proven = report.Some(w.worst()), &w.Proven
	return out
}

// fit is what takes the place of a resistor, nil for nothing.
func (w Way) fit(slot int) *fitAnswer {
	if len(w.leaves[slot]) == 0 {
		return nil
	}
	n, ohms := w.Networks[slot], w.ohms()[slot]
	return &fitAnswer{n.String(), n.IDs(), ohms, 100 * (ohms/w.Targets[slot] - 1), report.Some(asbuilt.ValueLimit(n, w.leaves[slot]).Limit)}
}

// rows are the resistors of a way.
func (w Way) rows() [][]report.Cell {
	var out [][]report.Cell
	for slot, name := range []string{"series", "parallel"} {
		target := w.Targets[slot]
		if target == 0 || math.IsInf(target, 1) {
			continue
		}
		row := []report.Cell{report.Words(w.Name), report.Words(name), report.Quantity(target, quantity.Ohm, 4), nothing, nothing, nothing}
		if fit := w.fit(slot); fit != nil {
			limit := *fit.LimitPercent
			row[3], row[4] = report.Words(fit.Network), report.Quantity(fit.Ohms, quantity.Ohm, report.ByLimit(limit))
			row[5] = report.PercentPair(fit.ErrorPercent, limit)
		}
		out = append(out, row)
	}
	return out
}

// reads is how true a way is.
func (w Way) reads() []report.Cell {
	warm := w.warmed(meter.CopperPerKelvin, warmer)
	row := []report.Cell{report.Words(w.Name), nothing, nothing, report.PercentError(warm[0], math.NaN()), report.PercentError(warm[1], math.NaN())}
	if w.Filled {
		for r := range w.Errors {
			row[1+r] = report.PercentPair(w.Errors[r], w.Limits[r].Limit)
		}
	}
	return row
}
