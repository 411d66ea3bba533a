package main

import (
	"fmt"
	"math"
	"slices"

	"shuntwright/cmd/shuntwright/internal/asbuilt"
	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/meter"
	"shuntwright/meter/nodal"
	"shuntwright/meter/protect"
	"shuntwright/meter/quantity"
)

// usualDiode is looked at where nobody names another.
const usualDiode = "1N4007"

func protectCommand() *command {
	return &command{
		name: "protect", operands: "METER", least: 1, most: 1,
		does: "says what the movement carries when a part fails, with and without clamp diodes",
		more: `Whatever lies across the movement opens, whatever stands before it shorts, one at
a time; of a string or several parts side by side each part by itself too. A
current range is fed by its circuit-volts, or where it has none by --supply,
behind --source-ohms, or behind what lets its full-scale current flow; a voltage
range by its full-scale voltage. A moving coil stands ten times full scale for a
moment (common practice). A string of several parts is judged by its worst part:
all of them shorting at once is more than one fault.`,
		example: `shuntwright protect bench.json --supply 300V --source-ohms 1k --diode 1N4148
  what each failing part does to the movement, with two diodes back to back`,
		flags: []string{"drawer", "instruments", "supply", "source-ohms", "diode", "in-series", "across", "temperature"},
		run:   runProtect,
	}
}

// protectAnswer is the JSON of protect.
type protectAnswer struct {
	Meter       string       `json:"meter"`
	SupplyVolts float64      `json:"supply_volts"`
	SourceOhms  report.Maybe `json:"source_ohms,omitempty"`
	Survives    bool         `json:"survives_a_moment"`
	Faults      []fault      `json:"faults"`
	Leakage     []leak       `json:"leakage"`
	report.Notes
}

// leak is what the diodes cost one range, in JSON.
type leak struct {
	Range string       `json:"range"`
	Error float64      `json:"error_percent"`
	Warm  report.Maybe `json:"error_percent_at_temperature,omitempty"`
}

// runProtect answers protect.
func runProtect(c *call) (report.Document, error) {
	clamp, err := c.clamp()
	if err != nil {
		return report.Document{}, err
	}
	s, err := c.openSetup(c.args[0], false)
	if err != nil {
		return report.Document{}, err
	}
	answer := protectAnswer{Meter: s.Meter.Name, SupplyVolts: c.supply(), SourceOhms: report.Some(c.options.sourceOhms.base()),
		Faults: []fault{}, Leakage: []leak{}}
	state, assumed := s.builtState()
	answer.Assumptions = slices.Concat(assumed, c.sourceAssumption(answer.SupplyVolts), asbuilt.RingOut(s.Meter))
	w := wreck{c: c, s: s, clamp: clamp}
	if err := w.fail(s.AtTemperature(state, c.options.temperature.base()), answer.SupplyVolts); err != nil {
		return report.Document{}, inFile(s.Path, err)
	}
	leaks, leakTable, err := c.leaks(s, state, clamp)
	if err != nil {
		return report.Document{}, err
	}
	answer.Faults, answer.Leakage, answer.Survives = append(answer.Faults, w.faults...), append(answer.Leakage, leaks...), w.survives()
	assumedSupply := c.supplyWords(s, answer.SupplyVolts)
	if answer.Cautions = asbuilt.Cautions(s.Meter); asbuilt.Hazardous(answer.SupplyVolts) && (len(answer.Cautions) == 0 && len(assumedSupply) > 0 || c.flags.Changed("supply")) {
		answer.Cautions = append(answer.Cautions, asbuilt.HighVoltage(quantity.Format(answer.SupplyVolts, quantity.Volt, 3), asbuilt.VoltageCaution))
	}
	answer.Warnings = w.warnings()
	worst, slight := w.worstTable()
	return report.Document{
		Heading: w.headline(), BottomLine: append(w.further(), assumedSupply...), Tables: []report.Table{worst, w.table(), leakTable},
		Closing: slices.Concat(slight, w.advice(), w.leakWords(leaks)), Notes: answer.Notes, Answer: answer, Good: w.survives(),
	}, nil
}

// clamp reads the flags that describe the diodes.
func (c *call) clamp() (protect.Clamp, error) {
	o := &c.options
	model, err := protect.ParseModel(o.diode)
	if err != nil {
		return protect.Clamp{}, misused("--diode: %w", err)
	}
	place, known := protect.Places[o.across]
	if !known {
		return protect.Clamp{}, misused("--across %q: the diodes lie across movement, coil, terminals or shunt", o.across)
	}
	if o.inSeries < 1 || o.inSeries > 10 {
		return protect.Clamp{}, misused("--in-series %d: 1 to 10 diodes each way", o.inSeries)
	}
	diode := nodal.Diode{Model: model, InSeries: o.inSeries, Celsius: roomCelsius}
	if c.flags.Changed("temperature") {
		diode.Celsius = o.temperature.value.Base
	}
	if err := diode.Check(); err != nil {
		return protect.Clamp{}, misused("--diode: %w", err)
	}
	return protect.Clamp{Diode: diode, Across: place}, nil
}

// roomCelsius is the temperature at which diodes are looked at first.
const roomCelsius = 25

// clampWords describe the diodes.
func (c *call) clampWords() string {
	return fmt.Sprintf("%d %s each way across the %s", c.options.inSeries, c.options.diode, c.options.across)
}

// builtState is the meter as fitted; open positions are taken to be on target.
func (s *setup) builtState() (meter.State, []string) {
	values := s.Ohms()
	var open []string
	for i, p := range s.Meter.Predict(values).Positions {
		if s.IsOpen(i) && isNumber(p.TargetOhms) {
			values[i] = p.TargetOhms
			open = append(open, s.Positions[i].Name)
		}
	}
	if len(open) == 0 {
		return s.Meter.State(values), nil
	}
	return s.Meter.State(values), []string{"open, and taken to be on target: " + report.Few(open, 1)}
}

// leaks is the price of the diodes: what they add to the error at full scale,
// at 25 °C and at the temperature of the flag.
func (c *call) leaks(s *setup, state meter.State, clamp protect.Clamp) ([]leak, report.Table, error) {
	table := report.Table{Name: "leakage", Detail: true, Columns: []report.Column{
		{Title: "range", Key: "range", Flexible: true},
		{Title: "diodes add at 25 °C", Key: "error_percent", Number: true},
	}}
	warm := clamp
	clamp.Diode.Celsius = roomCelsius
	cold, err := protect.Leakage(s.Meter, state, clamp)
	if err != nil {
		return nil, table, inFile(s.Path, err)
	}
	var all []leak
	for _, l := range cold {
		all = append(all, leak{Range: s.Ranges[l.Range].Name, Error: l.ErrorPercent})
		table.Rows = append(table.Rows, []report.Cell{report.Words(s.Ranges[l.Range].Name), leakCell(l.ErrorPercent)})
	}
	if !c.flags.Changed("temperature") {
		return all, table, nil
	}
	table.Columns = append(table.Columns, report.Column{Title: "at " + quantity.Format(warm.Diode.Celsius, quantity.Celsius, 3),
		Key: "error_percent_at_temperature", Number: true})
	hot, err := protect.Leakage(s.Meter, s.AtTemperature(state, c.options.temperature.base()), warm)
	if err != nil {
		return nil, table, inFile(s.Path, err)
	}
	for i, l := range hot {
		all[i].Warm = report.Some(l.ErrorPercent)
		table.Rows[i] = append(table.Rows[i], leakCell(l.ErrorPercent))
	}
	return all, table, nil
}

// leakCell shows two digits: more than the parameters of any diode carry.
func leakCell(percent float64) report.Cell {
	if math.Abs(percent) < noLeak {
		return report.Pair("0 %", report.Exact(percent))
	}
	return report.Pair(fmt.Sprintf("%.2g %%", percent), report.Exact(percent))
}

// leakWords say what the diodes cost at most at full scale, cold or warm, and
// what to do where that is more than the class.
func (w *wreck) leakWords(leaks []leak) []string {
	most, at, where := 0.0, "", ""
	for _, l := range leaks {
		if math.Abs(l.Error) > math.Abs(most) {
			most, at, where = l.Error, l.Range, fmt.Sprintf("%d °C", roomCelsius)
		}
		if l.Warm != nil && math.Abs(*l.Warm) > math.Abs(most) {
			most, at, where = *l.Warm, l.Range, quantity.Format(w.clamp.Diode.Celsius, quantity.Celsius, 3)
		}
	}
	if math.Abs(most) < noLeak {
		return nil
	}
	out := []string{fmt.Sprintf("the diodes take %s of full scale on %s at %s (an order of magnitude)", leakCell(most).Text, at, where)}
	class := w.s.Meter.Class
	if math.IsNaN(class) {
		class = usualClass
	}
	if math.Abs(most) > class/4 {
		instead := fmt.Sprintf("more of them in series (--in-series %d)", w.clamp.Diode.InSeries+1)
		if w.s.Meter.Movement.SwampOhms > 0 && w.clamp.Across != protect.AcrossCoil {
			instead += ", or across the coil alone (--across coil)"
		}
		out = append(out, fmt.Sprintf("that is too much for class %g: %s", class, instead))
	}
	return out
}

// noLeak is what of a leak in percent of full scale nobody could measure.
const noLeak = 1e-4

// usualClass is what is taken where the meter has none: the largest class of
// IEC 60051.
const usualClass = 5
