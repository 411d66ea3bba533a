package main

import (
	"fmt"
	"math"

	"shuntwright/cmd/shuntwright/internal/wording"
	"shuntwright/inventory"
	"shuntwright/meter"
	"shuntwright/meter/quantity"
)

// hazardousVolts is where a d.c. voltage counts as hazardous-live
// (IEC 61010-1: 60 V d.c., 30 V a.c. r.m.s.).
const hazardousVolts = 60

// voltageCaution is the short caution that the dangerous answers carry.
const voltageCaution = "voltages above 60 V d.c. (30 V a.c. r.m.s.) kill: disconnect, discharge and verify before touching; " +
	"ratings and insulation must suit the voltage, of the lead as well as across the part; local codes and a licensed practitioner decide"

// hazardous tells whether a voltage needs the caution; NaN does not.
func hazardous(volts float64) bool { return volts > hazardousVolts }

// cautions are those of a meter, naming the ranges that are above the limit, or
// sit in a lead that is.
func cautions(m *meter.Meter) []string {
	var names []string
	for _, r := range m.Ranges() {
		switch {
		case hazardous(math.Abs(r.CircuitVolts)):
			names = append(names, fmt.Sprintf("%s (in a lead at %s)", r.Name, quantity.Format(r.CircuitVolts, quantity.Volt, 3)))
		case r.Unit == quantity.Volt && hazardous(r.FullScale):
			names = append(names, r.Name)
		}
	}
	if len(names) == 0 {
		return nil
	}
	return []string{wording.List(names) + ": " + voltageCaution}
}

// assumptions says what the answer rests on that nobody measured: the limits
// of readings whose instrument is not named, and marks that were never checked.
func assumptions(used []inventory.Measured) []string {
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
		out = append(out, "never measured and taken as marked, each within its own tolerance: "+wording.List(wording.Unique(marked)))
	}
	return wording.Unique(out)
}

// partWarnings are what the measurements themselves warn of, each once.
func partWarnings(used []inventory.Measured) []string {
	var out []string
	for _, m := range used {
		out = append(out, m.Warnings...)
	}
	return wording.Unique(out)
}

// isNumber tells a number from "not given".
func isNumber(x float64) bool { return !math.IsNaN(x) }
