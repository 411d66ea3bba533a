package meter

import (
	"fmt"
	"math"
)

// State is a meter at one moment: what its movement takes for the last mark and
// what every resistance is. A fault, a drifted part or another temperature is
// another State of the same Meter.
type State struct {
	FullScaleAmperes float64
	Ohms             []float64 // by Meter.Resistors; NaN: not known or not fitted, +Inf: a break, zero: a short
}

// State returns the meter as its file states it, with ohms fitted in the
// positions, in the order of Positions; NaN is an open position. It panics
// where their number is not that of the positions.
func (m *Meter) State(ohms []float64) State {
	if len(ohms) != len(m.positions) {
		panic(fmt.Sprintf("meter: %d resistances for %d positions", len(ohms), len(m.positions)))
	}
	st := State{m.Movement.FullScaleAmperes, make([]float64, len(m.resistors))}
	for i, r := range m.resistors {
		st.Ohms[i] = r.Ohms
	}
	st.Ohms[coilIndex], st.Ohms[swampIndex] = m.Movement.CoilOhms, m.Movement.SwampOhms
	for i, p := range m.positions {
		st.Ohms[p.Resistor] = ohms[i]
	}
	return st
}

// With returns the state with one resistance changed; the receiver keeps its own.
func (st State) With(resistor int, ohms float64) State {
	st.Ohms = append([]float64(nil), st.Ohms...)
	st.Ohms[resistor] = ohms
	return st
}

// divider is what a range makes of its path: three resistances.
type divider struct {
	voltage, shunted     bool
	lead, across, branch float64
}

func (m *Meter) divider(st State, r int) divider {
	p := &m.paths[r]
	sum := func(list []int) float64 {
		total := 0.0
		for _, i := range list {
			total += st.Ohms[i]
		}
		return total
	}
	return divider{m.voltage(r), len(p.Across) > 0, sum(p.Lead), sum(p.Across), sum(p.Branch)}
}

// aside is the current across the branch for each ampere in it.
func (d divider) aside() float64 {
	if !d.shunted || math.IsInf(d.across, 1) && !math.IsNaN(d.branch) {
		return 0
	}
	return d.branch / d.across
}

// movement is the movement's current for each ampere or volt applied.
func (d divider) movement() float64 {
	k := d.aside()
	if !d.voltage {
		return 1 / (1 + k)
	}
	return 1 / (float64(d.lead*(1+k)) + d.branch)
}

// input is the resistance between the terminals.
func (d divider) input() float64 {
	switch {
	case !d.shunted || math.IsInf(d.across, 1):
		return d.lead + d.branch
	case math.IsInf(d.branch, 1):
		return d.lead + d.across
	case d.across == 0:
		return d.lead
	}
	return d.lead + d.branch/(1+d.branch/d.across)
}

// Flow is what a range carries.
type Flow struct {
	Movement, Across, Lead   float64 // amperes in the movement, across its branch, and at the terminals
	TerminalVolts, InputOhms float64
}

// Flow tells what range r carries with so much of its unit applied; NaN where
// its resistances are not all known.
func (m *Meter) Flow(st State, r int, applied float64) Flow {
	d := m.divider(st, r)
	f := Flow{Movement: applied * d.movement(), InputOhms: d.input()}
	if d.voltage {
		f.TerminalVolts, f.Lead = applied, applied/f.InputOhms
	} else {
		f.TerminalVolts, f.Lead = applied*f.InputOhms, applied
	}
	if f.Across = f.Movement * d.aside(); d.shunted && d.across == 0 {
		f.Across = f.Lead
	}
	return f
}

// Errors puts the full-scale error of every range into dst, in percent of full
// scale, positive where it reads high: (indicated − true)/full scale with the
// full-scale value applied. dst must be as long as Ranges. NaN: a range whose
// resistances are not all known.
func (m *Meter) Errors(dst []float64, st State) {
	for r := range m.ranges {
		dst[r] = m.errorOf(st, r)
	}
}

// errorOf is the full-scale error of one range, percent.
func (m *Meter) errorOf(st State, r int) float64 {
	scale := m.ranges[r].FullScale / st.FullScaleAmperes
	return 100 * (float64(scale*m.divider(st, r).movement()) - 1) // the conversion forbids a fused product: machines must agree
}
