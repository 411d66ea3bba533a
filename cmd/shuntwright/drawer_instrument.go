package main

import (
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"path/filepath"
	"slices"

	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/inventory"
	"shuntwright/inventory/instrument"
	"shuntwright/inventory/safefile"
	"shuntwright/meter/quantity"
)

func drawerInstrumentCommand() *command {
	return &command{
		name: "drawer instrument", operands: "[NAME]", most: 1,
		does: "says what an ohmmeter promises, once for all that it measures",
		more: `Describes NAME, anew where it is known already, in the instruments' file; without
NAME it lists the instruments. The accuracy is as in the data sheet: a percentage
of the reading, counts of the last digit, ohms; what is not said is zero. --leads
is what a two-wire instrument shows with its leads shorted: it is subtracted from
every reading. A description that would leave nothing of a reading in the drawer
is refused.`,
		example: `shuntwright drawer instrument "hand meter" \
  --accuracy "0.8 % + 1 count" --leads "0.2 ohm" --leads-floor "0.03 ohm"
  readings by "hand meter" are trusted to that, less 0.2 ohm for its leads`,
		flags: []string{"drawer", "instruments/file", "accuracy", "leads", "leads-floor", "wires", "wait"},
		run:   runDrawerInstrument,
	}
}

// runDrawerInstrument lists the instruments, or describes one.
func runDrawerInstrument(c *call) (report.Document, error) {
	about := []string{"accuracy", "leads", "leads-floor", "wires"}
	described := slices.ContainsFunc(about, c.flags.Changed)
	switch {
	case len(c.args) == 0 && described:
		return report.Document{}, misused("NAME is missing: shuntwright drawer instrument \"hand meter\" --accuracy \"0.8 %% + 1 count\"")
	case len(c.args) == 0:
		in, err := c.readInstruments()
		if err != nil {
			return report.Document{}, err
		}
		return c.instrumentsDocument(in, "what the instruments of "+c.instrumentsPath()+" promise")
	}
	return c.putInstrument(c.args[0])
}

// putInstrument describes one instrument in the file.
func (c *call) putInstrument(name string) (report.Document, error) {
	promise, err := c.promise(name)
	if err != nil {
		return report.Document{}, err
	}
	path := c.instrumentsPath()
	if err := c.hold(path); err != nil {
		return report.Document{}, err
	}
	data, stamp, err := safefile.Read(path)
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return report.Document{}, err
	}
	if data, err = instrument.Put(path, data, name, promise); err != nil {
		return report.Document{}, err
	}
	in, err := instrument.Parse(path, data)
	if err != nil {
		return report.Document{}, err
	}
	c.save = func(in *safefile.Change) error { return in.Write(path, data, stamp) }
	doc, err := c.instrumentsDocument(in, fmt.Sprintf("%s: written what %q promises", path, name), name)
	doc.Next = "shuntwright drawer add --instrument " + report.InShell(name)
	return doc, err
}

// promise is what the flags say of an instrument.
func (c *call) promise(name string) (instrument.Instrument, error) {
	o := &c.options
	if err := instrument.ValidName(name); err != nil {
		return instrument.Instrument{}, usageError{err}
	}
	if !c.flags.Changed("accuracy") {
		return instrument.Instrument{}, misused("--accuracy is missing: write what %q promises, such as --accuracy \"0.8 %% + 1 count\"", name)
	}
	i := o.accuracy.promise
	i.Wires, i.LeadsOhms, i.LeadsFloorOhms = o.wires, o.leads.value.Base, o.leadsFloor.value.Base
	switch {
	case i.Wires != 2 && i.Wires != 4:
		return i, misused("--wires %d: an ohmmeter has 2 or 4", i.Wires)
	case i.Wires == 4 && (c.flags.Changed("leads") || c.flags.Changed("leads-floor")):
		return i, misused("--leads and --leads-floor are for two wires: leads are not in a four-wire reading")
	}
	return i, nil
}

// promised is one instrument in JSON.
type promised struct {
	Instrument     string  `json:"instrument"`
	Accuracy       string  `json:"accuracy"`
	GainPercent    float64 `json:"gain_percent"`
	Counts         float64 `json:"counts"`
	FloorOhms      float64 `json:"floor_ohms"`
	Wires          int     `json:"wires"`
	LeadsOhms      float64 `json:"leads_ohms"`
	LeadsFloorOhms float64 `json:"leads_floor_ohms"`
	Parts          int     `json:"parts"`
}

// instrumentsDocument lists all instruments. The parts of the drawer that those
// named in changed have measured must stand what these promise.
func (c *call) instrumentsDocument(in inventory.Instruments, heading string, changed ...string) (report.Document, error) {
	count, err := c.partsBy(in, changed)
	if err != nil {
		return report.Document{}, err
	}
	table := report.Table{Name: "instruments", Columns: []report.Column{
		{Title: "instrument", Key: "instrument", Flexible: true}, {Title: "accuracy", Key: "accuracy", Flexible: true},
		{Title: "wires", Key: "wires", Number: true}, {Title: "leads", Key: "leads_ohms", Number: true},
		{Title: "leads' limit", Key: "leads_floor_ohms", Number: true}, {Title: "parts", Key: "parts", Number: true},
	}}
	leads := func(i instrument.Instrument, x float64) report.Cell {
		if i.Wires == 4 {
			return report.None()
		}
		return report.Pair(quantity.Format(x, quantity.Ohm, 3), report.Exact(x))
	}
	all := []promised{}
	for _, name := range slices.Sorted(maps.Keys(in)) {
		i := in[name]
		all = append(all, promised{name, i.Accuracy(), i.GainPercent, i.Counts, i.FloorOhms, i.Wires, i.LeadsOhms, i.LeadsFloorOhms, count[name]})
		table.Rows = append(table.Rows, []report.Cell{report.Words(name), report.Pair("±("+i.Accuracy()+")", i.Accuracy()),
			report.Words(fmt.Sprint(i.Wires)), leads(i, i.LeadsOhms), leads(i, i.LeadsFloorOhms), report.Words(fmt.Sprint(count[name]))})
	}
	doc := report.Document{Heading: heading, Tables: []report.Table{table}, Good: true, Answer: map[string]any{"instruments": all}}
	if len(all) == 0 {
		doc.BottomLine = []string{"none is described: readings without one are trusted to ±0.8 % and one count (common practice)"}
		doc.Next = "shuntwright drawer instrument \"hand meter\" --accuracy \"0.8 % + 1 count\""
	}
	return doc, nil
}

// partsBy counts the parts of the drawer by instrument, and measures those of
// the instruments that changed.
func (c *call) partsBy(in inventory.Instruments, changed []string) (map[string]int, error) {
	drawer, err := c.openDrawer()
	if err != nil {
		return nil, err
	}
	count := map[string]int{}
	for at, p := range drawer.Parts() {
		count[p.Instrument]++
		if slices.Contains(changed, p.Instrument) {
			if _, err := drawer.Measure(in, at); err != nil {
				return nil, err
			}
		}
	}
	return count, nil
}

// instrumentsPath is the instruments' file: the flag, or instruments.json
// beside the drawer.
func (c *call) instrumentsPath() string {
	if c.options.instruments != "" {
		return c.options.instruments
	}
	return filepath.Join(filepath.Dir(c.drawerPath()), "instruments.json")
}
