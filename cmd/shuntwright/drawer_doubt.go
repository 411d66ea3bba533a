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

// farApart is the ratio of two resistances of one part above which one of them
// is rather a slip of the prefix than drift.
const farApart = 10

// slips warns of readings that are far from what is marked on the part, or
// from the reading that was before, nil where there was none; of what changed, how
// to take it back.
func slips(parts []inventory.Part, was *inventory.Part, changed bool) []string {
	var out []string
	for _, p := range parts {
		slip := slipOf(p, was)
		if slip == "" {
			continue
		}
		warning := fmt.Sprintf("part %s: %s: a missing prefix?", p.ID, slip)
		if len(out) == 0 && changed {
			warning += " " + undoes
		}
		out = append(out, warning)
	}
	return out
}

// doubts are the slips of a change of the drawer.
func (c *call) doubts(parts []inventory.Part, was *inventory.Part) report.Notes {
	return report.Notes{Warnings: slips(parts, was, true)}
}

// addedTwice doubts a call that adds just the readings that the last parts of the
// drawer have, as a call does that was repeated. One part alone may well read
// as the one before.
func addedTwice(before, added []inventory.Part) []string {
	n := len(added)
	if n < 2 || n > len(before) {
		return nil
	}
	last := before[len(before)-n:]
	if !slices.EqualFunc(last, added, func(a, b inventory.Part) bool {
		return a.Measured() && b.Measured() && ohmsOf(a.Ohms) == ohmsOf(b.Ohms)
	}) {
		return nil
	}
	return []string{fmt.Sprintf("the same %d readings were added just before, as %s to %s: if that was once too often, %s", n, last[0].ID, last[n-1].ID, undoes)}
}

// undoes ends a warning of a change that may be a slip; undo is the command that
// follows then.
const undoes = "undo takes it back"

// slipOf says how a reading is far from what else is known of the part;
// nothing where it is not. A part without a reading cannot be far from any.
func slipOf(p inventory.Part, was *inventory.Part) string {
	read := ohmsOf(p.Ohms)
	switch {
	case !p.Measured():
		return ""
	case p.Nominal.Base > 0 && far(p.Ohms.Base, p.Nominal.Base):
		return fmt.Sprintf("marked %s and read %s", ohmsOf(p.Nominal), read)
	case was != nil && was.Measured() && far(p.Ohms.Base, was.Ohms.Base):
		return fmt.Sprintf("read %s before and %s now", ohmsOf(was.Ohms), read)
	}
	return ""
}

// far tells whether two resistances differ by more than the ratio farApart.
func far(a, b float64) bool { return a > farApart*b || b > farApart*a }

// ohmsOf writes a resistance with its digits as typed, but with its unit.
func ohmsOf(v quantity.Value) string {
	return quantity.Format(v.Base, quantity.Ohm, quantity.Digits(v.Base, v.Step))
}

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
	then := report.Either(by == "", ", then drawer change with --instrument", "")
	return []string{fmt.Sprintf("%s read about %s above their marking, as leads do: short the leads, and say what that reads%s: shuntwright drawer instrument %s --accuracy %s --leads %s",
		report.Few(asbuilt.IDs(low), 3), quantity.Format(usual, quantity.Ohm, 1), then, report.InShell(name), report.InShell(accuracy), strings.ReplaceAll(quantity.Format(usual, quantity.Ohm, 1), " ", ""))}
}
