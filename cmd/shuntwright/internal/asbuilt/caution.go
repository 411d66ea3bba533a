package asbuilt

import (
	"fmt"
	"math"
	"slices"
	"strconv"

	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/inventory"
	"shuntwright/inventory/instrument"
	"shuntwright/meter"
	"shuntwright/meter/budget"
	"shuntwright/meter/quantity"
	"shuntwright/meter/wiring"
)

// hazardousVolts is where a d.c. voltage counts as hazardous-live
// (IEC 61010-1: 60 V d.c., 30 V a.c. r.m.s.).
const hazardousVolts = 60

// VoltageCaution is the caution in full: what kills, and what to do before touching it.
const VoltageCaution = "voltages above 60 V d.c. (30 V a.c. r.m.s.) kill: disconnect, discharge and verify before touching; " +
	"ratings and insulation (switch, movement, case) must suit the voltage of the lead too, not only the part's; local codes and a licensed practitioner decide"

// HighVoltageTest is what to do where more than that is applied for a reading.
const HighVoltageTest = "above 60 V limit the supply to a few mA, use a reference and leads rated for it, clip on dead, and keep off while it is on"

// Hazardous tells whether a voltage, in volts, needs the caution; NaN does not.
func Hazardous(volts float64) bool { return volts > hazardousVolts }

// Live tells whether a range measures a hazardous voltage, or sits in a lead at one.
func Live(r meter.Range) bool {
	return Hazardous(math.Abs(r.CircuitVolts)) || r.Unit == quantity.Volt && Hazardous(r.FullScale)
}

// Cautions are the cautions of a meter, naming the ranges that are above the limit, or
// sit in a lead that is, and what its switch must do.
func Cautions(m *meter.Meter) []report.Caution {
	var names []string
	highest := 0.0
	for _, r := range m.Ranges() {
		volts, name := r.FullScale, r.Name+" range"
		switch {
		case Hazardous(math.Abs(r.CircuitVolts)):
			volts = math.Abs(r.CircuitVolts)
			name = fmt.Sprintf("%s (in a lead at %s)", r.Name, quantity.Format(volts, quantity.Volt, 3))
		case !Live(r):
			continue
		}
		names, highest = append(names, name), max(highest, volts)
	}
	if len(names) == 0 {
		return nil
	}
	what := report.List(names)
	if len(what) > mostNamed {
		what = fmt.Sprintf("%s, up to %s", report.Counted(len(names), "range"), quantity.Format(highest, quantity.Volt, 3))
	}
	text := report.List(names) + ": " + VoltageCaution
	if volts := leadsApart(m.Ranges()); volts > 0 {
		text += fmt.Sprintf("; leads up to %s apart: the switch must break before it makes, or it shorts them, and must stand that; "+
			"shunts stay in their leads (external-shunt)", quantity.Format(volts, quantity.Volt, 3))
	}
	return []report.Caution{HighVoltage(what, text)}
}

// mostNamed is the room that a caution has for what it is about, within a line
// of 80 columns.
const mostNamed = 32

// HighVoltage is the caution of something above the limit: its line says what, the
// text all.
func HighVoltage(what, text string) report.Caution {
	return report.Caution{Line: fmt.Sprintf("over %d V: %s; see shuntwright help safety", hazardousVolts, what), Text: text}
}

// Assumptions says what the answer rests on that nobody measured: the limits
// of readings whose instrument is not named, and marks that were never checked.
func Assumptions(used []inventory.Measured) []string {
	var out, marked []string
	assumed := false
	for _, m := range used {
		assumed = assumed || m.Assumed
		if m.Stated != "" {
			out = append(out, "readings without a named instrument: ±("+m.Stated+"), as stated")
		}
		if m.Marked {
			marked = append(marked, m.ID)
		}
	}
	if assumed {
		out = append(out, "readings without a named instrument: ±0.8 % and one count")
	}
	if len(marked) > 0 {
		out = append(out, "never measured, as marked within tolerance: "+report.Few(report.Unique(marked), 3))
	}
	return report.Unique(out)
}

// Warnings are what the measurements themselves warn of, once for all of a kind.
func Warnings(used []inventory.Measured) []string {
	var all []*instrument.TwoWires
	for _, m := range used {
		all = append(all, m.TwoWires)
	}
	return instrument.Warnings(all)
}

// Assumed says what an answer about a meter on the bench takes for granted, of
// what is fitted and of what else the answer names.
func Assumed(s *Setup, more ...inventory.Measured) []string {
	out := append(Assumptions(slices.Concat(s.Used(), []inventory.Measured{s.Coil}, more)), instruments(s)...)
	if math.IsNaN(s.Meter.Movement.FullScaleLimitPercent) {
		out = append(out, "the full-scale current is exact (no full_scale_limit_percent)")
	}
	return slices.Concat(out, s.statedWords(), RingOut(s.Meter))
}

// RingOut says what is taken for granted of a ring and voltage ranges in one
// meter.
func RingOut(m *meter.Meter) []string {
	if !m.RingsSwitchedOut() {
		return nil
	}
	return []string{"the ring is switched out on voltage ranges (no with_ring)"}
}

// leadsApart is the voltage, in volts, between the leads that ranges sit in: those of
// which nobody said it, voltage ranges above all, are taken to be at earth. 0 where
// nobody said it of any: all ranges are taken to be in one lead.
func leadsApart(ranges []meter.Range) float64 {
	var at []float64
	said := false
	for _, r := range ranges {
		volts := r.CircuitVolts
		if known := !math.IsNaN(volts); known {
			said = true
		} else {
			volts = 0
		}
		at = append(at, volts)
	}
	if !said {
		return 0
	}
	return slices.Max(at) - slices.Min(at)
}

// SeparateShunts tells that a switch goes from one shunt of the movement to another in
// the same lead: between them the movement carries the whole current.
func SeparateShunts(m *meter.Meter) bool {
	var shunts []meter.Range
	for _, c := range m.Circuits {
		if c.Kind() == "shunt" {
			shunts = append(shunts, c.Ranges()...)
		}
	}
	return len(shunts) > 1 && leadsApart(shunts) == 0
}

// Switches says what is taken for granted of the switch of a meter.
func Switches(m *meter.Meter) []string {
	out := RingOut(m)
	switch volts := leadsApart(m.Ranges()); {
	case volts > 0 && SeparateShunts(m):
		out = append(out, fmt.Sprintf("leads %s apart, and separate shunts in one of them: no one switch suits both, external-shunt does: help safety", quantity.Format(volts, quantity.Volt, 3)))
	case volts > 0:
		out = append(out, fmt.Sprintf("leads %s apart, a switch that breaks before it makes: help safety", quantity.Format(volts, quantity.Volt, 3)))
	case SeparateShunts(m):
		out = append(out, "one lead, a switch that makes before it breaks: help safety")
	}
	return out
}

// muchSurer is by what factor a limit must be smaller, because a gain error
// cancels, to be said to rest on that.
const muchSurer = 3

// instruments say what is taken for granted of what the readings were taken with:
// that resistances in the meter file are the movement's instrument's, and that
// an instrument errs alike on all its ranges, where limits rest on that.
func instruments(s *Setup) []string {
	var out []string
	if by := s.Meter.Movement.Instrument; by != "" && slices.ContainsFunc(s.Networks, written) {
		said := fmt.Sprintf("resistances in the file were read with %q (fit --instrument)", by)
		if little, _ := s.lessLeads(); len(little) > 0 {
			said += "; less its leads, " + report.Few(little, 2)
		}
		out = append(out, said)
	}
	if asTheyStand := s.withoutLeads(); len(asTheyStand) > 0 {
		out = append(out, "as typed, no leads subtracted: "+report.Few(asTheyStand, 2))
	}
	var names []string
	for r, slopes := range SlopesOf(s.Meter, s.Meter.State(s.Ohms())) {
		inputs := s.RangeInputs(slopes)
		if together := limitOf(inputs); together > 0 && limitOf(apart(inputs)) > muchSurer*together {
			names = append(names, s.Ranges[r].Name)
		}
	}
	if len(names) > 0 {
		out = append(out, "an instrument errs alike on all its ranges; matters most on "+report.Few(names, 2))
	}
	return out
}

// The shares of a typed resistance that leads must be before it is said that
// they are subtracted: among the assumptions, and first of all.
const (
	leadsSaid   = 0.001
	leadsRaised = 0.05
)

// LeadsTaken warns of resistances typed instead of a part of which the leads of
// the movement's instrument, which counts as theirs, take a good deal.
func (s *Setup) LeadsTaken() []string {
	_, much := s.lessLeads()
	if len(much) == 0 {
		return nil
	}
	by := s.Meter.Movement.Instrument
	return []string{fmt.Sprintf("taken as what %q showed, less its leads of %s: %s; type what it showed, leads and all",
		by, quantity.Format(s.Instruments[by].LeadsOhms, quantity.Ohm, 3), report.Few(much, 2))}
}

// lessLeads say what resistances typed instead of a part are without the leads
// of the movement's instrument, where that moves them a little, and much.
func (s *Setup) lessLeads() (little, much []string) {
	for i, n := range s.Networks {
		if n.IsNothing() {
			continue
		}
		for k, l := range n.Leaves() {
			is := s.Leaves[i][k].Measured.Ohms
			words := fmt.Sprintf("%s in %s is %s", l.Ohms.Text, s.Positions[i].Name, quantity.Format(is, quantity.Ohm, 4))
			switch share := 1 - is/l.Ohms.Base; {
			case l.ID != "":
			case share > leadsRaised:
				much = append(much, words)
			case share > leadsSaid:
				little = append(little, words)
			}
		}
	}
	return little, much
}

// withoutLeads names what the meter file says and may have been read through
// leads that are known: what is given, which counts as it stands, and networks
// written out where the file does not say what read them.
func (s *Setup) withoutLeads() []string {
	var names []string
	for i, one := range s.File.Stated {
		if s.Instruments[one.Instrument].LeadsOhms > 0 {
			names = append(names, s.Stated[i].Name)
		}
	}
	anyLeads := false
	for _, by := range s.Instruments {
		anyLeads = anyLeads || by.LeadsOhms > 0
	}
	for i, n := range s.Networks {
		if anyLeads && s.Meter.Movement.Instrument == "" && s.Instruments[inventory.Unnamed].LeadsOhms == 0 && written(n) {
			names = append(names, s.Positions[i].Name)
		}
	}
	return names
}

// written tells whether a network holds a resistance instead of a part's id.
func written(n wiring.Network) bool {
	return !n.IsNothing() && slices.ContainsFunc(n.Leaves(), func(l wiring.Network) bool { return l.ID == "" })
}

func limitOf(inputs []budget.Input) float64 { return budget.Combine(budget.Sources(inputs)).Limit }

// apart are the inputs as if every reading of a named instrument had a gain
// error of its own.
func apart(inputs []budget.Input) []budget.Input {
	out := slices.Clone(inputs)
	for i := range out {
		if out[i].Shared != inventory.Unnamed { // that they share it is said already
			out[i].Shared = strconv.Itoa(i)
		}
	}
	return out
}
