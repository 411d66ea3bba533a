package asbuilt

import (
	"fmt"
	"math"
	"slices"

	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/inventory"
	"shuntwright/inventory/instrument"
	"shuntwright/meter"
	"shuntwright/meter/quantity"
)

// hazardousVolts is where a d.c. voltage counts as hazardous-live
// (IEC 61010-1: 60 V d.c., 30 V a.c. r.m.s.).
const hazardousVolts = 60

// Voltage is the caution in full: what kills, and what to do before touching it.
const Voltage = "voltages above 60 V d.c. (30 V a.c. r.m.s.) kill: disconnect, discharge and verify before touching; " +
	"ratings and insulation (switch, movement, case) must suit the voltage of the lead too, not only the part's; local codes and a licensed practitioner decide"

// Hazardous tells whether a voltage, in volts, needs the caution; NaN does not.
func Hazardous(volts float64) bool { return volts > hazardousVolts }

// Live tells whether a range measures a hazardous voltage, or sits in a lead at one.
func Live(r meter.Range) bool {
	return Hazardous(math.Abs(r.CircuitVolts)) || r.Unit == quantity.Volt && Hazardous(r.FullScale)
}

// Of are the cautions of a meter, naming the ranges that are above the limit, or
// sit in a lead that is, and what its switch must do.
func Of(m *meter.Meter) []report.Caution {
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
	text := report.List(names) + ": " + Voltage
	if volts := leadsApart(m); volts > 0 {
		text += fmt.Sprintf("; leads up to %s apart: the switch must break before it makes, or it shorts them, and must stand that; "+
			"shunts stay in their leads (external-shunt)", quantity.Format(volts, quantity.Volt, 3))
	}
	return []report.Caution{Over(what, text)}
}

// mostNamed is the room that a caution has for what it is about, within a line
// of 80 columns.
const mostNamed = 32

// Over is the caution of something above the limit: its line says what, the
// text all.
func Over(what, text string) report.Caution {
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

// leadsApart is the voltage, in volts, between the leads that the ranges sit in: those of
// which nobody said it, voltage ranges above all, are taken to be at earth. 0 where
// nobody said it of any: all ranges are taken to be in one lead.
func leadsApart(m *meter.Meter) float64 {
	var at []float64
	said := false
	for _, r := range m.Ranges() {
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
	n := 0
	for _, c := range m.Circuits {
		if c.Kind() == "shunt" {
			n++
		}
	}
	return n > 1 && leadsApart(m) == 0
}

// Switches says what is taken for granted of the switch of a meter.
func Switches(m *meter.Meter) []string {
	out := RingOut(m)
	if volts := leadsApart(m); volts > 0 {
		out = append(out, fmt.Sprintf("leads %s apart, a switch that breaks before it makes: help safety", quantity.Format(volts, quantity.Volt, 3)))
	} else if SeparateShunts(m) {
		out = append(out, "one lead, a switch that makes before it breaks: help safety")
	}
	return out
}
