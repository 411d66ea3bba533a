// Package movement finds full scale and coil of a movement by itself, from
// measurements that do not harm it, and the two resistors of the drawer that
// make another movement stand in for it.
package movement

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"shuntwright/cmd/shuntwright/internal/asbuilt"
	"shuntwright/inventory"
	"shuntwright/meter/budget"
	"shuntwright/meter/quantity"
)

// Finding is what a measurement tells of a movement.
type Finding struct {
	Method    string // drop, half or compare
	Coil      Figure // ohms
	FullScale Figure // amperes; without a value where nothing tells

	// Shortcut is what textbooks take for the coil, in ohms; NaN where the method
	// has none.
	Shortcut float64
}

// Figure is a result and how sure it is; Value is NaN where there is none.
type Figure struct {
	Value float64
	Limit budget.Result
	of    []budget.Input // what it was computed from
}

// Known tells whether there is a value.
func (f Figure) Known() bool { return !math.IsNaN(f.Value) }

// Exactly is a value that nothing is known against.
func Exactly(value float64) Figure { return figure(value) }

// figure is a result with the limit that its inputs, each with its slope, give it.
func figure(value float64, of ...budget.Input) Figure {
	return Figure{value, budget.Combine(budget.Sources(of)), of}
}

// with is an input by which a result changes so much per unit.
func with(slope float64, in budget.Input) budget.Input {
	in.Slope = slope
	return in
}

// Pointer is the scale, and what was read on it.
type Pointer struct {
	Marks float64   // at full scale, in the unit of the readings; NaN: not known
	Reads []float64 // in the order of the measurement
	Limit float64   // within which each is trusted
}

// read is one reading of the pointer, by which a result changes so much per unit.
func (p Pointer) read(i int, slope float64) budget.Input {
	return budget.Input{Name: pointer, Value: p.Reads[i], Slope: slope, Floor: p.Limit}
}

// pointer is what the budget calls the readings of the scale.
const pointer = "reading the pointer"

// Resistor is a resistor of the measurement by what measured it.
func Resistor(m inventory.Measured) budget.Input {
	return asbuilt.Leaf{Name: "measuring the resistors", Measured: m}.Input(0)
}

// Drop is a movement with a known current through it and the voltage across it
// read: the coil is V/I, and where the pointer stands tells the current at the
// last mark, I·marks/read. The error says that one of them is not positive.
func Drop(volts, amperes budget.Input, p Pointer) (Finding, error) {
	v, i, read := volts.Value, amperes.Value, p.Reads[0]
	switch {
	case !positive(v) || !positive(i):
		return Finding{}, fmt.Errorf("a drop of %g V at %g A; both must be more than zero", v, i)
	case !positive(read) || !positive(p.Marks):
		return Finding{}, fmt.Errorf("a reading of %g of %g marks at %g A; all must be more than zero", read, p.Marks, i)
	}
	coil, full := v/i, i*p.Marks/read
	return Finding{Method: "drop", Shortcut: math.NaN(),
		Coil:      figure(coil, with(1/i, volts), with(-coil/i, amperes)),
		FullScale: figure(full, with(p.Marks/read, amperes), p.read(0, -full/read))}, nil
}

// Half is a movement fed by a stiff voltage through a series resistor S, read
// without and with a shunt R across it: a and b make the coil S·R·(a − b)/(S·b −
// R·(a − b)). At half, which gives the method its name, that is S·R/(S − R), and
// the textbooks' coil = R is low by R/S of it (published: the two school solutions
// and the sheets in testdata/published/movements.csv). The battery's own
// resistance counts with the series resistor. Where its voltage was read (its
// value is not NaN) and the scale is known, the full-scale current comes out too.
// The error says that a quantity is not positive, or that no coil gives these
// readings.
func Half(series, shunt budget.Input, p Pointer, battery budget.Input) (Finding, error) {
	s, r, a, b := series.Value, shunt.Value, p.Reads[0], p.Reads[1]
	taken := a - b
	rest := s*b - r*taken
	switch {
	case !positive(s) || !positive(r):
		return Finding{}, fmt.Errorf("series %g ohm, shunt %g ohm; both must be more than zero", s, r)
	case !positive(a) || !(b > 0) || !(b < a):
		return Finding{}, fmt.Errorf("%g without the shunt and %g with it; the second must be less than the first, and more than zero", a, b)
	case !(rest > 1e-9*s*b):
		return Finding{}, fmt.Errorf("a shunt of %s with %s in series; one that takes the reading from %g to %g must be less than %s: else no coil is left", inOhms(r), inOhms(s), a, b, inOhms(s*b/taken))
	}
	square := rest * rest
	out := Finding{Method: "half", Shortcut: math.NaN(), Coil: figure(s*r*taken/rest,
		with(-r*r*taken*taken/square, series), with(s*s*taken*b/square, shunt), p.read(0, s*s*r*b/square), p.read(1, -s*s*r*a/square))}
	if b == a/2 {
		out.Shortcut = r
	}
	return out.drivenBy(battery, p)
}

// Compare is a movement fed by one stiff voltage through one series resistor and
// then another: the readings D1 and D2 make the coil (D2·S2 − D1·S1)/(D1 − D2). Its
// slopes by the readings grow with the series resistors, so that little is left of
// a low coil behind high ones. The battery is as for Half. The error says that a
// quantity is not positive, that the readings are equal, or that no coil gives
// them.
func Compare(series [2]budget.Input, p Pointer, battery budget.Input) (Finding, error) {
	s, d := [2]float64{series[0].Value, series[1].Value}, p.Reads
	apart := d[0] - d[1]
	coil := (d[1]*s[1] - d[0]*s[0]) / apart
	switch {
	case !(s[0] >= 0) || !(s[1] >= 0) || math.IsInf(s[0]+s[1], 1):
		return Finding{}, fmt.Errorf("series %g and %g ohm; neither may be less than zero", s[0], s[1])
	case !positive(d[0]) || !positive(d[1]):
		return Finding{}, fmt.Errorf("readings %g and %g; both must be more than zero", d[0], d[1])
	case apart == 0:
		return Finding{}, fmt.Errorf("both readings are %g; take two series resistors so unlike that the pointer tells them apart", d[0])
	case !(coil > 0):
		return Finding{}, fmt.Errorf("%g behind %s and %g behind %s would make the coil %s; the larger resistor must have the smaller reading, and smaller by less than in proportion", d[0], inOhms(s[0]), d[1], inOhms(s[1]), inOhms(coil))
	}
	out := Finding{Method: "compare", Shortcut: math.NaN(), Coil: figure(coil,
		with(-d[0]/apart, series[0]), with(d[1]/apart, series[1]), p.read(0, -(s[0]+coil)/apart), p.read(1, (s[1]+coil)/apart))}
	return out.drivenBy(battery, p)
}

// drivenBy adds the full-scale current of a movement whose coil was found behind
// the series resistor S and at the reading a that are the first and the third of
// its inputs: V·marks/(a·(S + coil)), where battery and scale are known.
func (f Finding) drivenBy(battery budget.Input, p Pointer) (Finding, error) {
	f.FullScale = Exactly(math.NaN())
	v, read, all := battery.Value, p.Reads[0], f.Coil.of[0].Value+f.Coil.Value
	if math.IsNaN(v) || math.IsNaN(p.Marks) {
		return f, nil
	}
	if !positive(v) || !positive(p.Marks) {
		return f, fmt.Errorf("a battery of %g V, %g marks; both must be more than zero", v, p.Marks)
	}
	full := v * p.Marks / (read * all)
	of := slices.Clone(f.Coil.of)
	for i := range of {
		of[i].Slope *= -full / all
	}
	of[0].Slope -= full / all
	of[2].Slope -= full / read
	f.FullScale = figure(full, append(of, with(full/v, battery))...)
	return f, nil
}

// mostly names what most of a figure's limit comes from, and its share of the
// variance; empty where nothing has half of it.
func (f Figure) mostly() (name string, share float64) {
	shares := map[string]float64{}
	for _, s := range budget.Sources(f.of) {
		shares[s.Name] += f.Limit.Share(s)
	}
	for of, part := range shares {
		if part > 0.5 {
			return strings.Replace(of, inventory.Unnamed, "the ohmmeter's gain error", 1), part
		}
	}
	return "", 0
}

// Parts splits a figure's limit into the gain error of the instrument of that key,
// in percent of the value, and the half-width of a rectangular distribution that
// is as unsure as all the rest: the two limits of a meter file.
func (f Figure) Parts(shared string) (gainPercent, floor float64) {
	var rest []budget.Source
	for _, s := range budget.Sources(f.of) {
		if s.Gain && s.Name == shared {
			gainPercent = 100 * s.Half / f.Value
		} else {
			rest = append(rest, s)
		}
	}
	return gainPercent, math.Sqrt(3) * budget.Combine(rest).Standard
}

// positive tells a number above zero and finite.
func positive(x float64) bool { return x > 0 && !math.IsInf(x, 1) }

func inOhms(x float64) string { return quantity.Format(x, quantity.Ohm, 4) }
