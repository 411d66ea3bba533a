package asbuilt

import (
	"fmt"
	"math"
	"slices"

	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/inventory"
	"shuntwright/meter"
	"shuntwright/meter/quantity"
)

// hazardousVolts is where a d.c. voltage counts as hazardous-live
// (IEC 61010-1: 60 V d.c., 30 V a.c. r.m.s.).
const hazardousVolts = 60

// Voltage is the short caution that the dangerous answers carry.
const Voltage = "voltages above 60 V d.c. (30 V a.c. r.m.s.) kill: disconnect, discharge and verify before touching; " +
	"ratings and insulation must suit the voltage, of the lead as well as across the part; local codes and a licensed practitioner decide"

// Hazardous tells whether a voltage, in volts, needs the caution; NaN does not.
func Hazardous(volts float64) bool { return volts > hazardousVolts }

// Of are the cautions of a meter, naming the ranges that are above the limit, or
// sit in a lead that is.
func Of(m *meter.Meter) []string {
	var names []string
	for _, r := range m.Ranges() {
		switch {
		case Hazardous(math.Abs(r.CircuitVolts)):
			names = append(names, fmt.Sprintf("%s (in a lead at %s)", r.Name, quantity.Format(r.CircuitVolts, quantity.Volt, 3)))
		case r.Unit == quantity.Volt && Hazardous(r.FullScale):
			names = append(names, r.Name)
		}
	}
	if len(names) == 0 {
		return nil
	}
	return []string{report.List(names) + ": " + Voltage}
}

// Assumptions says what the answer rests on that nobody measured: the limits
// of readings whose instrument is not named, and marks that were never checked.
func Assumptions(used []inventory.Measured) []string {
	var out, marked []string
	assumed := false
	for _, m := range used {
		assumed = assumed || m.Assumed
		if m.Stated != "" {
			out = append(out, "readings without a named instrument are trusted to ±("+m.Stated+"), as stated, all with one shared gain error")
		}
		if m.Marked {
			marked = append(marked, m.ID)
		}
	}
	if assumed {
		out = append(out, "readings without a named instrument are trusted to ±0.8 % and one count, all with one shared gain error (common practice for a hand-held meter)")
	}
	if len(marked) > 0 {
		out = append(out, "never measured and taken as marked, each within its own tolerance: "+report.List(report.Unique(marked)))
	}
	return report.Unique(out)
}

// Warnings are what the measurements themselves warn of, each once.
func Warnings(used []inventory.Measured) []string {
	var out []string
	for _, m := range used {
		out = append(out, m.Warnings...)
	}
	return report.Unique(out)
}

// Assumed says what an answer about a meter on the bench takes for granted, of
// what is fitted and of what else the answer names.
func Assumed(s *Setup, more ...inventory.Measured) []string {
	out := append(Assumptions(slices.Concat(s.Used(), []inventory.Measured{s.Coil}, more)), instruments(s)...)
	if math.IsNaN(s.Meter.Movement.FullScaleLimitPercent) {
		out = append(out, "the movement's full-scale current is taken as exact: no full_scale_limit_percent is given")
	}
	if exact := stated(s.Meter); len(exact) > 0 {
		out = append(out, "taken as exact, as the meter file states them: "+report.List(exact))
	}
	return out
}

// stated names the resistors that the meter file states without a limit.
func stated(m *meter.Meter) []string {
	var out []string
	state := m.State(make([]float64, len(m.Positions())))
	for i, r := range m.Resistors() {
		switch ohms := state.Ohms[i]; {
		case r.Use == meter.Swamp && ohms > 0, r.Use == meter.Contact && ohms > 0, r.Use == meter.Given:
			out = append(out, fmt.Sprintf("%s (%s)", r.Name, quantity.Format(ohms, quantity.Ohm, 4)))
		}
	}
	return out
}
