package main

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"shuntwright/cmd/shuntwright/internal/asbuilt"
	"shuntwright/cmd/shuntwright/internal/entry"
	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/inventory"
	"shuntwright/meter/quantity"
)

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
		warning := fmt.Sprintf("part %s: %s", p.ID, slip)
		if len(out) == 0 && changed && strings.HasSuffix(slip, missing) {
			warning += " " + undoes
		}
		out = append(out, warning)
	}
	return out
}

// doubts are the slips of a change of the drawer.
func (c *call) doubts(parts []inventory.Part, was *inventory.Part) report.Notes {
	return report.Notes{Warnings: slips(parts, was, !c.options.dryRun)}
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

// missing ends the doubt of a reading that may be a slip itself.
const missing = ": a missing prefix?"

// slipOf says how a reading is far from what else is known of the part;
// nothing where it is not. A part without a reading cannot be far from any.
func slipOf(p inventory.Part, was *inventory.Part) string {
	read := ohmsOf(p.Ohms)
	switch {
	case !p.Measured():
		return ""
	case p.Nominal.Base > 0 && inventory.FarApart(p.Ohms.Base, p.Nominal.Base):
		return fmt.Sprintf("marked %s and read %s", ohmsOf(p.Nominal), read) + missing
	case was != nil && was.Measured() && inventory.FarApart(p.Ohms.Base, was.Ohms.Base):
		return fmt.Sprintf("read %s before and %s now%s the one before is forgotten as a slip; where the new one is it: undo", ohmsOf(was.Ohms), read, missing)
	}
	return ""
}

// fewestSwapped is how many parts tell that two columns are swapped.
const fewestSwapped = 5

// swapped doubts a list whose readings are all preferred values (IEC 60063), of
// which none is marked on a part.
func swapped(parts []inventory.Part) string {
	preferred := func(v quantity.Value) bool {
		nearest, err := quantity.NearestPreferred("E24", v.Base)
		return err == nil && math.Abs(nearest/v.Base-1) < 1e-9
	}
	n := 0
	for _, p := range parts {
		switch both := p.Measured() && p.Nominal.Base > 0; {
		case both && (!preferred(p.Ohms) || preferred(p.Nominal)):
			return ""
		case both:
			n++
		}
	}
	if n < fewestSwapped {
		return ""
	}
	return fmt.Sprintf("all %d readings are preferred values (E24), and nothing that is marked is: ohms and nominal look swapped", n)
}

// milliohms doubts readings of a list that were written with m, where all others
// are far above: m is not M.
func milliohms(parts []inventory.Part) []string {
	var milli []inventory.Part
	least, most := math.Inf(1), 0.0
	for _, p := range parts {
		switch {
		case !p.Measured() || p.IsSpool():
		case entry.Prefix(p.Ohms) == "m":
			milli, most = append(milli, p), max(most, p.Ohms.Base)
		default:
			least = min(least, p.Ohms.Base)
		}
	}
	if len(milli) == 0 || math.IsInf(least, 1) || !inventory.FarApart(least, most) || most > least {
		return nil
	}
	return []string{fmt.Sprintf("%s: m is milli, and no other part is below %s: where mega is meant, drawer remeasure puts it right", report.Few(asbuilt.IDs(milli), mostListed), quantity.Format(least, quantity.Ohm, 2))}
}

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
	for n, taken := 2, by == ""; taken; n++ { // nobody's promise is written over
		if _, taken = b.Instruments[name]; taken {
			name = fmt.Sprintf("hand meter %d", n)
		}
	}
	then := report.Either(by == "", ", then drawer change with --instrument", "")
	return []string{fmt.Sprintf("%s read about %s above their marking, as leads do: short the leads, and say what that reads%s: shuntwright drawer instrument %s --accuracy %s --leads %s",
		report.Few(asbuilt.IDs(low), 3), quantity.Format(usual, quantity.Ohm, 1), then, report.InShell(name), report.InShell(accuracy), strings.ReplaceAll(quantity.Format(usual, quantity.Ohm, 1), " ", ""))}
}
