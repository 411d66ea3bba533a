package main

import (
	"math"
	"strings"

	"shuntwright/cmd/shuntwright/internal/asbuilt"
	"shuntwright/cmd/shuntwright/internal/movement"
	"shuntwright/cmd/shuntwright/internal/readings"
	"shuntwright/inventory"
	"shuntwright/meter/budget"
	"shuntwright/meter/quantity"
)

// dropFinding is the movement by the voltage across it.
func (c *call) dropFinding() (movement.Finding, []string, error) {
	o := &c.options
	if err := c.needs("--current 1.000mA --drop 98.6mV", "current", "drop"); err != nil {
		return movement.Finding{}, nil, err
	}
	p, assumed, err := c.pointer(1)
	if err != nil {
		return movement.Finding{}, nil, err
	}
	volts, amperes := c.voltmeter(o.drop.value), budget.Input{Name: "reading the ammeter", Value: o.current.value.Base, GainPercent: float64(o.currentPercent), Floor: o.current.value.Step}
	if !c.metersDescribed() {
		f, err := movement.Drop(volts, amperes, p)
		return f, append(assumed, c.trustedMeters("drop-percent", "current-percent")...), err
	}
	by, err := c.dropInstrument()
	if err != nil {
		return movement.Finding{}, nil, err
	}
	in, err := c.readInstruments()
	if err != nil {
		return movement.Finding{}, nil, err
	}
	if _, err := in.Measure(asbuilt.Unlisted(o.current.value, o.instrument)); err != nil { // it is not known
		return movement.Finding{}, nil, misused("--instrument: %w", err)
	}
	// The two meters are described as one: its gain is that of their quotient.
	volts.GainPercent, volts.Floor = 0, by.Counts*volts.Floor+by.FloorOhms*amperes.Value
	amperes.GainPercent, amperes.Floor, amperes.Shared = by.GainPercent, by.Counts*amperes.Floor, o.instrument
	f, err := movement.Drop(volts, amperes, p)
	return f, assumed, err
}

// voltmeter is a voltage that was read.
func (c *call) voltmeter(v quantity.Value) budget.Input {
	return budget.Input{Name: "reading the voltmeter", Value: v.Base, GainPercent: float64(c.options.dropPercent), Floor: v.Step}
}

// halfFinding is the movement by the shunt that halves its reading.
func (c *call) halfFinding() (movement.Finding, []string, error) {
	if err := c.needs("--series 1402ohm --shunt 92.1ohm", "series", "shunt"); err != nil {
		return movement.Finding{}, nil, err
	}
	p, assumed, err := c.pointer(2)
	if err != nil {
		return movement.Finding{}, nil, err
	}
	resistors, more, err := c.resistors(c.options.movementSeries, "--series", c.options.movementShunt, "--shunt")
	if err != nil {
		return movement.Finding{}, nil, err
	}
	battery, about := c.battery()
	f, err := movement.Half(resistors[0], resistors[1], p, battery)
	return f, append(append(assumed, more...), about...), err
}

// compareFinding is the movement by two series resistors.
func (c *call) compareFinding() (movement.Finding, []string, error) {
	if err := c.needs("--series 28.0k,56.1k --reads 49.8,25.9", "series", "reads"); err != nil {
		return movement.Finding{}, nil, err
	}
	p, assumed, err := c.pointer(2)
	if err != nil {
		return movement.Finding{}, nil, err
	}
	first, second, two := strings.Cut(c.options.movementSeries, ",")
	if !two {
		return movement.Finding{}, nil, misused("--series %q: two series resistors belong here, such as 28.0k,56.1k", c.options.movementSeries)
	}
	resistors, more, err := c.resistors(first, "--series", second, "--series")
	if err != nil {
		return movement.Finding{}, nil, err
	}
	battery, about := c.battery()
	f, err := movement.Compare(resistors, p, battery)
	return f, append(append(assumed, more...), about...), err
}

// resistors are the two of a measurement, by the instrument that measured them.
func (c *call) resistors(first, firstFlag, second, secondFlag string) (out [2]budget.Input, assumed []string, err error) {
	in, err := c.readInstruments()
	if err != nil {
		return out, nil, err
	}
	var used []inventory.Measured
	for i, one := range [2][2]string{{first, firstFlag}, {second, secondFlag}} {
		v, err := quantity.Parse(one[0], quantity.Ohm, quantity.Positive)
		if err != nil {
			return out, nil, misused("%s: %w", one[1], err)
		}
		m, err := in.Measure(asbuilt.Unlisted(v, c.options.instrument))
		if err != nil {
			return out, nil, misused("%s %s: %w", one[1], one[0], err)
		}
		used = append(used, m)
		out[i] = movement.Resistor(m)
	}
	return out, asbuilt.Assumptions(used), nil
}

// battery is the voltage of the battery, NaN where none is given.
func (c *call) battery() (budget.Input, []string) {
	if c.options.battery.value.Text == "" {
		return budget.Input{Value: math.NaN()}, nil
	}
	return c.voltmeter(c.options.battery.value), c.trustedMeters("drop-percent")
}

// usualDivisions is how many divisions a scale is taken to have of which nobody
// says it (common practice: panel meters have 30 to 60).
const usualDivisions = 50

// pointer is what was read on the scale: so many readings, or where none are
// given the last mark, and half of it.
func (c *call) pointer(n int) (p movement.Pointer, assumed []string, err error) {
	o := &c.options
	p = movement.Pointer{Marks: math.NaN(), Limit: readings.ReadDivisions}
	if err := optional("divisions", o.divisions, quantity.Division, quantity.Positive, &p.Marks); err != nil {
		return p, nil, err
	}
	if o.reads == "" {
		text := "the pointer was set within ±0.2 division (common practice)"
		if math.IsNaN(p.Marks) {
			p.Marks, text = usualDivisions, "the pointer was set within ±0.2 of 50 divisions (--divisions)"
		}
		p.Reads = []float64{p.Marks, p.Marks / 2}[:n]
		return p, []string{text}, nil
	}
	step := math.Inf(1)
	for _, text := range strings.Split(o.reads, ",") {
		v, err := quantity.Parse(text, quantity.Division, quantity.Positive)
		if err != nil {
			return p, nil, misused("--reads: %w", err)
		}
		if v.Base > 1.2*p.Marks {
			return p, nil, misused("--reads %s of --divisions %s: the pointer stands at its stop beyond 120 %% of full scale", v.Text, o.divisions)
		}
		p.Reads, step = append(p.Reads, v.Base), min(step, v.Step)
	}
	switch {
	case len(p.Reads) != n && n == 1:
		return p, nil, misused("--reads %q: one reading belongs here", o.reads)
	case len(p.Reads) != n:
		return p, nil, misused("--reads %q: two readings belong here, such as 50.0,24.6", o.reads)
	case n == 1 && math.IsNaN(p.Marks):
		return p, nil, misused("--reads %s needs --divisions, which tells what the last mark is", o.reads)
	case math.IsNaN(p.Marks):
		p.Limit = step / 2
		return p, []string{"the pointer is read to half of its last digit (--divisions)"}, nil
	}
	return p, []string{"the pointer is read to ±0.2 division (common practice)"}, nil
}
