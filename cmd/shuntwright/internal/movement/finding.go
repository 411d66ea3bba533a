// Package movement tells what a measurement on the bench says of a movement by
// itself, and which two resistors of the drawer make another one stand in for it.
package movement

import (
	"math"
	"strings"

	"shuntwright/inventory"
	"shuntwright/meter/bench"
	"shuntwright/meter/budget"
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
	Value   float64
	Limit   budget.Result
	sources []budget.Source
}

// Known tells whether there is a value.
func (f Figure) Known() bool { return !math.IsNaN(f.Value) }

// percent is the limit in percent of the value; NaN where there is none.
func (f Figure) percent() float64 {
	if f.Limit.Limit == 0 {
		return math.NaN()
	}
	return 100 * f.Limit.Limit / f.Value
}

// Exactly is a value that nothing is known against.
func Exactly(value float64) Figure {
	return Figure{Value: value, Limit: budget.Result{Factor: math.NaN()}}
}

// figure combines the limits of what a result was computed from.
func figure(f bench.Figure, err error, of ...budget.Input) (Figure, error) {
	if err != nil {
		return Figure{}, err
	}
	for i := range f.Slopes {
		of[i].Slope = f.Slopes[i]
	}
	sources := budget.Sources(of)
	return Figure{f.Value, budget.Combine(sources), sources}, nil
}

// Pointer is the scale, and what was read on it.
type Pointer struct {
	Marks float64   // at full scale, in the unit of the readings; NaN: not known
	Reads []float64 // in the order of the measurement
	Limit float64   // within which each is trusted
}

// read is one reading of the pointer.
func (p Pointer) read(i int) budget.Input {
	return budget.Input{Name: pointer, Value: p.Reads[i], Floor: p.Limit}
}

// pointer is what the budget calls the readings of the scale.
const pointer = "reading the pointer"

// Resistor is a resistor of the measurement by what measured it.
func Resistor(m inventory.Measured) budget.Input {
	return budget.Input{Name: "measuring the resistors", Value: m.Ohms, GainPercent: m.GainPercent, Shared: m.Shared, Floor: m.FloorOhms}
}

// Drop is the coil from the volts across it while a current flows, and the
// full-scale current from where the pointer stands.
func Drop(volts, amperes budget.Input, p Pointer) (Finding, error) {
	d := bench.Drop{Volts: volts.Value, Amperes: amperes.Value}
	coil, err := d.CoilOhms()
	out := Finding{Method: "drop", Shortcut: math.NaN()}
	if out.Coil, err = figure(coil, err, volts, amperes); err != nil {
		return out, err
	}
	full, err := d.FullScaleAmperes(p.Reads[0], p.Marks)
	out.FullScale, err = figure(full, err, volts, amperes, p.read(0), budget.Input{Value: p.Marks})
	return out, err
}

// Half is the coil from two readings, without and with a shunt across it; the
// battery, where its voltage was read (its value is not NaN), tells the full-scale
// current too, if the scale is known.
func Half(series, shunt budget.Input, p Pointer, battery budget.Input) (Finding, error) {
	h := bench.Half{SeriesOhms: series.Value, ShuntOhms: shunt.Value, Before: p.Reads[0], After: p.Reads[1]}
	coil, err := h.CoilOhms()
	out := Finding{Method: "half", FullScale: Exactly(math.NaN()), Shortcut: math.NaN()}
	if out.Coil, err = figure(coil, err, series, shunt, p.read(0), p.read(1)); err != nil {
		return out, err
	}
	if h.After == h.Before/2 {
		out.Shortcut = h.ShuntOhms
	}
	if p.tells(battery) {
		full, err := h.FullScaleAmperes(battery.Value, p.Marks)
		out.FullScale, err = figure(full, err, series, shunt, p.read(0), p.read(1), battery, budget.Input{Value: p.Marks})
		return out, err
	}
	return out, nil
}

// Compare is the coil from two readings behind two series resistors; the battery
// as for Half.
func Compare(series [2]budget.Input, p Pointer, battery budget.Input) (Finding, error) {
	c := bench.Compare{SeriesOhms: [2]float64{series[0].Value, series[1].Value}, Reads: [2]float64(p.Reads)}
	coil, err := c.CoilOhms()
	out := Finding{Method: "compare", FullScale: Exactly(math.NaN()), Shortcut: math.NaN()}
	if out.Coil, err = figure(coil, err, series[0], series[1], p.read(0), p.read(1)); err != nil {
		return out, err
	}
	if p.tells(battery) {
		full, err := c.FullScaleAmperes(battery.Value, p.Marks)
		out.FullScale, err = figure(full, err, series[0], series[1], p.read(0), p.read(1), battery, budget.Input{Value: p.Marks})
		return out, err
	}
	return out, nil
}

// tells whether scale and battery are known, so that they give the full-scale
// current.
func (p Pointer) tells(battery budget.Input) bool {
	return !math.IsNaN(battery.Value) && !math.IsNaN(p.Marks)
}

// mostly names what most of a figure's limit comes from, and its share of the
// variance; empty where nothing has half of it.
func (f Figure) mostly() (name string, share float64) {
	shares := map[string]float64{}
	for _, s := range f.sources {
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
	for _, s := range f.sources {
		if s.Gain && s.Name == shared {
			gainPercent = 100 * s.Half / f.Value
		} else {
			rest = append(rest, s)
		}
	}
	return gainPercent, math.Sqrt(3) * budget.Combine(rest).Standard
}
