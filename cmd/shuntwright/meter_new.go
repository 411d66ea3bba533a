package main

import (
	"cmp"
	"fmt"
	"math"
	"path/filepath"
	"strings"

	"shuntwright/cmd/shuntwright/internal/asbuilt"
	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/inventory/safefile"
	"shuntwright/meter"
	"shuntwright/meter/meterfile"
	"shuntwright/meter/quantity"
)

func meterNewCommand() *command {
	return &command{
		name: "meter new", operands: "FILE", least: 1, most: 1,
		does: "writes a meter file, from flags or by asking",
		more: `Without flags on a terminal it asks. Circuits stand in the order of their flags;
of several ranges a flag makes one circuit where they share their resistors, else
one each. A circuit takes further fields as KEY=VALUE: contact=5mohm, and
circuit-volts=450V for the voltage to earth of the lead that a shunt sits in (say
it: such a shunt is deadly, and every answer about it then says so); voltage
ranges that feed a ring which stays across the movement take with-ring=10mA, the
range of the ring that they feed. How far a given resistance is trusted:
shunt-limit=1%, shunt-instrument=bridge, and so for series, contact and swamp.
--full-scale-limit, --coil-limit and --swamp-limit say it of the movement; without
them the current is taken as exact, and the coil to what its --instrument promises.`,
		example: `shuntwright meter new bench.json --full-scale 1mA --coil "98.6 ohm" \
  --shunt "5 mA,grid 50 mA" --multiplier "15 V,150 V"
  a 1 mA movement with two current and two voltage ranges, in bench.json`,
		flags: append([]string{"name", "full-scale", "full-scale-limit", "coil", "coil-limit", "swamp", "swamp-limit", "divisions", "class/meter", "coil-temperature", "instrument", "drawer", "instruments/file", "wait"}, kindNames()...),
		run:   runMeterNew,
	}
}

// kindNames are the kinds of circuit, each a flag.
func kindNames() []string {
	var out []string
	for _, k := range meter.Kinds() {
		out = append(out, k.Name)
	}
	return out
}

// runMeterNew writes a new meter file, never over one that exists.
func runMeterNew(c *call) (report.Document, error) {
	path := c.args[0]
	if exists(path) {
		return report.Document{}, fmt.Errorf("%q is there already and stays as it is; name another file", path)
	}
	if c.flags.NFlag() == 0 && c.env.asks {
		if err := c.askMeter(); err != nil {
			return report.Document{}, err
		}
	}
	data, file, err := c.newMeter(path)
	if err != nil {
		return report.Document{}, err
	}
	if err := c.hold(path); err != nil {
		return report.Document{}, err
	}
	undescribed, err := c.undescribed(namedIn(file)...)
	if err != nil {
		return report.Document{}, err
	}
	c.save = func(in *safefile.Change) error { return in.Write(path, data, safefile.Absent) }
	leads, err := c.leadsInStated(file, nil)
	if err != nil {
		return report.Document{}, err
	}
	return newMeterDocument(path, file.Meter, c.options.coilAt(), append(undescribed, leads...)), nil
}

// newMeter makes the meter file that the flags, or the answers, describe.
func (c *call) newMeter(path string) ([]byte, *meterfile.File, error) {
	fields, circuits, err := c.describe(path)
	if err != nil {
		return nil, nil, err
	}
	data, err := meterfile.Encode(fields, circuits)
	if err != nil {
		return nil, nil, err
	}
	file, err := meterfile.Parse(path, data)
	if err != nil {
		return nil, nil, err
	}
	targets, err := file.Meter.Targets()
	if err == nil {
		err = bareAsMovement(file.Meter, targets)
	}
	return data, file, err
}

// bareAsMovement refuses ranges of the bare movement that are not what it takes:
// somebody left out the shunt, or the multiplier.
func bareAsMovement(m *meter.Meter, targets []float64) error {
	const most = 20 // percent of full scale: no scale is further off
	off := make([]float64, len(m.Ranges()))
	m.Errors(off, m.State(targets))
	for r, one := range m.Ranges() {
		if m.Circuits[one.Circuit].Kind() != "direct" || math.Abs(off[r]) <= most {
			continue
		}
		takes, resistor := m.Movement.FullScaleAmperes, "shunt"
		if one.Unit == quantity.Volt {
			takes, resistor = takes*(m.Movement.CoilOhms+m.Movement.SwampOhms), "multiplier"
		}
		return misused("--direct %q: the bare movement takes %s at full scale; --%s %s gives it that range", one.Name, quantity.Format(takes, one.Unit, 3), resistor, report.InShell(one.Name))
	}
	return nil
}

// newMeterDocument says what was written and what comes next.
func newMeterDocument(path string, m *meter.Meter, assumed, warnings []string) report.Document {
	answer := struct {
		Written   string   `json:"written"`
		Meter     string   `json:"meter"`
		Ranges    []string `json:"ranges"`
		Positions []string `json:"positions"`
		report.Notes
	}{Written: path, Meter: m.Name, Ranges: []string{}, Positions: []string{}}
	for _, r := range m.Ranges() {
		answer.Ranges = append(answer.Ranges, r.Name)
	}
	for _, p := range m.Positions() {
		answer.Positions = append(answer.Positions, p.Name)
	}
	answer.Warnings = warnings
	answer.Cautions, answer.Assumptions = inFull(asbuilt.Cautions(m)), append(assumed, asbuilt.Switches(m)...) // the first answer about a meter says it all
	return report.Document{
		Heading: fmt.Sprintf("written: %s, %s with %s and %s", path, m.Name, report.Counted(len(answer.Ranges), "range"), report.Counted(len(answer.Positions), "position")),
		Next:    "shuntwright targets " + report.InShell(path),
		Notes:   answer.Notes, Answer: answer, Good: true,
	}
}

// describe puts the flags into the words of the meter file.
func (c *call) describe(path string) (fields []meterfile.Given, circuits []meterfile.CircuitDescription, err error) {
	o := &c.options
	base := filepath.Base(path)
	o.meterName = cmp.Or(o.meterName, strings.TrimSuffix(base, filepath.Ext(base)))
	switch {
	case o.fullScale == "" || o.coil == "":
		return nil, nil, misused("--full-scale and --coil say what the movement is, such as --full-scale 1mA --coil 98.6")
	case len(o.circuits) == 0:
		return nil, nil, misused("no range is given; say for example --shunt \"5 mA,50 mA\" or --multiplier \"15 V\"")
	}
	for _, f := range o.meterFields() {
		if err := f.checked(); err != nil {
			return nil, nil, err
		}
		fields = append(fields, f.inFile())
	}
	if o.swampLimit != "" && o.swamp == "" {
		return nil, nil, misused("--swamp-limit %s: there is no swamping resistor; say what it is with --swamp", o.swampLimit)
	}
	limit, err := o.coilLimitInFile(o.coil)
	if err != nil {
		return nil, nil, err
	}
	circuits, err = describeCircuits(o.circuits)
	return append(fields, limit...), circuits, err
}
