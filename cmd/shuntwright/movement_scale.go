package main

import (
	"math"
	"strings"

	"shuntwright/cmd/shuntwright/internal/movement"
	"shuntwright/cmd/shuntwright/internal/readings"
	"shuntwright/meter/quantity"
)

// usualDivisions is how many divisions a scale is taken to have of which nobody
// says it (common practice: panel meters have 30 to 60).
const usualDivisions = 50

// marks are the divisions of the scale, NaN where nobody says it.
func (c *call) marks() (float64, error) {
	text := c.options.divisions
	if text == "" {
		return math.NaN(), nil
	}
	v, err := quantity.Parse(text, quantity.Division, quantity.Positive)
	if err != nil {
		return 0, misused("--divisions: %w", err)
	}
	return v.Base, nil
}

// pointer is what was read on the scale: so many readings, or where none are
// given the last mark, and half of it.
func (c *call) pointer(n int) (p movement.Pointer, assumed []string, err error) {
	o := &c.options
	p.Limit = readings.ReadDivisions
	if p.Marks, err = c.marks(); err != nil {
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
