package main

import (
	"fmt"
	"math"
	"strings"
	"time"

	"github.com/spf13/pflag"

	"shuntwright/inventory"
	"shuntwright/inventory/instrument"
	"shuntwright/meter/quantity"
)

// percent is a flag that holds a percentage: "5" or "5%".
type percent float64

func (p *percent) Type() string { return "percent" }

func (p *percent) String() string {
	if math.IsNaN(float64(*p)) {
		return ""
	}
	return fmt.Sprintf("%g", float64(*p))
}

func (p *percent) Set(text string) error {
	v, err := quantity.Parse(text, quantity.Percent, quantity.NotNegative)
	if err != nil {
		return err
	}
	*p = percent(v.Base)
	return nil
}

// typed is a flag that holds a quantity in a given unit, or nothing.
type typed struct {
	unit  quantity.Unit
	zero  bool // may be zero
	value quantity.Value
}

func (t *typed) Type() string   { return "quantity" }
func (t *typed) String() string { return t.value.Text }

func (t *typed) Set(text string) error {
	sign := quantity.Positive
	switch {
	case t.unit == quantity.Celsius:
		sign = quantity.AnySign
	case t.zero:
		sign = quantity.NotNegative
	}
	v, err := quantity.Parse(text, t.unit, sign)
	if err != nil {
		return err
	}
	if t.unit == quantity.Celsius && !(v.Base >= coldest && v.Base <= warmest) {
		return fmt.Errorf("%q is not from %d to %d °C, where copper and diodes are known; a temperature such as 40 °C belongs here", text, coldest, warmest)
	}
	t.value = v
	return nil
}

// The temperatures at which anything is said of a meter, in °C: below, the straight
// line of copper's resistance ends in nothing, and above, copper melts.
const coldest, warmest = -200, 1000

// base is the value in its unit, NaN where the flag was not given.
func (t *typed) base() float64 { return t.or(math.NaN()) }

// or is base, or another value where the flag was not given.
func (t *typed) or(other float64) float64 {
	if t.value.Text == "" {
		return other
	}
	return t.value.Base
}

// accuracy is a flag that holds what a data sheet promises.
type accuracy struct {
	text    string
	promise instrument.Instrument
}

func (a *accuracy) Type() string   { return "accuracy" }
func (a *accuracy) String() string { return a.text }

func (a *accuracy) Set(text string) (err error) {
	a.text = text
	a.promise, err = parseAccuracy(text)
	return err
}

// parseAccuracy reads what is promised of readings that make sense.
func parseAccuracy(text string) (instrument.Instrument, error) {
	promise, err := instrument.ParseAccuracy(text)
	if err == nil {
		err = instrument.ValidGain(promise.GainPercent)
	}
	return promise, err
}

// atMost is a percentage with a largest one.
type atMost struct {
	*percent
	most float64
	hint string
	some bool // zero is refused too
}

func (a atMost) Set(text string) error {
	if err := a.percent.Set(text); err != nil {
		return err
	}
	if a.some && *a.percent == 0 {
		return fmt.Errorf("%q is zero; %s", text, a.hint)
	}
	if float64(*a.percent) > a.most {
		return fmt.Errorf("%q is more than %g; %s", text, a.most, a.hint)
	}
	return nil
}

// circuitFlag is one --shunt, --ring, … of meter new, in the order given.
type circuitFlag struct {
	kind string
	text string
}

// circuitValue collects the circuit flags of all kinds in one list, so that
// the meter file keeps the order of the command line.
type circuitValue struct {
	options *options
	kind    string
}

func (v circuitValue) Type() string   { return "ranges" }
func (v circuitValue) String() string { return "" }

func (v circuitValue) Set(text string) error {
	if strings.TrimSpace(text) == "" {
		return fmt.Errorf("no range in %q; say for example --%s \"50 mA\"", text, v.kind)
	}
	v.options.circuits = append(v.options.circuits, circuitFlag{v.kind, text})
	return nil
}

// isNumber tells a number from "not given".
func isNumber(x float64) bool { return !math.IsNaN(x) }

// selections is a flag that holds conditions on parts, and may be given again.
type selections []inventory.Selection

func (s *selections) Type() string { return "parts" }
func (s *selections) String() string {
	var texts []string
	for _, one := range *s {
		texts = append(texts, one.String())
	}
	return strings.Join(texts, " and ")
}

func (s *selections) Set(text string) error {
	selection, err := inventory.ParseSelection(text)
	*s = append(*s, selection)
	return err
}

// flagSetter defines one flag by the name that it is given.
type flagSetter = func(f *pflag.FlagSet, name string)

func textFlag(to *string, preset, usage string) flagSetter {
	return func(f *pflag.FlagSet, name string) { f.StringVar(to, name, preset, usage) }
}

// textsFlag may be given again, and holds a text each time.
func textsFlag(to *[]string, usage string) flagSetter {
	return func(f *pflag.FlagSet, name string) { f.StringArrayVar(to, name, nil, usage) }
}

func switchFlag(to *bool, usage string) flagSetter {
	return func(f *pflag.FlagSet, name string) { f.BoolVar(to, name, false, usage) }
}

func countFlag(to *int, preset int, usage string) flagSetter {
	return func(f *pflag.FlagSet, name string) { f.IntVar(to, name, preset, usage) }
}

func durationFlag(to *time.Duration, preset time.Duration, usage string) flagSetter {
	return func(f *pflag.FlagSet, name string) { f.DurationVar(to, name, preset, usage) }
}

// valueFlag holds what a type of its own reads.
func valueFlag(to pflag.Value, usage string) flagSetter {
	return func(f *pflag.FlagSet, name string) { f.Var(to, name, usage) }
}

func percentFlag(to *percent, preset percent, usage string) flagSetter {
	return func(f *pflag.FlagSet, name string) { *to = preset; f.Var(to, name, usage) }
}

func atMostFlag(to atMost, preset percent, usage string) flagSetter {
	return func(f *pflag.FlagSet, name string) { *to.percent = preset; f.Var(to, name, usage) }
}

// measureFlag holds a quantity in a unit.
func measureFlag(to *typed, unit quantity.Unit, usage string) flagSetter {
	return func(f *pflag.FlagSet, name string) { to.unit = unit; f.Var(to, name, usage) }
}
