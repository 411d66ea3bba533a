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

// flagTable defines every flag once, by name, so that it means the same in
// every command. Where a name must mean two things, one of them is NAME/WHERE here.
// within and resolution differ in their defaults only.
func (o *options) flagTable(command string) map[string]flagSetter {
	o.sourceOhms.zero, o.leads.zero, o.leadsFloor.zero = true, true, true
	table := map[string]flagSetter{}
	for _, group := range []map[string]flagSetter{o.fileFlags(), o.searchFlags(command), o.stockFlags(), o.electricalFlags(), o.partFlags(),
		o.listFlags(), o.instrumentFlags(), o.meterFlags(), o.readingFlags(), o.movementFlags()} {
		maps.Copy(table, group)
	}
	return table
}

// fileFlags say the files, the form of the answer.
func (o *options) fileFlags() map[string]flagSetter {
	instruments := textFlag(&o.instruments, "", "`FILE` with the instruments (default instruments.json beside the drawer)")
	return map[string]flagSetter{
		"drawer": textFlag(&o.drawer, "", "`FILE` with the drawer (default drawer.csv, or SHUNTWRIGHT_DRAWER)"),
		// Whoever reads the instruments can be told of the one that nobody names.
		"instruments": func(f *pflag.FlagSet, name string) {
			instruments(f, name)
			f.Var(&o.accuracy, "accuracy", "`TEXT` that readings without a named instrument are trusted to, such as \"0.5 % + 2 counts + 0.1 ohm\"")
		},
		"instruments/file": instruments,
		"format":           textFlag(&o.format, "table", "`FORM` of the answer: table, json, csv or markdown"),
		"full":             switchFlag(&o.full, "all that is known; without it the answer is what the bench needs"),
		"table":            textFlag(&o.table, "", "`NAME` of the table that CSV shows"),
		"ascii":            switchFlag(&o.ascii, "write ohm, u and +- (the default where the locale is not UTF-8)"),
		"no-color":         switchFlag(&o.noColor, "no colour on a terminal"),
		"wait":             durationFlag(&o.wait, defaultWait, "give up after `DURATION` where another program is writing to the files"),
		"list":             switchFlag(&o.list, "change nothing, show the steps"),
		"write":            textFlag(&o.write, "", "put the demo's files into `DIR`, never over files that exist"),
		"output":           textFlag(&o.output, "", "`FILE` to write"),
		"sheet":            textFlag(&o.sheet, "", "write the bench sheet of the plan to `FILE`"),
		"force":            switchFlag(&o.force, "replace a file that is there"),
		"date/sheet":       textFlag(&o.date, "", "`DAY` that stands on the sheet, as YYYY-MM-DD"),
		"as/sheet":         textFlag(&o.as, "", "`WHEN` the readings were taken: found (before anything was done) or left (after; the default)"),
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
		"parts":      countFlag(&o.parts, 2, "at most `N` parts a position, 1 to 4"),
		"top":        countFlag(&o.top, 10, "`N` rows shown"),
		"within":     percentFlag(&o.within, within, "networks further than `PERCENT` from the target are not considered"),
		"resolution": percentFlag(&o.resolution, resolution, "errors count in whole steps of `PERCENT` of "+off+", and of as many fewer parts win; 0: every digit counts"),
		"enough":     valueFlag(&o.enough, "an error within `PERCENT` counts as none, so that fewer parts win; measured: as far as the measurements can tell"),
		"current":    measureFlag(&o.current, quantity.Ampere, "`CURRENT` through the network at full scale, to hold ratings against"),
		"volts":      measureFlag(&o.volts, quantity.Volt, "`VOLTS` across the network at full scale, to hold ratings against"),
		"sure":       switchFlag(&o.sure, "rank by error plus limit: the surest, not the one that looks best"),
		"keep":       measureFlag(&o.keep, quantity.Ohm, "`OHMS` that stay in the position; the network is built round them"),
		"keep/at":    textsFlag(&o.keeps, "`POSITION[=OHMS]`: what is in it, or a resistance, stays and is trimmed"),
		"trim":       switchFlag(&o.trim, "what is fitted stays: the fewest parts added to it that bring every range within the class"),
		"class":      atMostFlag(atMost{&o.class, meterfile.MostClass, classHint, true}, percent(math.NaN()), "accuracy class in `PERCENT` of full scale, in place of the meter file's"),
		"time-limit": durationFlag(&o.timeLimit, defaultTime, "end the search after `DURATION` (30s, 2m) with the best so far; 0: no end but its own"),
	}
}

// stockFlags say what the search may take: parts, wire, what can be bought.
func (o *options) stockFlags() map[string]flagSetter {
	preset := func(to *typed, unit quantity.Unit, text, usage string) flagSetter {
		return func(f *pflag.FlagSet, name string) {
			to.unit = unit
			_ = to.Set(text) // ours
			f.Var(to, name, usage)
		}
	}
	return map[string]flagSetter{
		"derate": func(f *pflag.FlagSet, name string) {
			f.Float64Var(&o.derate, name, 0.5, "`SHARE` of its rated watts that a part may carry (common practice: half)")
		},
		"rated-only": switchFlag(&o.wanted.RatedOnly, "leave out parts of which neither watts nor volts are known; one of them known, a part is held to that"),
		"only":       valueFlag((*selections)(&o.wanted.Only), "take only `PARTS`: ids, kind=TEXT, place=TEXT, drifted=PERCENT, separated by commas; given twice, both must hold"),
		"exclude":    valueFlag((*selections)(&o.wanted.Exclude), "leave out `PARTS`, named as for --only: old carbon does not belong in a high-voltage string"),
		"wind":       textFlag(&o.wind, "needed", "`WHAT` is wound of wire off the drawer's spools: needed, where parts do not reach; never; or positions, separated by commas"),
		"buy":        countFlag(&o.buy, 0, "name the fewest parts to buy, of at most `N` different values, that bring every range within the class"),
		"series":     textFlag(&o.series, "", "`SERIES` to buy from (IEC 60063): "+seriesNames()+"; default E24, or as ten or more markings in the drawer say"),
		"buy-watts":  preset(&o.buyWatts, quantity.Watt, "0.5 W", "rated `WATTS` of what can be bought"),
		"buy-volts":  preset(&o.buyVolts, quantity.Volt, "350 V", "`VOLTS` that what can be bought stands across it"),
	}
}

// electricalFlags say the circuit round the meter, and what is told of it.
func (o *options) electricalFlags() map[string]flagSetter {
	return map[string]flagSetter{
		"temperature": measureFlag(&o.temperature, quantity.Celsius, "`TEMPERATURE` of coil and resistors, such as 40C"),
		"from":        measureFlag(&o.from, quantity.Celsius, "coldest `TEMPERATURE` of the table over temperature, such as 0C"),
		"to":          measureFlag(&o.to, quantity.Celsius, "warmest `TEMPERATURE` of it, such as 45C"),
		"source-ohms": measureFlag(&o.sourceOhms, quantity.Ohm, "`OHMS` of the circuit that feeds the meter"),
		"sensitivity": switchFlag(&o.sensitivity, "show how every range moves with every resistor, and in which order to trim"),
		"ratings":     switchFlag(&o.ratings, "show every part's watts and volts at full scale beside its ratings"),
		"budget":      switchFlag(&o.budget, "show what makes every range unsure, and what to measure again"),
		"trials":      countFlag(&o.trials, 0, "draw everything measured `N` times (JCGM 101; 200000 is usual) and show how the ranges come out"),
		"seed": func(f *pflag.FlagSet, name string) {
			f.Uint64Var(&o.seed, name, 1, "`N` that the trials start from; the same gives the same")
		},
		"supply":    measureFlag(&o.supply, quantity.Volt, "`VOLTS` that feed the fault"),
		"diode":     textFlag(&o.diode, usualDiode, "`DIODE`: 1N4007, 1N4148, or is=7.03e-9,n=1.808,rs=0.034,…"),
		"in-series": countFlag(&o.inSeries, 1, "`N` diodes in series each way"),
		"across":    textFlag(&o.across, "movement", "`PLACE` of the diodes: movement, coil, terminals or shunt"),
	}
}

// partFlags say what is known of a part.
func (o *options) partFlags() map[string]flagSetter {
	return map[string]flagSetter{
		"bands":           textFlag(&o.bands, "", "`COLOURS` of the marking (IEC 60062), such as yellow,violet,red,gold"),
		"id":              textFlag(&o.id, "", "`ID` of the part (default R001 and on)"),
		"nominal":         textFlag(&o.nominal, "", "`OHMS` as marked on the part"),
		"tolerance":       textFlag(&o.tolerance, "", "`PERCENT` as marked on the part"),
		"watts":           textFlag(&o.watts, "", "rated `WATTS` at 70 °C"),
		"volts/part":      textFlag(&o.partVolts, "", "limiting element voltage in `VOLTS`"),
		"drop":            measureFlag(&o.drop, quantity.Volt, "`VOLTS` across the part at the --current"),
		"current/part":    measureFlag(&o.current, quantity.Ampere, "`CURRENT` through the part while its drop was read"),
		"drop-percent":    atMostFlag(atMost{&o.dropPercent, 20, meterHint, false}, 0.5, "`PERCENT` that the voltmeter promises, and one count (common practice)"),
		"current-percent": atMostFlag(atMost{&o.currentPercent, 20, meterHint, false}, 1, "`PERCENT` that the ammeter promises, and one count (common practice)"),
		"wire":            textFlag(&o.wire, "", "`ALLOY` of resistance wire: "+strings.Join(inventory.AlloyNames(), ", ")),
		"diameter":        measureFlag(&o.diameter, quantity.Metre, "`DIAMETER` of the wire, such as 0.25mm"),
		"metres":          measureFlag(&o.metres, quantity.Metre, "`METRES` of wire that are left"),
		"amperes":         measureFlag(&o.amperes, quantity.Ampere, "`CURRENT` that the wire may carry"),
		"tempco":          textFlag(&o.tempco, "", "temperature coefficient in `PPM`/K: a limit, or with a sign (+80, -200) the value itself"),
		"kind":            textFlag(&o.kind, "", "`TEXT`: metal film, carbon composition, …"),
		"place":           textFlag(&o.place, "", "`TEXT`: where the part lies"),
		"note":            textFlag(&o.note, "", "`TEXT` to remember"),
		"instrument":      textFlag(&o.instrument, "", "`NAME` of the instrument that measured it"),
		"date/part":       textFlag(&o.date, "", "`DAY` of the readings, as YYYY-MM-DD"),
		"date/reading":    textFlag(&o.date, "", "`DAY` of the reading, as YYYY-MM-DD (default today)"),
	}
}

// listFlags say which parts of the drawer, or of another list, are meant.
func (o *options) listFlags() map[string]flagSetter {
	return map[string]flagSetter{
		"where":        valueFlag(&o.where, "`PARTS` that are meant: ids, kind=TEXT, place=TEXT, drifted=PERCENT, separated by commas; given twice, both must hold"),
		"near":         measureFlag(&o.near, quantity.Ohm, "`OHMS` that the part reads, or nearly"),
		"drifted":      percentFlag(&o.drifted, 0, "further than `PERCENT` from what is marked on it"),
		"fitted":       switchFlag(&o.fitted, "fitted somewhere"),
		"free":         switchFlag(&o.free, "fitted nowhere"),
		"unmeasured":   switchFlag(&o.unmeasured, "marked, never measured"),
		"sort":         textFlag(&o.sort, "", "`ORDER`: ohms, id, drift (the furthest off first) or place; else as in the drawer"),
		"columns":      textsFlag(&o.columns, "`COLUMN=HEADING,…`: what the file calls a column of the drawer; own=HEADING: it is none"),
		"dry-run":      switchFlag(&o.dryRun, "show what each column is taken for, and write nothing"),
		"skip-refused": switchFlag(&o.skipRefused, "take the rest where lines are no parts"),
	}
}

// instrumentFlags say what an instrument promises.
func (o *options) instrumentFlags() map[string]flagSetter {
	return map[string]flagSetter{
		"accuracy":    valueFlag(&o.accuracy, "`TEXT` as in the data sheet, such as \"0.8 % + 1 count + 0.03 ohm\""),
		"leads":       measureFlag(&o.leads, quantity.Ohm, "`OHMS` that it shows with its leads shorted"),
		"leads-floor": measureFlag(&o.leadsFloor, quantity.Ohm, "`OHMS` that stay uncertain of the leads"),
		"wires":       countFlag(&o.wires, 2, "`N` wires to the part, 2 or 4"),
	}
}

// meterFlags say what a new meter is.
func (o *options) meterFlags() map[string]flagSetter {
	flags := map[string]flagSetter{
		"name":             textFlag(&o.meterName, "", "`NAME` of the meter"),
		"full-scale":       textFlag(&o.fullScale, "", "the movement's full-scale `CURRENT`"),
		"full-scale-limit": textFlag(&o.fullScaleLimit, "", "`PERCENT` that the full-scale current is known to"),
		"coil":             textFlag(&o.coil, "", "the coil's resistance in `OHMS`"),
		"coil-limit":       textFlag(&o.coilLimit, "", "`TEXT` that the coil's resistance is known to, such as \"0.5 % + 1 count\""),
		"swamp":            textFlag(&o.swamp, "", "swamping resistor in series with the coil, in `OHMS`"),
		"swamp-limit":      textFlag(&o.swampLimit, "", "`PERCENT` that the swamping resistor is known to"),
		"divisions":        textFlag(&o.divisions, "", "`NUMBER` of divisions of the scale"),
		"coil-temperature": textFlag(&o.coilTemperature, "", "`TEMPERATURE` of the coil while it was measured, such as 23C (default 20C)"),
		"class/meter":      textFlag(&o.meterClass, "", "accuracy class in `PERCENT` of full scale"),
		"without":          textsFlag(&o.without, "`RANGE` to take out; may be given again"),
		"rename":           textsFlag(&o.renames, "`RANGE=NAME`: the range by another name; may be given again"),
	}
	for _, k := range meter.Kinds() {
		flags[k.Name] = valueFlag(circuitValue{o, k.Name}, "`RANGE,"+cmp.Or(k.Needs, "…")+"` "+k.Does)
	}
	return flags
}

// readingFlags say what is known of readings, and what becomes of them.
func (o *options) readingFlags() map[string]flagSetter {
	return map[string]flagSetter{
		"simple":          switchFlag(&o.simple, "decide by the error alone, whatever its limit"),
		"in":              textFlag(&o.in, "", "`UNIT` of what the pointer showed where a number has none: div (default the range's own)"),
		"sweep":           switchFlag(&o.sweep, "ask for every range up to full scale and down again, which tells friction"),
		"reference-limit": textFlag(&o.referenceLimit, "", "`LIMIT` of the reference: 0.5% of what it showed, \"0.5 % + 2 counts\", or a quantity such as 0.1mA"),
		"reading-limit":   textFlag(&o.readingLimit, "", "`LIMIT` to which the pointer was read, such as 0.2div (the default) or 0.1mA"),
		"save":            switchFlag(&o.save, "write the readings behind those of earlier visits, beside the meter"),
		"date":            textFlag(&o.date, "", "`DAY` of the readings for --save, as YYYY-MM-DD"),
		"as":              textFlag(&o.as, "", "`WHEN` they were taken: found (before anything was done) or left (after)"),
		"history":         switchFlag(&o.history, "show what --save wrote, and the drift between visits"),
	}
}

// movementFlags say what was read of a movement or a set on the bench.
func (o *options) movementFlags() map[string]flagSetter {
	return map[string]flagSetter{
		"current/movement": measureFlag(&o.current, quantity.Ampere, "`CURRENT` through the movement"),
		"drop/movement":    measureFlag(&o.drop, quantity.Volt, "`VOLTS` across the movement at that current"),
		"series/movement":  textFlag(&o.movementSeries, "", "`OHMS` between battery and movement; for compare two of them, separated by a comma"),
		"shunt/movement":   textFlag(&o.movementShunt, "", "`OHMS` across the movement that halve its reading"),
		"reads":            textFlag(&o.reads, "", "`READING,…` of the pointer, in the order of the measurement (default the last mark, then half of it)"),
		"battery":          measureFlag(&o.battery, quantity.Volt, "`VOLTS` of the battery, read while it drives the movement"),
		"full-scale/known": measureFlag(&o.knownFullScale, quantity.Ampere, "`CURRENT` at the last mark, where it is known"),
		"enough/tolerance": switchFlag(&o.withinTolerance, "any value within the tolerance of the part will do, and fewer parts win"),
		"write/meter":      textFlag(&o.write, "", "`METER` file whose movement becomes what was measured"),
	}
}
