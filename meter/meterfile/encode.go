package meterfile

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"shuntwright/meter"
)

// Description is what a new meter file is to say, in the texts that somebody
// typed. Empty texts and NaN numbers are left out, so start from
// NewDescription.
type Description struct {
	Name, FullScale, Coil, Swamp, Instrument string
	Divisions, Class                         float64
	FullScaleLimitPercent, CoilGainPercent   float64
	SwampLimitPercent, ReferenceCelsius      float64
	CoilFloor                                string
	Circuits                                 []CircuitDescription
}

// NewDescription returns a description of a movement, given its full-scale
// current and its coil's resistance, of which nothing else is known.
func NewDescription(name, fullScale, coil string) Description {
	nan := math.NaN()
	return Description{Name: name, FullScale: fullScale, Coil: coil, Divisions: nan, Class: nan, FullScaleLimitPercent: nan, CoilGainPercent: nan, SwampLimitPercent: nan, ReferenceCelsius: nan}
}

// CircuitDescription is one circuit of a new meter file.
type CircuitDescription struct {
	Circuit string   // the kind
	Ranges  []string // exactly one, where the kind does not take many
	Given   []Given
}

// Given is a field of a circuit besides its ranges: "contact", "shunt",
// "circuit_volts", … A field in percent is a number.
type Given struct{ Field, Text string }

// Encode writes a new meter file, one circuit a line, every position open. The
// error is that of Parse where the description is of no meter.
func Encode(desc Description) ([]byte, error) {
	movement := object{}.text("full_scale", desc.FullScale).number("full_scale_limit_percent", desc.FullScaleLimitPercent).
		text("coil", desc.Coil).number("coil_gain_percent", desc.CoilGainPercent).text("coil_floor", desc.CoilFloor).
		text("instrument", desc.Instrument).text("swamp", desc.Swamp).number("swamp_limit_percent", desc.SwampLimitPercent).
		number("divisions", desc.Divisions).number("reference_celsius", desc.ReferenceCelsius)
	var circuits []string
	for _, c := range desc.Circuits {
		circuits = append(circuits, c.encode().inline())
	}
	list := "[\n    " + strings.Join(circuits, ",\n    ") + "\n  ]"
	top := object{}.text("name", desc.Name).raw("movement", movement.inline()).number("class", desc.Class).raw("circuits", list)
	data := []byte("{\n  " + strings.Join(top, ",\n  ") + "\n}\n")
	if _, err := Parse("new meter", data); err != nil {
		return nil, fmt.Errorf("writing a new meter file: %w", err)
	}
	return data, nil
}

func (c CircuitDescription) encode() object {
	o := object{}.text("circuit", c.Circuit)
	many := slices.ContainsFunc(meter.Kinds(), func(k meter.Kind) bool { return k.Name == c.Circuit && k.Many })
	switch {
	case many || len(c.Ranges) > 1:
		var quoted []string
		for _, r := range c.Ranges {
			quoted = append(quoted, quote(r))
		}
		o = o.raw("ranges", "["+strings.Join(quoted, ", ")+"]")
	case len(c.Ranges) > 0:
		o = o.text("range", c.Ranges[0])
	}
	for _, g := range c.Given {
		if x, err := strconv.ParseFloat(g.Text, 64); err == nil && strings.HasSuffix(g.Field, "_percent") {
			o = o.number(g.Field, x)
			continue
		}
		o = o.text(g.Field, g.Text)
	}
	return o
}

// object is the fields of an object in JSON.
type object []string

func (o object) raw(key, value string) object { return append(o, quote(key)+": "+value) }

func (o object) text(key, value string) object {
	if value == "" {
		return o
	}
	return o.raw(key, quote(value))
}

func (o object) number(key string, x float64) object {
	if math.IsNaN(x) {
		return o
	}
	return o.raw(key, strconv.FormatFloat(x, 'g', -1, 64))
}

func (o object) inline() string { return "{" + strings.Join(o, ", ") + "}" }
