package main

import (
	"github.com/spf13/pflag"

	"shuntwright/meter/quantity"
)

// movementFlags say what was read of a movement or a set on the bench.
func (o *options) movementFlags() map[string]flagSetter {
	return map[string]flagSetter{
		"movement-current": measureFlag(&o.current, quantity.Ampere, "current", "`CURRENT` through the movement"),
		"movement-drop":    measureFlag(&o.drop, quantity.Volt, "drop", "`VOLTS` across the movement at that current"),
		"movement-series":  textFlag(&o.movementSeries, "series", "`OHMS` between battery and movement; for compare two of them, separated by a comma"),
		"movement-shunt":   textFlag(&o.movementShunt, "shunt", "`OHMS` across the movement that halve its reading"),
		"reads":            textFlag(&o.reads, "reads", "`READING,…` of the pointer, in the order of the measurement (default the last mark, then half of it)"),
		"battery":          measureFlag(&o.battery, quantity.Volt, "battery", "`VOLTS` of the battery, read while it drives the movement"),
		"known-full-scale": measureFlag(&o.knownFullScale, quantity.Ampere, "full-scale", "`CURRENT` at the last mark, where it is known"),
		"enough-tolerance": func(f *pflag.FlagSet) {
			f.BoolVar(&o.withinTolerance, "enough", false, "any value within the tolerance of the part will do, and fewer parts win")
		},
		"write-meter": textFlag(&o.write, "write", "`METER` file whose movement becomes what was measured"),
	}
}
