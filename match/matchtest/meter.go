package matchtest

import (
	"shuntwright/match"
	"slices"
)

// The kinds of circuits.
const (
	Ring       = "ring"
	Chain      = "chain"
	Shunt      = "shunt"
	Multiplier = "multiplier"
)

// Circuit is one circuit of a meter.
type Circuit struct {
	Kind string
	Full []float64 // full-scale values, amperes or volts; of a ring or chain ascending
}

// Meter is a movement with circuits, one position a range; at most one of the
// circuits is a ring, and one a chain. It is a match.Response.
type Meter struct {
	Amperes, Ohms float64   // the movement's full-scale current and its coil
	Kinds         []string  // of each position
	Full          []float64 // of each position
	Targets       []float64 // ohms at which every error is zero
}

// NewMeter puts the positions into the order of the circuits.
func NewMeter(amperes, ohms float64, circuits ...Circuit) *Meter {
	m := &Meter{Amperes: amperes, Ohms: ohms}
	for _, c := range circuits {
		m.Kinds = append(m.Kinds, slices.Repeat([]string{c.Kind}, len(c.Full))...)
		m.Full = append(m.Full, c.Full...)
	}
	for i := range m.Kinds {
		m.Targets = append(m.Targets, m.target(i))
	}
	return m
}

// Circuit returns the kind of the circuit that position i belongs to, and the
// full-scale value there in amperes or volts.
func (m *Meter) Circuit(i int) (kind string, full float64) { return m.Kinds[i], m.Full[i] }

// Coupled reports whether some position moves several ranges.
func (m *Meter) Coupled() bool {
	return slices.Contains(m.Kinds, Ring) || slices.Contains(m.Kinds, Chain)
}

// target is the ideal value, as testdata/joint/README.md has it: in a ring
// S_k = Im·(R+Rm)/I_k is what lies from tap k to the common end.
func (m *Meter) target(i int) float64 {
	switch m.Kinds[i] {
	case Shunt:
		return m.Amperes * m.Ohms / (m.Full[i] - m.Amperes)
	case Multiplier:
		return m.Full[i]/m.Amperes - m.Ohms
	case Chain:
		if i > 0 && m.Kinds[i-1] == Chain {
			return (m.Full[i] - m.Full[i-1]) / m.Amperes
		}
		return m.Full[i]/m.Amperes - m.Ohms
	}
	first := slices.Index(m.Kinds, Ring)
	whole := m.Amperes*m.Ohms/(m.Full[first]-m.Amperes) + m.Ohms
	if i+1 == len(m.Kinds) || m.Kinds[i+1] != Ring {
		return m.Amperes * whole / m.Full[i]
	}
	return m.Amperes * whole * (1/m.Full[i] - 1/m.Full[i+1])
}

// Errors puts the error of every range, in percent of full scale, into dst.
func (m *Meter) Errors(dst, ohms []float64) {
	for r := range m.Kinds {
		dst[r] = m.ErrorOf(r, ohms)
	}
}

// ErrorOf returns the error of range r, in percent of full scale.
func (m *Meter) ErrorOf(r int, ohms []float64) float64 {
	branch, tap := ohms[r]+m.Ohms, ohms[r] // what carries the movement's current, and what the terminals lie across
	switch kind := m.Kinds[r]; kind {
	case Chain:
		branch = m.Ohms
		for i, ohm := range ohms[:r+1] {
			if m.Kinds[i] == Chain {
				branch += ohm
			}
		}
	case Ring:
		branch, tap = m.Ohms, 0
		for i, ohm := range ohms {
			if m.Kinds[i] != Ring {
				continue
			}
			branch += ohm
			if i >= r {
				tap += ohm
			}
		}
	}
	if m.Kinds[r] == Ring || m.Kinds[r] == Shunt {
		return (m.Full[r]*tap/(m.Amperes*branch) - 1) * 100
	}
	return (m.Full[r]/(branch*m.Amperes) - 1) * 100
}

// Rising reports how range r moves when the resistance of position s grows.
func (m *Meter) Rising(r, s int) int {
	kind := m.Kinds[r]
	switch {
	case kind == Chain && m.Kinds[s] == Chain && s <= r:
		return -1
	case kind == Ring && m.Kinds[s] == Ring && s >= r:
		return 1
	case kind == Ring && m.Kinds[s] == Ring:
		return -1
	case r != s || kind == Ring || kind == Chain:
		return 0
	case kind == Shunt:
		return 1
	}
	return -1
}

// Problem asks for all positions of the meter: networks of at most so many parts,
// within a fraction of their targets.
func (m *Meter) Problem(atMost int, within float64) match.Problem {
	p := match.Problem{Ranges: len(m.Targets), Response: m}
	for _, target := range m.Targets {
		n := Need(target, atMost)
		n.Within = within
		p.Needs = append(p.Needs, n)
	}
	return p
}
