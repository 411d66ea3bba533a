package meter

import "slices"

// Response tells how far every range is off while the open positions vary and
// all others stay. Each error is monotone in each resistance. It may be used
// from several goroutines at once.
type Response struct {
	terms  []term
	rising [][]int8 // by range, by slot
}

// term is one range: its path with what stays summed up and what varies listed
// by slot.
type term struct {
	divider
	scale                               float64 // range per movement full scale
	leadSlots, acrossSlots, branchSlots []int
}

// Response returns the errors of all ranges as a function of the open
// positions: slot i is position open[i]. ohms are those of all positions in the
// order of Positions; those in open are not looked at, and one that is NaN
// makes the errors of its ranges NaN.
func (m *Meter) Response(open []int, ohms []float64) *Response {
	st := m.State(ohms)
	slot := make(map[int]int)
	for s, position := range open {
		k := m.positions[position].Resistor
		slot[k], st.Ohms[k] = s, 0
	}
	pick := func(list []int) []int {
		var out []int
		for _, i := range list {
			if s, ok := slot[i]; ok {
				out = append(out, s)
			}
		}
		return out
	}
	resp := &Response{}
	for r, p := range m.paths {
		t := term{m.divider(st, r), m.ranges[r].FullScale / st.FullScaleAmperes, pick(p.Lead), pick(p.Across), pick(p.Branch)}
		row := make([]int8, len(open))
		for s := range row {
			row[s] = t.sign(s)
		}
		resp.terms, resp.rising = append(resp.terms, t), append(resp.rising, row)
	}
	return resp
}

// sign: more in the lead of a voltage range or in the movement's branch leaves
// the movement less, more across it leaves it more. The lead of a current range
// changes nothing, nor what lies across the branch of a voltage range without a
// lead.
func (t *term) sign(slot int) int8 {
	leads := t.lead > 0 || len(t.leadSlots) > 0
	switch {
	case slices.Contains(t.branchSlots, slot):
		if t.voltage || t.shunted {
			return -1
		}
	case slices.Contains(t.acrossSlots, slot):
		if !t.voltage || leads {
			return 1
		}
	case slices.Contains(t.leadSlots, slot):
		if t.voltage {
			return -1
		}
	}
	return 0
}

// Errors puts the full-scale error of every range into dst, in percent of full
// scale, positive where it reads high; dst is as long as the meter's Ranges.
// ohms[i] is the resistance in slot i and must be positive. It allocates
// nothing.
func (resp *Response) Errors(dst, ohms []float64) {
	for r := range resp.terms {
		dst[r] = resp.ErrorOf(r, ohms)
	}
}

// ErrorOf returns the very number that Errors gives for range r, alone.
func (resp *Response) ErrorOf(r int, ohms []float64) float64 {
	t := &resp.terms[r]
	return 100 * (float64(t.scale*t.at(ohms).movement()) - 1) // the conversion forbids a fused product: machines must agree
}

// at is the range's divider with these resistances in its slots.
func (t *term) at(ohms []float64) divider {
	d := t.divider
	for _, s := range t.leadSlots {
		d.lead += ohms[s]
	}
	for _, s := range t.acrossSlots {
		d.across += ohms[s]
	}
	for _, s := range t.branchSlots {
		d.branch += ohms[s]
	}
	return d
}

// Rising reports how the error of range r moves when slot s grows: +1, −1, or 0
// where it does not depend on it.
func (resp *Response) Rising(r, s int) int { return int(resp.rising[r][s]) }
