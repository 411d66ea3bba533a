package main

import (
	"github.com/spf13/pflag"

	"shuntwright/meter/quantity"
)

// buyFlag says how much may be bought.
func (o *options) buyFlag() flagSetter {
	return func(f *pflag.FlagSet) {
		f.IntVar(&o.buy, "buy", 0, "name the fewest parts to buy, of at most `N` different values, that bring every range within the class")
	}
}

// presetFlag is a flag that holds a quantity where it is not given.
func presetFlag(to *typed, unit quantity.Unit, preset, name, usage string) flagSetter {
	return func(f *pflag.FlagSet) {
		to.unit = unit
		_ = to.Set(preset) // ours
		f.Var(to, name, usage)
	}
}

// windFlag says what is made of wire.
func (o *options) windFlag() flagSetter {
	return func(f *pflag.FlagSet) {
		f.StringVar(&o.wind, "wind", "needed", "`WHAT` is wound of wire off the drawer's spools: needed, where parts do not reach; never; or positions, separated by commas")
	}
}
