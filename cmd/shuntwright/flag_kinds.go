package main

import (
	"time"

	"github.com/spf13/pflag"

	"shuntwright/meter/quantity"
)

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
