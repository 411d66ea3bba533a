package protect

import (
	"fmt"
	"math"
	"slices"

	"shuntwright/meter"
	"shuntwright/meter/wiring"
)

// Fault is one position, or one resistor that the meter file states, failing on
// one range.
type Fault struct {
	Resistor int // index into Meter.Resistors
	Range    int // index into Meter.Ranges
	Short    bool
	Damage             // of the whole network failing
	Parts    []Partial // of one of its parts failing at a time, in the order of its text; empty where it is a single one
}

// Partial is one part of a network failing, all others being as they are.
type Partial struct {
	Part string // as the network's text names it
	Damage
}

// Damage is what the movement carries when something has failed.
type Damage struct {
	MovementAmperes float64 // without diodes
	TimesFullScale  float64 // the same by the movement's full scale
	WithDiodes      float64 // amperes in the movement with the clamp; NaN: no diodes there
	WithDiodesTimes float64 // the same by the movement's full scale
	DiodeAmperes    float64 // in the conducting string; NaN: no diodes there
}

// Last is what the movement carries in the end, in full scales: with the
// diodes, where there are any.
func (d Damage) Last() float64 {
	if math.IsNaN(d.WithDiodesTimes) {
		return d.TimesFullScale
	}
	return d.WithDiodesTimes
}

// Worst is the part that does most harm when it fails alone; nil where the
// network is a single part.
func (f Fault) Worst() *Partial {
	var worst *Partial
	for i := range f.Parts {
		if worst == nil || f.Parts[i].Last() > worst.Last() {
			worst = &f.Parts[i]
		}
	}
	return worst
}

// Fitted is the network in a position and what its parts are, in the order of
// its text.
type Fitted struct {
	Network wiring.Network
	Ohms    []float64
}

// Faults tells what the movement carries on range r when something fails
// towards more current in it, fed by a source: what lies across the movement's
// branch opens, what stands before it or in the branch shorts, once the whole
// network and once each of its parts. Positions and the resistors that the
// meter file states count, in the meter's order; fitted has the networks by
// resistor, and a position without one is a single part. A range that needs
// another position that is open has no faults, and nor has what is of 0 ohm.
func Faults(m *meter.Meter, st meter.State, r int, supply Source, c Clamp, fitted map[int]Fitted) ([]Fault, error) {
	var out []Fault
	path := m.Path(r)
	for i, resistor := range m.Resistors() {
		across := slices.Contains(path.Across, i)
		if resistor.Use != meter.Fitted && resistor.Use != meter.Given || !across && !slices.Contains(slices.Concat(path.Lead, path.Branch), i) {
			continue
		}
		f := Fault{Resistor: i, Range: r, Short: !across}
		if f.Short && st.Ohms[i] == 0 {
			continue // nothing is there that could short
		}
		gone := math.Inf(1)
		if f.Short {
			gone = 0
		}
		if math.IsNaN(m.Flow(st.With(i, gone), r, 1).InputOhms) {
			continue
		}
		var err error
		if f.Damage, err = damage(m, st.With(i, gone), r, supply, c); err == nil {
			f.Parts, err = partials(m, st, f, supply, c, fitted[i], gone)
		}
		if err != nil {
			return nil, fmt.Errorf("%s failing: %w", resistor.Name, err)
		}
		out = append(out, f)
	}
	return out, nil
}

// partials fails the parts of a network one at a time. Where the state has the
// network at another temperature than its parts are given for, what is left of
// it moves in proportion.
func partials(m *meter.Meter, st meter.State, f Fault, supply Source, c Clamp, n Fitted, gone float64) ([]Partial, error) {
	if len(n.Ohms) < 2 {
		return nil, nil
	}
	whole := n.Network.Resistance(n.Ohms)
	var out []Partial
	for k, leaf := range n.Network.Leaves() {
		ohms := slices.Clone(n.Ohms)
		ohms[k] = gone
		d, err := damage(m, st.With(f.Resistor, st.Ohms[f.Resistor]*(n.Network.Resistance(ohms)/whole)), f.Range, supply, c)
		if err != nil {
			return nil, err
		}
		out = append(out, Partial{leaf.String(), d})
	}
	return out, nil
}

// damage solves one fault without and with the clamp.
func damage(m *meter.Meter, broken meter.State, r int, supply Source, c Clamp) (Damage, error) {
	bare, err := Solve(m, broken, r, supply, Clamp{})
	if err != nil {
		return Damage{}, err
	}
	d := Damage{MovementAmperes: bare.MovementAmperes, TimesFullScale: bare.MovementAmperes / broken.FullScaleAmperes,
		WithDiodes: math.NaN(), WithDiodesTimes: math.NaN(), DiodeAmperes: math.NaN()}
	if c.node(m, r) == "" {
		return d, nil
	}
	clamped, err := Solve(m, broken, r, supply, c)
	if err != nil {
		return Damage{}, err
	}
	d.WithDiodes, d.DiodeAmperes = clamped.MovementAmperes, clamped.DiodeAmperes
	d.WithDiodesTimes = clamped.MovementAmperes / broken.FullScaleAmperes
	return d, nil
}
