package movement

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strings"

	"shuntwright/cmd/shuntwright/internal/asbuilt"
	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/inventory"
	"shuntwright/meter"
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

// Document finds the ways that there are, and shows them and which comes closer. The
// error says why the new movement cannot stand in.
func (s StandIn) Document(ctx context.Context, assumed []string) (report.Document, error) {
	ways, err := s.ways(ctx)
	if err != nil {
		return report.Document{}, err
	}
	answer := &standInAnswer{Old: sideOf(s.Old), New: sideOf(s.New)}
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
		a := w.answer()
		answer.Ways = append(answer.Ways, a)
		parts.Rows = append(parts.Rows, a.rows()...)
		reads.Rows = append(reads.Rows, w.reads(a))
		for _, l := range slices.Concat(w.leaves[:]...) {
			used = append(used, l.Measured)
		}
	}
	answer.Assumptions = report.Unique(append(assumed, asbuilt.Assumptions(used)...))
	answer.Warnings = append(asbuilt.Warnings(used), s.unrated(ways)...)
	old := meter.CopperPerKelvin * warmer
	doc := report.Document{
		Heading: fmt.Sprintf("%s made to look like %s", s.New.words(), s.Old.words()), Tables: []report.Table{parts, reads}, Answer: answer, Notes: answer.Notes,
		Closing: []string{fmt.Sprintf("no range of a meter is further off than the worse of the two; the old movement %d K warmer: 0 and %.1f %%", warmer, -100*old/(1+old))},
	}
	var line string
	line, answer.Best = s.bottomLine(ways)
	doc.BottomLine, doc.Good = []string{line}, answer.Best != "" || len(s.Chosen) == 0
	if s.Old.From != "" && doc.Good {
		doc.Next = "shuntwright check " + report.InShell(s.Old.From)
	} else if len(s.Chosen) == 0 {
		doc.Next = "shuntwright drawer add"
	}
	return doc, nil
}

func sideOf(s Side) sideAnswer { return sideAnswer{s.Amperes.Value, s.Ohms.Value} }

// words are a movement's figures: "500 µA, 150 Ω".
func (s Side) words() string {
	return report.Short(s.Amperes.Value, quantity.Ampere) + ", " + report.Short(s.Ohms.Value, quantity.Ohm)
}

// bottomLine says which way comes closer; best is its name, empty where none is
// filled.
func (s StandIn) bottomLine(ways []way) (words, best string) {
	at := closer(ways)
	switch {
	case len(s.Chosen) == 0:
		return "no part of a drawer is free for it: these are the resistances to make", ""
	case at < 0:
		return fmt.Sprintf("nothing in the drawer comes within %g %%; allow more --parts (now %d), widen --within, or measure more parts", 100*s.Within, s.AtMost), ""
	}
	w := ways[at]
	limit := max(w.limits[0].Limit, w.limits[1].Limit)
	words = fmt.Sprintf("every range of the meter stays within %s of what it was", strings.TrimPrefix(report.PercentPair(w.worst(), limit).Text, "+"))
	if len(ways) > 1 {
		words = fmt.Sprintf("%s comes closer: %s", w.name, words)
	}
	if !w.proven {
		words += " (not proven: the search was ended)"
	}
	return words, w.name
}

// unrated warns of parts that are held against no rating.
func (s StandIn) unrated(ways []way) []string {
	var ids []string
	for _, w := range ways {
		for _, n := range w.networks {
			ids = append(ids, n.IDs()...)
		}
	}
	slices.Sort(ids)
	if ids = s.Bench.Unrated(slices.Compact(ids)); len(ids) == 0 {
		return nil
	}
	return []string{"watts and volts are not known of " + report.List(ids) + "; --rated-only leaves such parts out"}
}

// answer is a way in JSON.
func (w *way) answer() wayAnswer {
	out := wayAnswer{Way: w.name, ParallelOhms: report.Some(w.targets[parallel]), Series: w.fit(series), Parallel: w.fit(parallel)}
	if w.targets[series] != 0 {
		out.SeriesOhms = report.Some(w.targets[series])
	}
	warm := w.warmed(meter.CopperPerKelvin, warmer)
	out.WarmerCurrentErrorPercent, out.WarmerVoltageErrorPercent = warm[byCurrent], warm[byVoltage]
	if !w.filled {
		return out
	}
	ohms := w.ohms()
	looks := w.looks(ohms[series], ohms[parallel])
	out.FullScaleAmperes, out.CoilOhms = report.Some(looks.amperes), report.Some(looks.ohms)
	out.CurrentErrorPercent, out.CurrentLimitPercent = report.Some(w.errs[byCurrent]), report.Some(w.limits[byCurrent].Limit)
	out.VoltageErrorPercent, out.VoltageLimitPercent = report.Some(w.errs[byVoltage]), report.Some(w.limits[byVoltage].Limit)
	out.WorstErrorPercent, out.Proven = report.Some(w.worst()), &w.proven
	return out
}

// fit is what takes the place of a resistor, nil for nothing.
func (w *way) fit(slot int) *fitAnswer {
	if len(w.leaves[slot]) == 0 {
		return nil
	}
	n, ohms := w.networks[slot], w.ohms()[slot]
	return &fitAnswer{n.String(), n.IDs(), ohms, 100 * (ohms/w.targets[slot] - 1), report.Some(asbuilt.ValueLimit(n, w.leaves[slot]).Limit)}
}

// rows are the resistors of a way.
func (a wayAnswer) rows() [][]report.Cell {
	var out [][]report.Cell
	for _, one := range []struct {
		name string
		ohms report.Maybe
		fit  *fitAnswer
	}{{"series", a.SeriesOhms, a.Series}, {"parallel", a.ParallelOhms, a.Parallel}} {
		if one.ohms == nil {
			continue
		}
		row := []report.Cell{report.Words(a.Way), report.Words(one.name), report.Quantity(*one.ohms, quantity.Ohm, 4), nothing, nothing, nothing}
		if fit := one.fit; fit != nil {
			limit := *fit.LimitPercent
			row[3], row[4] = report.Words(fit.Network), report.Quantity(fit.Ohms, quantity.Ohm, report.ByLimit(limit))
			row[5] = report.PercentPair(fit.ErrorPercent, limit)
		}
		out = append(out, row)
	}
	return out
}

// nothing is a cell of a column that is not shown where nothing is in it.
var nothing = report.Cell{Silent: true}

// reads is how true a way is.
func (w *way) reads(a wayAnswer) []report.Cell {
	row := []report.Cell{report.Words(w.name), nothing, nothing, report.PercentError(a.WarmerCurrentErrorPercent, math.NaN()), report.PercentError(a.WarmerVoltageErrorPercent, math.NaN())}
	if w.filled {
		for r := range w.errs {
			row[1+r] = report.PercentPair(w.errs[r], w.limits[r].Limit)
		}
	}
	return row
}
