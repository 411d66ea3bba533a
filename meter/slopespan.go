package meter

import "math"

// Span is what a number lies between, ends included.
type Span struct{ Least, Most float64 }

// Slopes bounds how one range moves over a box of resistances. Lead, Across and
// Branch are the change of its full-scale error, in percent of full scale, for
// each ohm more in the resistors that its Path lists there; Reading is the
// indicated value as a fraction of full scale.
type Slopes struct{ Lead, Across, Branch, Reading Span }

// Slopes bounds the slopes of range r where the resistance in slot i lies
// anywhere from lo[i] to hi[i], both positive. Each slope rises with no
// resistance, or rises up to some point and falls from there, so that the
// smallest magnitude stands at a corner of the box; the largest is not always
// reached. Where both ends are the same, the slopes are those of Sensitivities
// but for rounding. It allocates nothing.
func (resp *Response) Slopes(r int, lo, hi []float64) Slopes {
	t := &resp.terms[r]
	least, most := t.at(lo), t.at(hi)
	percent := 100 * t.scale
	lead, across, branch := least.weakest(most)
	steepLead, steepAcross, steepBranch := least.steepest(most)
	low, high := divider{t.voltage, t.shunted, most.lead, least.across, most.branch}, divider{t.voltage, t.shunted, least.lead, most.across, least.branch}
	return Slopes{
		Lead:    Span{-percent * steepLead, -percent * lead},
		Across:  Span{percent * across, percent * steepAcross},
		Branch:  Span{-percent * steepBranch, -percent * branch},
		Reading: Span{t.scale * low.movement(), t.scale * high.movement()},
	}
}

// weakest are the smallest magnitudes of the changes of the movement's current,
// for each ampere or volt applied and each ohm, between d and most.
func (d divider) weakest(most divider) (lead, across, branch float64) {
	lead, across, branch = math.Inf(1), math.Inf(1), math.Inf(1)
	for corner := range 8 {
		at := d
		if corner&1 != 0 {
			at.lead = most.lead
		}
		if corner&2 != 0 {
			at.across = most.across
		}
		if corner&4 != 0 {
			at.branch = most.branch
		}
		l, a, b := at.slopes()
		current := at.movement()
		lead, across, branch = min(lead, -l*current), min(across, a*current), min(branch, -b*current)
	}
	return lead, across, branch
}

// steepest are what the magnitudes of these changes do not exceed between d and
// most.
func (d divider) steepest(most divider) (lead, across, branch float64) {
	l, a, b := d.lead, d.across, d.branch
	switch {
	case !d.voltage && !d.shunted:
		return 0, 0, 0
	case !d.voltage: // largest where the other resistance is least, and its own as near to that as it may be
		nearB, nearA := min(max(a, b), most.branch), min(max(b, a), most.across)
		return 0, nearB / ((a + nearB) * (a + nearB)), nearA / ((nearA + b) * (nearA + b))
	case !d.shunted:
		whole := (l + b) * (l + b)
		return 1 / whole, 0, 1 / whole
	}
	whole := l*(a+b) + a*b
	whole *= whole
	return most.across * (most.across + b) / whole, most.lead * most.branch / whole, most.across * (l + most.across) / whole
}
