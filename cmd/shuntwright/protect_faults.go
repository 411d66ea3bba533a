package main

import (
	"fmt"
	"math"

	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/match"
	"shuntwright/meter"
	"shuntwright/meter/protect"
	"shuntwright/meter/quantity"
)

// momentary is how many times full scale a moving coil stands for a moment
// (common practice; no source was found).
const momentary = 10

// forcedVolts is what stands behind a current range where nobody says more.
const forcedVolts = 300

// supply is what feeds a current range that has no voltage of its own, in volts.
func (c *call) supply() float64 { return c.options.supply.or(forcedVolts) }

// fault is one position failing on one range, in JSON: all of it, and each of
// its parts by itself where it has several.
type fault struct {
	Position    string  `json:"position"`
	Range       string  `json:"range"`
	Fault       string  `json:"fault"`
	SupplyVolts float64 `json:"supply_volts"`
	SourceOhms  float64 `json:"source_ohms"`
	damage
	Diode     string `json:"diode"`
	WorstPart string `json:"worst_part,omitempty"`
	Parts     []part `json:"parts,omitempty"`
}

// part is one part of a network failing by itself, in JSON.
type part struct {
	Part string `json:"part"`
	damage
}

// damage is what the movement then carries, in JSON.
type damage struct {
	Amperes    float64      `json:"movement_amperes"`
	Times      float64      `json:"times_full_scale"`
	WithDiodes report.Maybe `json:"with_diodes_times_full_scale,omitempty"`
	Survives   bool         `json:"survives_a_moment"`
}

func damaged(d protect.Damage) damage {
	return damage{d.MovementAmperes, d.TimesFullScale, report.Some(d.WithDiodesTimes), d.Last() <= momentary}
}

// last is what the movement carries in the end, in full scales.
func (d damage) last() float64 {
	if d.WithDiodes != nil {
		return *d.WithDiodes
	}
	return d.Times
}

// single is what a single fault does: all of what opens, as one joint opens it;
// the worst part of what shorts.
func (f fault) single() damage {
	for _, p := range f.Parts {
		if f.Fault == "short" && p.Part == f.WorstPart {
			return p.damage
		}
	}
	return f.damage
}

// wreck is a meter whose parts fail one after the other.
type wreck struct {
	c      *call
	s      *setup
	clamp  protect.Clamp
	faults []fault
	state  meter.State // in which they failed
	supply float64     // volts, of current ranges without a voltage of their own
}

// fail solves every position failing on every range that it serves, in the
// order of the ranges.
func (w *wreck) fail(state meter.State, supply float64) error {
	w.state, w.supply = state, supply
	fitted := map[int]protect.Fitted{}
	for i, p := range w.s.Positions {
		var ohms []float64
		for _, l := range w.s.Leaves[i] {
			ohms = append(ohms, l.Measured.Ohms)
		}
		fitted[p.Resistor] = protect.Fitted{Network: w.s.Networks[i], Ohms: ohms}
	}
	for r, one := range w.s.Ranges {
		volts, ohms := w.c.source(one, supply)
		found, err := protect.Faults(w.s.Meter, state, r, protect.Supply(volts, ohms), w.clamp, fitted)
		if err != nil {
			return err
		}
		for _, f := range found {
			w.add(f, one, volts, ohms)
		}
	}
	return nil
}

// add puts one fault into the words of the answer.
func (w *wreck) add(f protect.Fault, r meter.Range, volts, ohms float64) {
	out := fault{Position: w.s.Meter.Resistors()[f.Resistor].Name, Range: r.Name, Fault: "open", SupplyVolts: volts, SourceOhms: ohms,
		damage: damaged(f.Damage), Diode: w.c.options.diode}
	if f.Short {
		out.Fault = "short"
	}
	for _, p := range f.Parts {
		out.Parts = append(out.Parts, part{p.Part, damaged(p.Damage)})
	}
	if worst := f.Worst(); worst != nil {
		out.WorstPart = worst.Part
	}
	w.faults = append(w.faults, out)
}

// survives tells whether no single fault burns the movement.
func (w *wreck) survives() bool {
	for _, f := range w.faults {
		if !f.single().Survives {
			return false
		}
	}
	return true
}

// source is what feeds a range: volts behind ohms.
func (c *call) source(r meter.Range, supply float64) (volts, ohms float64) {
	volts, ohms = r.FullScale, 0
	if r.Unit == quantity.Ampere {
		volts = supply
		if own := math.Abs(r.CircuitVolts); own > 0 {
			volts = own
		}
		ohms = volts / r.FullScale
	}
	if c.flags.Changed("source-ohms") {
		ohms = c.options.sourceOhms.base()
	}
	return volts, ohms
}

// sourceAssumption says what feeds the faults where the flags do not.
func (c *call) sourceAssumption(supply float64) []string {
	if c.flags.Changed("supply") {
		return nil
	}
	return []string{fmt.Sprintf("fed by full scale on voltage ranges, by circuit_volts or %s else", quantity.Format(supply, quantity.Volt, 3))}
}

// supplyWords say first which voltage was assumed, where current ranges hang on
// one that nobody named.
func (c *call) supplyWords(s *setup, supply float64) []string {
	var names []string
	for _, r := range s.Ranges {
		if r.Unit == quantity.Ampere && !(math.Abs(r.CircuitVolts) > 0) {
			names = append(names, r.Name)
		}
	}
	if len(names) == 0 || c.flags.Changed("supply") {
		return nil
	}
	return []string{fmt.Sprintf("taken to be fed from %s: %s; --supply says from what", quantity.Format(supply, quantity.Volt, 3), report.Few(names, 3))}
}

// worstFirst are the faults that the bench needs: of each position that opens
// or shorts the range on which a single fault does most.
func (w *wreck) worstFirst() []fault {
	var out []fault
	at := map[[2]string]int{}
	for _, f := range w.faults {
		key := [2]string{f.Position, f.Fault}
		if k, known := at[key]; !known {
			at[key] = len(out)
			out = append(out, f)
		} else if f.single().last() > out[k].single().last() {
			out[k] = f
		}
	}
	return out
}

// faultColumns are those of both tables of faults.
func faultColumns() []report.Column {
	return []report.Column{
		{Title: "part", Key: "position", Flexible: true},
		{Title: "", Key: "part", Bare: true},
		{Title: "range", Key: "range", Flexible: true, Known: true},
		{Title: "fails", Key: "fault"},
		{Title: "bare", Key: "times_full_scale", Number: true},
		{Title: "with diodes", Key: "with_diodes_times_full_scale", Number: true},
		{Title: "with them it", Key: "survives"},
	}
}

// harmless is how many times full scale a meter bears all day.
const harmless = 1 + match.Overdrive/100.

// worstTable is what the bench needs, and how many faults it leaves out that
// nobody would notice.
func (w *wreck) worstTable() (report.Table, []string) {
	table := report.Table{Name: "worst", Bench: true, Columns: faultColumns()}
	slight := 0
	for _, f := range w.worstFirst() {
		if f.Times <= harmless && f.last() <= harmless {
			slight++
			continue
		}
		table.Rows = append(table.Rows, faultRows(f, false)...)
	}
	if slight == 0 {
		return table, nil
	}
	return table, []string{fmt.Sprintf("%d more %s would stay within %g times full scale (--full)", slight, report.Plural(slight, "fault"), harmless)}
}

// table is every fault on every range, with every part of it.
func (w *wreck) table() report.Table {
	table := report.Table{Name: "faults", Detail: true, Heading: "every part on every range", Columns: faultColumns()}
	for _, f := range w.faults {
		table.Rows = append(table.Rows, faultRows(f, true)...)
	}
	return table
}

// faultRows are a fault of the whole network, and before it those of its parts,
// or of the worst of them.
func faultRows(f fault, all bool) [][]report.Cell {
	row := func(name, part string, d damage) []report.Cell {
		word := report.Cell{Text: "survives", Mark: report.Fine}
		if !d.Survives {
			word = report.Cell{Text: "burns", Mark: report.Wrong}
		}
		with := report.None()
		if d.WithDiodes != nil {
			with = times(*d.WithDiodes)
		}
		return []report.Cell{report.Pair(name, f.Position), report.Words(part), report.Words(f.Range), report.Words(f.Fault), times(d.Times), with, word}
	}
	var rows [][]report.Cell
	for _, p := range f.Parts {
		if all || p.Part == f.WorstPart && len(rows) == 0 {
			rows = append(rows, row(p.Part+" of "+f.Position, p.Part, p.damage))
		}
	}
	name := f.Position
	if len(f.Parts) > 0 {
		name = "all of " + f.Position
	}
	return append(rows, row(name, "", f.damage))
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
