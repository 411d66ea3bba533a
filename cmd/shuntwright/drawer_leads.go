package main

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"shuntwright/cmd/shuntwright/internal/asbuilt"
	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/inventory"
	"shuntwright/meter/quantity"
)

// Leads show in what two wires read of marked parts: each reads as much too high.
const (
	fewestLeads   = 3   // parts that must agree
	leastLeads    = 0.1 // ohms that they read too high
	usualMismatch = 5   // percent that a part is off its marking anyway, where no tolerance is marked
)

// leadsShow says of parts, measured, that they read about the same above what is
// marked on them, as leads do that nobody subtracted, and how that is said.
func leadsShow(b *asbuilt.Bench, parts []inventory.Part, measured []inventory.Measured) []string {
	var low []inventory.Part
	var above []float64
	beyond := 0
	for i, p := range parts {
		t := measured[i].TwoWires
		if t == nil || t.Subtracted || !p.Measured() || !(p.Nominal.Base > 0) || len(low) > 0 && p.Instrument != low[0].Instrument {
			continue
		}
		more := p.Ohms.Base - p.Nominal.Base
		low, above = append(low, p), append(above, more)
		tolerance := p.TolerancePercent
		if !(tolerance > 0) {
			tolerance = usualMismatch
		}
		if more > tolerance/100*p.Nominal.Base {
			beyond++
		}
	}
	if len(low) < fewestLeads || 2*beyond < len(low) {
		return nil
	}
	sorted := slices.Sorted(slices.Values(above))
	usual := sorted[len(sorted)/2]
	if usual < leastLeads || sorted[0] < usual/2 || sorted[len(sorted)-1] > 2*usual {
		return nil
	}
	by := low[0].Instrument
	promise, described := b.Instruments[by]
	accuracy := "0.8 % + 1 count"
	if described {
		accuracy = promise.Accuracy()
	}
	name := cmp.Or(by, "hand meter")
	said := fmt.Sprintf("%s read about %s above their marking, as leads do: short the leads, and say what that reads: shuntwright drawer instrument %s --accuracy %s --leads %s",
		report.Few(asbuilt.IDs(low), 3), quantity.Format(usual, quantity.Ohm, 1), report.InShell(name), report.InShell(accuracy), strings.ReplaceAll(quantity.Format(usual, quantity.Ohm, 1), " ", ""))
	if by == "" {
		said += ", then drawer change with --instrument"
	}
	return []string{said}
}
