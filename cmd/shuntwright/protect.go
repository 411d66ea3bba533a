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

// momentary is how many times full scale a moving coil stands for a moment
// (common practice; no source was found).
const momentary = 10

// forcedVolts is what stands behind a current range where nobody says more.
const forcedVolts = 300

func protectCommand() *command {
	return &command{
		name: "protect", operands: "METER", least: 1, most: 1,
		does: "says what the movement carries when a part fails, with and without clamp diodes",
		more: `Every part that lies across the movement opens, every multiplier shorts, one at a
time. The fault is fed by --supply behind --source-ohms; without --source-ohms by
the supply behind what lets the range's full-scale current flow. A moving coil
stands ten times full scale for a moment (common practice).`,
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
	Faults      []fault      `json:"faults"`
	Leakage     []leak       `json:"leakage"`
	report.Notes
}

// fault is one part failing on one range, in JSON.
type fault struct {
	Position   string       `json:"position"`
	Range      string       `json:"range"`
	Fault      string       `json:"fault"`
	Amperes    float64      `json:"movement_amperes"`
	Times      float64      `json:"times_full_scale"`
	Diode      string       `json:"diode"`
	WithDiodes report.Maybe `json:"with_diodes_times_full_scale,omitempty"`
	Survives   bool         `json:"survives_a_moment"`
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
	answer := protectAnswer{Meter: s.Meter.Name, SupplyVolts: forcedVolts, SourceOhms: report.Some(c.options.sourceOhms.base()),
		Faults: []fault{}, Leakage: []leak{}}
	if given := c.options.supply.base(); isNumber(given) {
		answer.SupplyVolts = given
	}
	state, assumed := s.builtState()
	answer.Assumptions = slices.Concat(assumed, c.sourceAssumption(answer.SupplyVolts), asbuilt.RingOut(s.Meter))
	faults, table, err := c.faults(s, s.AtTemperature(state, c.options.temperature.base()), clamp, answer.SupplyVolts)
	if err != nil {
		return report.Document{}, err
	}
	answer.Faults = faults
	leaks, leakTable, err := c.leaks(s, state, clamp)
	if err != nil {
		return report.Document{}, err
	}
	answer.Leakage = leaks
	answer.Warnings = []string{"published parameters of one and the same diode differ by a factor of 20 to 127 in leakage: take the leakage as an order of magnitude"}
	if answer.Cautions = asbuilt.Of(s.Meter); asbuilt.Hazardous(answer.SupplyVolts) {
		answer.Cautions = []report.Caution{asbuilt.Over(quantity.Format(answer.SupplyVolts, quantity.Volt, 3), asbuilt.Voltage)}
	}
	answer.Warnings = append(answer.Warnings, "a shunt that opens puts the whole voltage of its lead across the meter's terminals, whatever the diodes do for the movement")
	return report.Document{
		Heading: fmt.Sprintf("%s: times full scale that the movement carries when a part fails, bare and with %s", s.Meter.Name, c.clampWords()),
		Tables:  []report.Table{table, leakTable}, Closing: survival(faults, c.clampWords()),
		Notes: answer.Notes, Answer: answer, Good: !slices.ContainsFunc(faults, func(f fault) bool { return !f.Survives }),
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
	var assumed []string
	for i, p := range s.Meter.Predict(values).Positions {
		if s.IsOpen(i) && isNumber(p.TargetOhms) {
			values[i] = p.TargetOhms
			assumed = append(assumed, fmt.Sprintf("%s is open and taken to be on its target", s.Positions[i].Name))
		}
	}
	return s.Meter.State(values), assumed
}

// sourceAssumption says what feeds the faults where the flags do not.
func (c *call) sourceAssumption(supply float64) []string {
	if c.flags.Changed("source-ohms") {
		return nil
	}
	volts := quantity.Format(supply, quantity.Volt, 3)
	if !c.flags.Changed("supply") {
		volts = "their circuit_volts, or " + volts + " where there are none,"
	}
	return []string{fmt.Sprintf("current ranges are fed by %s behind what lets their full-scale current flow, voltage ranges by their full-scale voltage; --supply with --source-ohms describes the real circuit", volts)}
}

// source is what feeds a range.
func (c *call) source(r meter.Range, supply float64) protect.Source {
	switch {
	case c.flags.Changed("source-ohms"):
		return protect.Supply(supply, c.options.sourceOhms.base())
	case r.Unit == quantity.Ampere:
		if volts := math.Abs(r.CircuitVolts); volts > 0 && !c.flags.Changed("supply") {
			supply = volts
		}
		return protect.Supply(supply, supply/r.FullScale)
	}
	return protect.Supply(r.FullScale, 0)
}

// faults solves every part failing on every range that it serves.
func (c *call) faults(s *setup, state meter.State, clamp protect.Clamp, supply float64) ([]fault, report.Table, error) {
	table := report.Table{Name: "faults", Columns: []report.Column{
		{Title: "part", Key: "position", Flexible: true},
		{Title: "range", Key: "range", Flexible: true},
		{Title: "fails", Key: "fault"},
		{Title: "bare", Key: "times_full_scale", Number: true},
		{Title: "with diodes", Key: "with_diodes_times_full_scale", Number: true},
		{Title: "with them it", Key: "survives"},
	}}
	var all []fault
	for r, one := range s.Ranges {
		found, err := protect.Faults(s.Meter, state, c.source(one, supply), clamp)
		if err != nil {
			return nil, table, inFile(s.Path, err)
		}
		for _, f := range found {
			if f.Range != r {
				continue
			}
			all = append(all, c.fault(f, one))
			table.Rows = append(table.Rows, faultRow(all[len(all)-1], f))
		}
	}
	return all, table, nil
}

// fault puts one fault into the words of the answer.
func (c *call) fault(f protect.Fault, r meter.Range) fault {
	how, last := "open", f.TimesFullScale
	if f.Short {
		how = "short"
	}
	if isNumber(f.WithDiodesTimes) {
		last = f.WithDiodesTimes
	}
	return fault{Position: f.Position, Range: r.Name, Fault: how, Amperes: f.MovementAmperes, Times: f.TimesFullScale,
		Diode: c.options.diode, WithDiodes: report.Some(f.WithDiodesTimes), Survives: last <= momentary}
}

func faultRow(shown fault, f protect.Fault) []report.Cell {
	word := report.Cell{Text: "survives", Mark: report.Fine}
	if !shown.Survives {
		word = report.Cell{Text: "burns", Mark: report.Wrong}
	}
	return []report.Cell{report.Words(shown.Position), report.Words(shown.Range), report.Words(shown.Fault),
		times(f.TimesFullScale), times(f.WithDiodesTimes), word}
}

// times is a multiple of full scale.
func times(x float64) report.Cell {
	if math.IsNaN(x) {
		return report.None()
	}
	if x < 1000 {
		return report.Pair(fmt.Sprintf("%.3g", x), report.Exact(x))
	}
	return report.Pair(fmt.Sprintf("%.0f", x), report.Exact(x))
}

// leaks is the price of the diodes: what they add to the error at full scale,
// at 25 °C and at the temperature of the flag.
func (c *call) leaks(s *setup, state meter.State, clamp protect.Clamp) ([]leak, report.Table, error) {
	table := report.Table{Name: "leakage", Columns: []report.Column{
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
	if math.Abs(percent) < 1e-4 {
		return report.Pair("0 %", report.Exact(percent))
	}
	return report.Pair(fmt.Sprintf("%.2g %%", percent), report.Exact(percent))
}
