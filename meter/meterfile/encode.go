package meterfile

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"shuntwright/meter"
)

// CircuitDescription is one circuit of a new meter file.
type CircuitDescription struct {
	Circuit string   // the kind
	Ranges  []string // exactly one, where the kind does not take many
	Given   []Given
}

// Given is a field of a circuit besides its ranges: "contact", "shunt",
// "circuit_volts", … A field in percent is a number.
type Given struct{ Field, Text string }

// movementFields are the fields of the movement, in the order of a new file.
var movementFields = []string{"full_scale", "full_scale_limit_percent", "coil", "coil_gain_percent", "coil_floor",
	"instrument", "swamp", "swamp_limit_percent", "divisions", "reference_celsius"}

// Encode writes a new meter file, one circuit a line, every position open. The
// fields are those that Editing.Set takes, in any order. The error is that of Parse
// where they are of no meter.
func Encode(fields []Given, circuits []CircuitDescription) ([]byte, error) {
	object := func(names ...string) (out object) {
		for _, name := range names {
			for _, g := range fields {
				if g.Field == name {
					out = out.with(g)
				}
			}
		}
		return out
	}
	var lines []string
	for _, c := range circuits {
		lines = append(lines, c.encode().inline())
	}
	top := append(object("name"), `"movement": `+object(movementFields...).inline())
	top = append(append(top, object("class")...), "\"circuits\": [\n    "+strings.Join(lines, ",\n    ")+"\n  ]")
	data := []byte("{\n  " + strings.Join(top, ",\n  ") + "\n}\n")
	if _, err := Parse("new meter", data); err != nil {
		return nil, fmt.Errorf("writing a new meter file: %w", err)
	}
	return data, nil
}

func (c CircuitDescription) encode() object {
	o := object{}.with(Given{"circuit", c.Circuit})
	many := slices.ContainsFunc(meter.Kinds(), func(k meter.Kind) bool { return k.Name == c.Circuit && k.Many })
	switch {
	case many || len(c.Ranges) > 1:
		var quoted []string
		for _, r := range c.Ranges {
			quoted = append(quoted, quote(r))
		}
		o = append(o, `"ranges": [`+strings.Join(quoted, ", ")+"]")
	case len(c.Ranges) > 0:
		o = o.with(Given{"range", c.Ranges[0]})
	}
	for _, g := range c.Given {
		o = o.with(g)
	}
	return o
}

// object is the fields of an object in JSON.
type object []string

// with adds a field that is not empty.
func (o object) with(g Given) object {
	if g.Text == "" {
		return o
	}
	return append(o, quote(g.Field)+": "+g.value())
}

func (o object) inline() string { return "{" + strings.Join(o, ", ") + "}" }

// value is what stands behind a field's name: a number where the field takes one
// and the text is one.
func (g Given) value() string {
	x, err := strconv.ParseFloat(g.Text, 64)
	if takes := slices.Contains(plainNumbers, g.Field) || strings.HasSuffix(g.Field, "_percent"); takes && err == nil && !math.IsNaN(x) && !math.IsInf(x, 0) {
		return strconv.FormatFloat(x, 'g', -1, 64)
	}
	return quote(g.Text)
}
