package main

import (
	"cmp"
	"maps"
	"math"
	"strings"

	"github.com/spf13/pflag"

	"shuntwright/inventory"
	"shuntwright/meter"
	"shuntwright/meter/meterfile"
	"shuntwright/meter/quantity"
)

// classHint says which accuracy classes there are.
const classHint = "accuracy classes are 0.05 to 5, in percent of full scale (IEC 60051)"

// meterHint says what meters promise.
const meterHint = "a voltmeter or ammeter promises 0.05 to 5 % of what it shows (common practice)"

// flagSetter defines one flag.
type flagSetter = func(*pflag.FlagSet)

// flagTable defines every flag once, by name, so that it means the same in
// every command. within and resolution differ in their defaults only.
func (o *options) flagTable(command string) map[string]flagSetter {
	table := map[string]flagSetter{}
	for _, group := range []map[string]flagSetter{o.fileFlags(), o.searchFlags(command), o.electricalFlags(), o.partFlags(), o.instrumentFlags(), o.meterFlags(), o.readingFlags(), o.sheetFlags(), o.movementFlags()} {
		maps.Copy(table, group)
	}
	return table
}

// textFlag is a flag that holds a text.
func textFlag(to *string, name, usage string) flagSetter {
	return func(f *pflag.FlagSet) { f.StringVar(to, name, "", usage) }
}

// textsFlag is a flag that may be given again, and holds a text each time.
func textsFlag(to *[]string, name, usage string) flagSetter {
	return func(f *pflag.FlagSet) { f.StringArrayVar(to, name, nil, usage) }
}

// measureFlag is a flag that holds a quantity in a unit.
func measureFlag(to *typed, unit quantity.Unit, name, usage string) flagSetter {
	return func(f *pflag.FlagSet) { to.unit = unit; f.Var(to, name, usage) }
}

// fileFlags say the files, the form of the answer.
func (o *options) fileFlags() map[string]flagSetter {
	return map[string]flagSetter{
		"drawer": textFlag(&o.drawer, "drawer", "`FILE` with the drawer (default drawer.csv, or SHUNTWRIGHT_DRAWER)"),
		// Whoever reads the instruments can be told of the one that nobody names.
		"instruments": func(f *pflag.FlagSet) {
			o.instrumentsFlag()(f)
			f.Var(&o.accuracy, "accuracy", "`TEXT` that readings without a named instrument are trusted to, such as \"0.5 % + 2 counts + 0.1 ohm\"")
		},
		"instruments-file": o.instrumentsFlag(),
		"format": func(f *pflag.FlagSet) {
			f.StringVar(&o.format, "format", "table", "`FORM` of the answer: table, json, csv or markdown")
		},
		"full": func(f *pflag.FlagSet) {
			f.BoolVar(&o.full, "full", false, "all that is known; without it the answer is what the bench needs")
		},
		"table": textFlag(&o.table, "table", "`NAME` of the table that CSV shows"),
		"ascii": func(f *pflag.FlagSet) {
			f.BoolVar(&o.ascii, "ascii", false, "write ohm, u and +- (the default where the locale is not UTF-8)")
		},
		"no-color": func(f *pflag.FlagSet) { f.BoolVar(&o.noColor, "no-color", false, "no colour on a terminal") },
		"wait": func(f *pflag.FlagSet) {
			f.DurationVar(&o.wait, "wait", defaultWait, "give up after `DURATION` where another program is writing to the files")
		},
		"list":  func(f *pflag.FlagSet) { f.BoolVar(&o.list, "list", false, "change nothing, show the steps") },
		"write": textFlag(&o.write, "write", "put the demo's files into `DIR`, never over files that exist"),
	}
}

// instrumentsFlag is the flag that names the instruments' file.
func (o *options) instrumentsFlag() flagSetter {
	return textFlag(&o.instruments, "instruments", "`FILE` with the instruments (default instruments.json beside the drawer)")
}

// instrumentFlags say what an instrument promises.
func (o *options) instrumentFlags() map[string]flagSetter {
	leads := func(to *typedOrZero, name, usage string) flagSetter {
		return func(f *pflag.FlagSet) { to.unit = quantity.Ohm; f.Var(to, name, usage) }
	}
	return map[string]flagSetter{
		"promise": func(f *pflag.FlagSet) {
			f.Var(&o.accuracy, "accuracy", "`TEXT` as in the data sheet, such as \"0.8 % + 1 count + 0.03 ohm\"")
		},
		"leads":       leads(&o.leads, "leads", "`OHMS` that it shows with its leads shorted"),
		"leads-floor": leads(&o.leadsFloor, "leads-floor", "`OHMS` that stay uncertain of the leads"),
		"wires":       func(f *pflag.FlagSet) { f.IntVar(&o.wires, "wires", 2, "`N` wires to the part, 2 or 4") },
	}
}

// searchFlags say what the search is asked.
func (o *options) searchFlags(command string) map[string]flagSetter {
	within, resolution, off := percent(20), percent(0.05), "full scale"
	switch command {
	case "pick":
		within, resolution, off = 5, 0.001, "the target"
	case "drawer list":
		within = 10
	}
	return map[string]flagSetter{
		"parts": func(f *pflag.FlagSet) { f.IntVar(&o.parts, "parts", 2, "at most `N` parts a position, 1 to 4") },
		"top":   func(f *pflag.FlagSet) { f.IntVar(&o.top, "top", 10, "`N` rows shown") },
		"within": func(f *pflag.FlagSet) {
			o.within = within
			f.Var(&o.within, "within", "networks further than `PERCENT` from the target are not considered")
		},
		"resolution": func(f *pflag.FlagSet) {
			o.resolution = resolution
			f.Var(&o.resolution, "resolution", "errors count in whole steps of `PERCENT` of "+off+", and of as many fewer parts win; 0: every digit counts")
		},
		"enough": func(f *pflag.FlagSet) {
			f.Var(&o.enough, "enough", "an error within `PERCENT` counts as none, so that fewer parts win; measured: as far as the measurements can tell")
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
		"trim": func(f *pflag.FlagSet) {
			f.BoolVar(&o.trim, "trim", false, "what is fitted stays: the fewest parts added to it that bring every range within the class")
		},
		"class": func(f *pflag.FlagSet) {
			o.class = percent(math.NaN())
			f.Var(atMost{&o.class, meterfile.MostClass, classHint, true}, "class", "accuracy class in `PERCENT` of full scale, in place of the meter file's")
		},
		"wind":      o.windFlag(),
		"buy-watts": presetFlag(&o.buyWatts, quantity.Watt, "0.5 W", "buy-watts", "rated `WATTS` of what can be bought"),
		"buy-volts": presetFlag(&o.buyVolts, quantity.Volt, "350 V", "buy-volts", "`VOLTS` that what can be bought stands across it"),
		"time-limit": func(f *pflag.FlagSet) {
			f.DurationVar(&o.timeLimit, "time-limit", defaultTime, "end the search after `DURATION` (30s, 2m) with the best so far; 0: no end but its own")
		},
		"derate": func(f *pflag.FlagSet) {
			f.Float64Var(&o.derate, "derate", 0.5, "`SHARE` of its rated watts that a part may carry (common practice: half)")
		},
		"rated-only": func(f *pflag.FlagSet) {
			f.BoolVar(&o.wanted.RatedOnly, "rated-only", false, "leave out parts of which neither watts nor volts are known; one of them known, a part is held to that")
		},
		"only": func(f *pflag.FlagSet) {
			f.Var((*selections)(&o.wanted.Only), "only", "take only `PARTS`: ids, kind=TEXT, place=TEXT, drifted=PERCENT, separated by commas; given twice, both must hold")
		},
		"exclude": func(f *pflag.FlagSet) {
			f.Var((*selections)(&o.wanted.Exclude), "exclude", "leave out `PARTS`, named as for --only: old carbon does not belong in a high-voltage string")
		},
		"buy":    o.buyFlag(),
		"series": textFlag(&o.series, "series", "`SERIES` to buy from (IEC 60063): "+seriesNames()+"; default E24, or as ten or more markings in the drawer say"),
	}
}

// electricalFlags say the circuit round the meter.
func (o *options) electricalFlags() map[string]flagSetter {
	o.sourceOhms.zero = true
	return map[string]flagSetter{
		"temperature": measureFlag(&o.temperature, quantity.Celsius, "temperature", "`TEMPERATURE` of coil and resistors, such as 40C"),
		"from":        measureFlag(&o.from, quantity.Celsius, "from", "coldest `TEMPERATURE` of the table over temperature, such as 0C"),
		"to":          measureFlag(&o.to, quantity.Celsius, "to", "warmest `TEMPERATURE` of it, such as 45C"),
		"source-ohms": measureFlag(&o.sourceOhms, quantity.Ohm, "source-ohms", "`OHMS` of the circuit that feeds the meter"),
		"sensitivity": func(f *pflag.FlagSet) {
			f.BoolVar(&o.sensitivity, "sensitivity", false, "show how every range moves with every resistor, and in which order to trim")
		},
		"ratings": func(f *pflag.FlagSet) {
			f.BoolVar(&o.ratings, "ratings", false, "show every part's watts and volts at full scale beside its ratings")
		},
		"budget": func(f *pflag.FlagSet) {
			f.BoolVar(&o.budget, "budget", false, "show what makes every range unsure, and what to measure again")
		},
		"trials": func(f *pflag.FlagSet) {
			f.IntVar(&o.trials, "trials", 0, "draw everything measured `N` times (JCGM 101; 200000 is usual) and show how the ranges come out")
		},
		"seed": func(f *pflag.FlagSet) {
			f.Uint64Var(&o.seed, "seed", 1, "`N` that the trials start from; the same gives the same")
		},
		"supply": measureFlag(&o.supply, quantity.Volt, "supply", "`VOLTS` that feed the fault"),
		"diode": func(f *pflag.FlagSet) {
			f.StringVar(&o.diode, "diode", usualDiode, "`DIODE`: 1N4007, 1N4148, or is=7.03e-9,n=1.808,rs=0.034,…")
		},
		"in-series": func(f *pflag.FlagSet) { f.IntVar(&o.inSeries, "in-series", 1, "`N` diodes in series each way") },
		"across": func(f *pflag.FlagSet) {
			f.StringVar(&o.across, "across", "movement", "`PLACE` of the diodes: movement, coil, terminals or shunt")
		},
	}
}

// partFlags say what is known of a part.
func (o *options) partFlags() map[string]flagSetter {
	return map[string]flagSetter{
		"where": func(f *pflag.FlagSet) {
			f.Var(&o.where, "where", "`PARTS` that are meant: ids, kind=TEXT, place=TEXT, drifted=PERCENT, separated by commas; given twice, both must hold")
		},
		"near": measureFlag(&o.near, quantity.Ohm, "near", "`OHMS` that the part reads, or nearly"),
		"drifted": func(f *pflag.FlagSet) {
			f.Var(&o.drifted, "drifted", "further than `PERCENT` from what is marked on it")
		},
		"fitted":       func(f *pflag.FlagSet) { f.BoolVar(&o.fitted, "fitted", false, "fitted somewhere") },
		"free":         func(f *pflag.FlagSet) { f.BoolVar(&o.free, "free", false, "fitted nowhere") },
		"unmeasured":   func(f *pflag.FlagSet) { f.BoolVar(&o.unmeasured, "unmeasured", false, "marked, never measured") },
		"sort":         textFlag(&o.sort, "sort", "`ORDER`: ohms, id, drift (the furthest off first) or place; else as in the drawer"),
		"part-date":    textFlag(&o.date, "date", "`DAY` of the readings, as YYYY-MM-DD"),
		"reading-date": textFlag(&o.date, "date", "`DAY` of the reading, as YYYY-MM-DD (default today)"),
		"columns":      textsFlag(&o.columns, "columns", "`COLUMN=HEADING,…`: what the file calls a column of the drawer; own=HEADING: it is none"),
		"dry-run": func(f *pflag.FlagSet) {
			f.BoolVar(&o.dryRun, "dry-run", false, "show what each column is taken for, and write nothing")
		},
		"skip-refused": func(f *pflag.FlagSet) {
			f.BoolVar(&o.skipRefused, "skip-refused", false, "take the rest where lines are no parts")
		},
		"bands":        textFlag(&o.bands, "bands", "`COLOURS` of the marking (IEC 60062), such as yellow,violet,red,gold"),
		"id":           textFlag(&o.id, "id", "`ID` of the part (default R001 and on)"),
		"nominal":      textFlag(&o.nominal, "nominal", "`OHMS` as marked on the part"),
		"tolerance":    textFlag(&o.tolerance, "tolerance", "`PERCENT` as marked on the part"),
		"watts":        textFlag(&o.watts, "watts", "rated `WATTS` at 70 °C"),
		"part-volts":   textFlag(&o.partVolts, "volts", "limiting element voltage in `VOLTS`"),
		"drop":         measureFlag(&o.drop, quantity.Volt, "drop", "`VOLTS` across the part at the --current"),
		"drop-current": measureFlag(&o.current, quantity.Ampere, "current", "`CURRENT` through the part while its drop was read"),
		"drop-percent": func(f *pflag.FlagSet) {
			o.dropPercent = 0.5
			f.Var(atMost{&o.dropPercent, 20, meterHint, false}, "drop-percent", "`PERCENT` that the voltmeter promises, and one count (common practice)")
		},
		"current-percent": func(f *pflag.FlagSet) {
			o.currentPercent = 1
			f.Var(atMost{&o.currentPercent, 20, meterHint, false}, "current-percent", "`PERCENT` that the ammeter promises, and one count (common practice)")
		},
		"wire":       textFlag(&o.wire, "wire", "`ALLOY` of resistance wire: "+strings.Join(inventory.AlloyNames(), ", ")),
		"diameter":   measureFlag(&o.diameter, quantity.Metre, "diameter", "`DIAMETER` of the wire, such as 0.25mm"),
		"metres":     measureFlag(&o.metres, quantity.Metre, "metres", "`METRES` of wire that are left"),
		"amperes":    measureFlag(&o.amperes, quantity.Ampere, "amperes", "`CURRENT` that the wire may carry"),
		"tempco":     textFlag(&o.tempco, "tempco", "temperature coefficient in `PPM`/K: a limit, or with a sign (+80, -200) the value itself"),
		"kind":       textFlag(&o.kind, "kind", "`TEXT`: metal film, carbon composition, …"),
		"place":      textFlag(&o.place, "place", "`TEXT`: where the part lies"),
		"note":       textFlag(&o.note, "note", "`TEXT` to remember"),
		"instrument": textFlag(&o.instrument, "instrument", "`NAME` of the instrument that measured it"),
	}
}

// meterFlags say what a new meter is.
func (o *options) meterFlags() map[string]flagSetter {
	flags := map[string]flagSetter{
		"name":             textFlag(&o.meterName, "name", "`NAME` of the meter"),
		"full-scale":       textFlag(&o.fullScale, "full-scale", "the movement's full-scale `CURRENT`"),
		"full-scale-limit": textFlag(&o.fullScaleLimit, "full-scale-limit", "`PERCENT` that the full-scale current is known to"),
		"coil-limit":       textFlag(&o.coilLimit, "coil-limit", "`TEXT` that the coil's resistance is known to, such as \"0.5 % + 1 count\""),
		"coil":             textFlag(&o.coil, "coil", "the coil's resistance in `OHMS`"),
		"swamp":            textFlag(&o.swamp, "swamp", "swamping resistor in series with the coil, in `OHMS`"),
		"swamp-limit":      textFlag(&o.swampLimit, "swamp-limit", "`PERCENT` that the swamping resistor is known to"),
		"divisions":        textFlag(&o.divisions, "divisions", "`NUMBER` of divisions of the scale"),
		"coil-temperature": textFlag(&o.coilTemperature, "coil-temperature", "`TEMPERATURE` of the coil while it was measured, such as 23C (default 20C)"),
		"meter-class":      textFlag(&o.meterClass, "class", "accuracy class in `PERCENT` of full scale"),
		"without":          textsFlag(&o.without, "without", "`RANGE` to take out; may be given again"),
		"rename":           textsFlag(&o.renames, "rename", "`RANGE=NAME`: the range by another name; may be given again"),
	}
	for _, k := range meter.Kinds() {
		usage := "`RANGE," + cmp.Or(k.Needs, "…") + "` " + k.Does
		flags[k.Name] = func(f *pflag.FlagSet) { f.Var(circuitValue{o, k.Name}, k.Name, usage) }
	}
	return flags
}

// readingFlags say what is known of readings, and what becomes of them.
func (o *options) readingFlags() map[string]flagSetter {
	return map[string]flagSetter{
		"simple": func(f *pflag.FlagSet) {
			f.BoolVar(&o.simple, "simple", false, "decide by the error alone, whatever its limit")
		},
		"in": textFlag(&o.in, "in", "`UNIT` of what the pointer showed where a number has none: div (default the range's own)"),
		"sweep": func(f *pflag.FlagSet) {
			f.BoolVar(&o.sweep, "sweep", false, "ask for every range up to full scale and down again, which tells friction")
		},
		"reference-limit": textFlag(&o.referenceLimit, "reference-limit", "`LIMIT` of the reference: 0.5% of what it showed, \"0.5 % + 2 counts\", or a quantity such as 0.1mA"),
		"reading-limit":   textFlag(&o.readingLimit, "reading-limit", "`LIMIT` to which the pointer was read, such as 0.2div (the default) or 0.1mA"),
		"save": func(f *pflag.FlagSet) {
			f.BoolVar(&o.save, "save", false, "write the readings behind those of earlier visits, beside the meter")
		},
		"date": textFlag(&o.date, "date", "`DAY` of the readings for --save, as YYYY-MM-DD"),
		"as":   textFlag(&o.as, "as", "`WHEN` they were taken: found (before anything was done) or left (after)"),
		"history": func(f *pflag.FlagSet) {
			f.BoolVar(&o.history, "history", false, "show what --save wrote, and the drift between visits")
		},
	}
}
