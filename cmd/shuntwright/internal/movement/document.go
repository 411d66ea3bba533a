package movement

import (
	"fmt"
	"math"

	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/meter/quantity"
)

// answer is the JSON of movement drop, half and compare.
type answer struct {
	Method                 string       `json:"method,omitempty"`
	FullScaleAmperes       report.Maybe `json:"full_scale_amperes,omitempty"`
	FullScaleLimitAmperes  report.Maybe `json:"full_scale_limit_amperes,omitempty"`
	CoilOhms               report.Maybe `json:"coil_ohms,omitempty"`
	LimitOhms              report.Maybe `json:"limit_ohms,omitempty"`
	CoverageFactor         report.Maybe `json:"coverage_factor,omitempty"`
	DropVolts              report.Maybe `json:"drop_volts,omitempty"`
	ShortcutOhms           report.Maybe `json:"shortcut_ohms,omitempty"`
	ShortcutErrorPercent   report.Maybe `json:"shortcut_error_percent,omitempty"`
	BatteryVolts           report.Maybe `json:"battery_volts,omitempty"`
	StartSeriesOhms        report.Maybe `json:"start_series_ohms,omitempty"`
	FullScaleSeriesOhms    report.Maybe `json:"full_scale_series_ohms,omitempty"`
	StraightAmperes        report.Maybe `json:"straight_amperes,omitempty"`
	StraightTimesFullScale report.Maybe `json:"straight_times_full_scale,omitempty"`
	OhmmeterAmperes        report.Maybe `json:"ohmmeter_amperes,omitempty"`
	OhmmeterTimesFullScale report.Maybe `json:"ohmmeter_times_full_scale,omitempty"`
	Written                string       `json:"written,omitempty"`
	report.Notes
}

// Document shows a finding; battery is the zero Value where none is given, written
// the meter file that it went into. Before anything is measured the coil is not
// known, and what is left is how to start.
func (f Finding) Document(battery quantity.Value, assumed []string, written string) report.Document {
	answer := &answer{
		Method: f.Method, Written: written, FullScaleAmperes: report.Some(f.FullScale.Value), FullScaleLimitAmperes: limitOf(f.FullScale),
		CoilOhms: report.Some(f.Coil.Value), LimitOhms: limitOf(f.Coil), CoverageFactor: report.Some(f.Coil.Limit.Factor),
		DropVolts: report.Some(f.Coil.Value * f.FullScale.Value), ShortcutOhms: report.Some(f.Shortcut),
		ShortcutErrorPercent: report.Some(100 * (f.Shortcut/f.Coil.Value - 1)),
	}
	doc := report.Document{Heading: f.heading(), Tables: []report.Table{f.table()}, Closing: f.closing(), Good: true, Answer: answer}
	if battery.Text != "" && f.FullScale.Known() {
		doc.BottomLine = append(doc.BottomLine, f.start(battery, answer))
	}
	answer.Cautions, answer.Assumptions = []report.Caution{f.ohmmeter(answer)}, assumed
	doc.Notes = answer.Notes
	return doc
}

// limitOf is the limit of a figure, nil where it has none.
func limitOf(f Figure) report.Maybe {
	if f.Limit.Limit == 0 {
		return nil
	}
	return report.Some(f.Limit.Limit)
}

// heading says what was found, or that nothing was measured yet.
func (f Finding) heading() string {
	switch {
	case f.Method == "":
		return "before anything is connected: full scale " + f.FullScale.words(quantity.Ampere)
	case !f.FullScale.Known():
		return "coil " + f.Coil.words(quantity.Ohm)
	}
	return "full scale " + f.FullScale.words(quantity.Ampere) + ", coil " + f.Coil.words(quantity.Ohm)
}

// words is a figure with its limit: "98.6 Ω ±1.1 Ω".
func (f Figure) words(unit quantity.Unit) string {
	text := quantity.Format(f.Value, unit, f.Digits())
	if f.Limit.Limit > 0 {
		text += " ±" + quantity.Format(f.Limit.Limit, unit, 2)
	}
	return text
}

// Digits are those down to the second of the figure's limit.
func (f Figure) Digits() int {
	if f.Limit.Limit == 0 {
		return 4
	}
	return min(max(quantity.Digits(f.Value, f.Limit.Limit/10), 2), 6)
}

// table lists what is known of the movement.
func (f Finding) table() report.Table {
	table := report.Table{Name: "movement", Columns: []report.Column{
		{Title: "movement", Key: "figure"}, {Title: "value", Key: "value", Number: true}, {Title: "limit", Key: "limit", Number: true},
	}}
	add := func(name, key string, of Figure, unit quantity.Unit, digits int) {
		if !of.Known() {
			return
		}
		row := []report.Cell{report.Pair(name, key), report.Quantity(of.Value, unit, digits), report.None()}
		if limit := of.Limit.Limit; limit > 0 {
			row[2] = report.Pair("±"+quantity.Format(limit, unit, 2), report.Exact(limit))
		}
		table.Rows = append(table.Rows, row)
	}
	add("full-scale current", "full_scale_amperes", f.FullScale, quantity.Ampere, f.FullScale.Digits())
	add("coil", "coil_ohms", f.Coil, quantity.Ohm, f.Coil.Digits())
	add("drop at full scale", "drop_volts", Exactly(f.Coil.Value*f.FullScale.Value), quantity.Volt, min(f.Coil.Digits(), f.FullScale.Digits()))
	return table
}

// poor is the limit of a coil, in percent of it, above which another method is
// named.
const poor = 5

// closing says what the coil's limit comes from, how far off the textbooks' short
// cut is, and names half deflection where comparing leaves little of a low coil
// behind high resistors: that method's reading error goes by the coil alone.
func (f Finding) closing() (out []string) {
	if name, share := f.Coil.mostly(); name != "" {
		out = append(out, fmt.Sprintf("%.0f %% of the coil's limit comes from %s", 100*share, name))
	}
	if !math.IsNaN(f.Shortcut) {
		out = append(out, fmt.Sprintf("the shunt taken for the coil, as in textbooks, would give %s: %.2g %% low",
			quantity.Format(f.Shortcut, quantity.Ohm, f.Coil.Digits()), 100*(1-f.Shortcut/f.Coil.Value)))
	}
	if f.Method == "compare" && 100*f.Coil.Limit.Limit/f.Coil.Value > poor {
		out = append(out, "behind series resistors much larger than the coil the pointer hardly tells it; shuntwright movement half does")
	}
	return out
}

// startTimes is how much more than full scale takes with no coil at all the series
// resistor to start from is (the rule of a sheet "D-C Meter Formulas" in an
// electronics data handbook).
const startTimes = 2

// start says where to start with a battery, and what it would drive through the
// movement alone.
func (f Finding) start(battery quantity.Value, answer *answer) string {
	full := battery.Base / f.FullScale.Value
	answer.BatteryVolts, answer.StartSeriesOhms = report.Some(battery.Base), report.Some(startTimes*full)
	words := fmt.Sprintf("with %s start from %s in series", battery.Text, quantity.Format(startTimes*full, quantity.Ohm, 2))
	if !f.Coil.Known() {
		return words + fmt.Sprintf(" and come down; full scale takes %s, less the coil", quantity.Format(full, quantity.Ohm, 3))
	}
	straight := battery.Base / f.Coil.Value
	answer.StraightAmperes, answer.StraightTimesFullScale = report.Some(straight), report.Some(straight/f.FullScale.Value)
	if full -= f.Coil.Value; full > 0 {
		answer.FullScaleSeriesOhms = report.Some(full)
		words += fmt.Sprintf(" and come down; full scale takes %s", quantity.Format(full, quantity.Ohm, 3))
	}
	return words + fmt.Sprintf("; straight across it would flow %s, %s", quantity.Format(straight, quantity.Ampere, 2), times(straight/f.FullScale.Value))
}

// times is a current in words, as a multiple of full scale.
func times(n float64) string { return quantity.Format(n, quantity.Number, 2) + " × full scale" }

// What ohmmeters drive through what they measure: on its lowest range a pointer
// instrument is 1.5 V behind 24 Ω (Bell, Electronic Instrumentation and
// Measurements, 2nd ed., example 3-16, p. 65: 62.5 mA through no resistance); a
// digital one drives 0.1 to 1 mA on its low ranges (from memory).
const (
	ohmmeterVolts  = 1.5
	ohmmeterOhms   = 24
	digitalAmperes = 1e-3
)

// ohmmeter is the warning of an ohmmeter, with its figure for this movement.
func (f Finding) ohmmeter(answer *answer) report.Caution {
	through := ohmmeterVolts / ohmmeterOhms
	if f.Coil.Known() {
		through = ohmmeterVolts / (ohmmeterOhms + f.Coil.Value)
	}
	answer.OhmmeterAmperes = report.Some(through)
	multiple := func(float64) string { return "" }
	if f.FullScale.Known() {
		answer.OhmmeterTimesFullScale = report.Some(through / f.FullScale.Value)
		multiple = func(amperes float64) string { return " (" + times(amperes/f.FullScale.Value) + ")" }
	}
	current := quantity.Format(through, quantity.Ampere, 2)
	return report.Caution{
		Line: fmt.Sprintf("an ohmmeter can bend or burn it: %s%s on its lowest range; see shuntwright help movement", current, multiple(through)),
		Text: fmt.Sprintf("an ohmmeter can bend or burn a movement: on its lowest range a pointer instrument, 1.5 V behind 24 Ω (Bell, ex. 3-16), drives %s through this one, a digital one up to 1 mA%s, from memory",
			current+multiple(through), multiple(digitalAmperes)),
	}
}
