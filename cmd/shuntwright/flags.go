package main

import (
	"errors"
	"fmt"
	"io"
	"math"
	"strings"
	"time"

	"github.com/spf13/pflag"

	"shuntwright/meter/quantity"
)

// options holds the values of all flags; a command sees those that it takes.
type options struct {
	drawer, instruments string
	format, table       string
	noColor             bool

	parts     int
	top       int
	within    percent
	enough    percent
	sure      bool
	keep      typed
	keeps     []string
	current   typed
	volts     typed
	class     percent
	timeLimit time.Duration

	temperature, from, to typed
	sourceOhms            typed
	sensitivity, ratings  bool
	supply                typed
	diode, across         string
	inSeries              int
	buy                   int
	series                string

	derate    float64
	ratedOnly bool

	id, nominal, tolerance, watts, kind, place, note, instrument string
	partVolts                                                    string

	write string

	meterName, fullScale, coil, swamp, divisions, meterClass string
	circuits                                                 []circuitFlag
}

// flagTable defines every flag once, by name, so that it means the same in
// every command. within differs in its default only.
func (o *options) flagTable(command string) map[string]func(*pflag.FlagSet) {
	within := percent(20)
	if command == "pick" {
		within = 5
	}
	measure := func(to *typed, unit quantity.Unit, name, usage string) func(*pflag.FlagSet) {
		return func(f *pflag.FlagSet) { to.unit = unit; f.Var(to, name, usage) }
	}
	text := func(to *string, name, usage string) func(*pflag.FlagSet) {
		return func(f *pflag.FlagSet) { f.StringVar(to, name, "", usage) }
	}
	circuit := func(name, usage string) func(*pflag.FlagSet) {
		return func(f *pflag.FlagSet) { f.Var(circuitValue{o, name}, name, usage) }
	}
	return map[string]func(*pflag.FlagSet){
		"drawer":      text(&o.drawer, "drawer", "`FILE` with the drawer (default drawer.csv, or SHUNTWRIGHT_DRAWER)"),
		"instruments": text(&o.instruments, "instruments", "`FILE` with the instruments (default instruments.json beside the drawer)"),
		"format": func(f *pflag.FlagSet) {
			f.StringVar(&o.format, "format", "table", "`FORM` of the answer: table, json, csv or markdown")
		},
		"table":    text(&o.table, "table", "`NAME` of the table that CSV shows"),
		"no-color": func(f *pflag.FlagSet) { f.BoolVar(&o.noColor, "no-color", false, "no colour on a terminal") },
		"parts":    func(f *pflag.FlagSet) { f.IntVar(&o.parts, "parts", 2, "at most `N` parts a position, 1 to 4") },
		"top":      func(f *pflag.FlagSet) { f.IntVar(&o.top, "top", 10, "`N` rows shown") },
		"within": func(f *pflag.FlagSet) {
			o.within = within
			f.Var(&o.within, "within", "networks further than `PERCENT` from the target are not considered")
		},
		"enough": func(f *pflag.FlagSet) {
			f.Var(&o.enough, "enough", "plans whose every range is within `PERCENT` are equally good; fewer parts win")
		},
		"current": func(f *pflag.FlagSet) {
			o.current.unit = quantity.Ampere
			f.Var(&o.current, "current", "`CURRENT` through the network at full scale, to hold ratings against")
		},
		"volts": func(f *pflag.FlagSet) {
			o.volts.unit = quantity.Volt
			f.Var(&o.volts, "volts", "`VOLTS` across the network at full scale, to hold ratings against")
		},
		"sure": func(f *pflag.FlagSet) {
			f.BoolVar(&o.sure, "sure", false, "rank by error plus limit: the surest, not the one that looks best")
		},
		"keep": func(f *pflag.FlagSet) {
			o.keep.unit = quantity.Ohm
			f.Var(&o.keep, "keep", "`OHMS` that stay in the position; the network is built round them")
		},
		"keep-at": func(f *pflag.FlagSet) {
			f.StringArrayVar(&o.keeps, "keep", nil, "`POSITION[=OHMS]`: what is in it, or a resistance, stays and is trimmed")
		},
		"class": func(f *pflag.FlagSet) {
			o.class = percent(math.NaN())
			f.Var(&o.class, "class", "accuracy class in `PERCENT` of full scale, in place of the meter file's")
		},
		"time-limit": func(f *pflag.FlagSet) {
			f.DurationVar(&o.timeLimit, "time-limit", 0, "end the search after `DURATION` (10s, 2m) with the best plan so far")
		},
		"derate": func(f *pflag.FlagSet) {
			f.Float64Var(&o.derate, "derate", 0.5, "`SHARE` of its rated watts that a part may carry (common practice: half)")
		},
		"rated-only": func(f *pflag.FlagSet) {
			f.BoolVar(&o.ratedOnly, "rated-only", false, "leave out parts whose watts and volts are not known")
		},
		"temperature": measure(&o.temperature, quantity.Celsius, "temperature", "`TEMPERATURE` of coil and resistors, such as 40C"),
		"from":        measure(&o.from, quantity.Celsius, "from", "coldest `TEMPERATURE` of the table over temperature, such as 0C"),
		"to":          measure(&o.to, quantity.Celsius, "to", "warmest `TEMPERATURE` of it, such as 45C"),
		"source-ohms": measure(&o.sourceOhms, quantity.Ohm, "source-ohms", "`OHMS` of the circuit that feeds the meter"),
		"sensitivity": func(f *pflag.FlagSet) {
			f.BoolVar(&o.sensitivity, "sensitivity", false, "show how every range moves with every resistor, and in which order to trim")
		},
		"ratings": func(f *pflag.FlagSet) {
			f.BoolVar(&o.ratings, "ratings", false, "show every part's watts and volts at full scale beside its ratings")
		},
		"buy": func(f *pflag.FlagSet) {
			f.IntVar(&o.buy, "buy", 0, "name the fewest of at most `N` parts to buy that bring every range within the class")
		},
		"series": text(&o.series, "series", "`SERIES` to buy from (IEC 60063): "+seriesNames()+"; default as marked in the drawer, or E24"),
		"supply": measure(&o.supply, quantity.Volt, "supply", "`VOLTS` that feed the fault"),
		"diode": func(f *pflag.FlagSet) {
			f.StringVar(&o.diode, "diode", "1N4007", "`DIODE`: 1N4007, 1N4148, or is=7.03e-9,n=1.808,rs=0.034,…")
		},
		"in-series": func(f *pflag.FlagSet) { f.IntVar(&o.inSeries, "in-series", 1, "`N` diodes in series each way") },
		"across": func(f *pflag.FlagSet) {
			f.StringVar(&o.across, "across", "movement", "`PLACE` of the diodes: movement, coil, terminals or shunt")
		},
		"write": text(&o.write, "write", "put the demo's files into `DIR`, never over files that exist"),

		"id":         text(&o.id, "id", "`ID` of the part (default R001 and on)"),
		"nominal":    text(&o.nominal, "nominal", "`OHMS` as marked on the part"),
		"tolerance":  text(&o.tolerance, "tolerance", "`PERCENT` as marked on the part"),
		"watts":      text(&o.watts, "watts", "rated `WATTS` at 70 °C"),
		"part-volts": text(&o.partVolts, "volts", "limiting element voltage in `VOLTS`"),
		"kind":       text(&o.kind, "kind", "`TEXT`: metal film, carbon composition, …"),
		"place":      text(&o.place, "place", "`TEXT`: where the part lies"),
		"note":       text(&o.note, "note", "`TEXT` to remember"),
		"instrument": text(&o.instrument, "instrument", "`NAME` of the instrument that measured it"),

		"name":           text(&o.meterName, "name", "`NAME` of the meter"),
		"full-scale":     text(&o.fullScale, "full-scale", "the movement's full-scale `CURRENT`"),
		"coil":           text(&o.coil, "coil", "the coil's resistance in `OHMS`"),
		"swamp":          text(&o.swamp, "swamp", "swamping resistor in series with the coil, in `OHMS`"),
		"divisions":      text(&o.divisions, "divisions", "`NUMBER` of divisions of the scale"),
		"meter-class":    text(&o.meterClass, "class", "accuracy class in `PERCENT` of full scale"),
		"direct":         circuit("direct", "`RANGE` of the bare movement"),
		"shunt":          circuit("shunt", "`RANGE,…` each with a shunt of its own"),
		"multiplier":     circuit("multiplier", "`RANGE,…` each with a multiplier of its own"),
		"ring":           circuit("ring", "`RANGE,…` on one universal (Ayrton) shunt, smallest first"),
		"chain":          circuit("chain", "`RANGE,…` on one tapped chain of multipliers, smallest first"),
		"external-shunt": circuit("external-shunt", "`RANGE,shunt=OHMS` (or series=OHMS, or drop=VOLTS): shunt left in the lead"),
	}
}

// common are the flags that every command takes.
var common = []string{"format", "table", "no-color"}

// parse reads the arguments behind the command's name. It tells whether help
// was asked for.
func (c *call) parse(args []string) (help bool, err error) {
	flags, err := c.flagSet()
	if err != nil {
		return false, err
	}
	if err := flags.Parse(args); errors.Is(err, pflag.ErrHelp) {
		return true, nil
	} else if err != nil {
		return false, err
	}
	c.flags, c.args = flags, flags.Args()
	return false, c.countOperands()
}

// flagSet makes the command's flags; it fails on a name that is not in the
// table, which a test looks for.
func (c *call) flagSet() (*pflag.FlagSet, error) {
	flags := pflag.NewFlagSet(c.command.name, pflag.ContinueOnError)
	flags.SortFlags = false
	flags.SetOutput(io.Discard)
	table := c.options.flagTable(c.command.name)
	for _, name := range append(append([]string{}, c.command.flags...), common...) {
		define, known := table[name]
		if !known {
			return nil, fmt.Errorf("flag %q of command %q is not in the table of flags", name, c.command.name)
		}
		define(flags)
	}
	return flags, nil
}

// flagHelp lists the flags with their defaults.
func (c *command) flagHelp() string {
	flags, err := (&call{command: c}).flagSet()
	if err != nil {
		return err.Error()
	}
	return flags.FlagUsagesWrapped(defaultWidth)
}

// countOperands refuses too few or too many operands, naming what is missing.
func (c *call) countOperands() error {
	n := len(c.args)
	switch {
	case n < c.command.least:
		return fmt.Errorf("%s is missing: shuntwright %s %s", missing(c.command.operands, n), c.command.name, c.command.operands)
	case c.command.most >= 0 && n > c.command.most:
		return fmt.Errorf("%q is one operand too many: shuntwright %s", c.args[c.command.most],
			strings.TrimSpace(c.command.name+" "+c.command.operands))
	}
	return nil
}

// missing is the n-th word of the operands.
func missing(operands string, n int) string {
	words := strings.Fields(operands)
	if n < len(words) {
		return strings.Trim(words[n], "[]…")
	}
	return "an operand"
}
