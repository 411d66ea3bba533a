package main

import (
	"shuntwright/cmd/shuntwright/internal/asbuilt"
	"shuntwright/cmd/shuntwright/internal/predict"
	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/meter/quantity"
)

func targetsCommand() *command {
	return &command{
		name: "targets", operands: "METER", least: 1, most: 1,
		does: "says what every position must be",
		more: `The target of a position is the resistance that makes its range read true,
all other positions being on theirs.`,
		example: `shuntwright targets bench.json
  what the shunts and multipliers of the meter in bench.json must be`,
		run: runTargets,
	}
}

// runTargets answers targets; it needs no drawer.
func runTargets(c *call) (report.Document, error) {
	file, _, _, err := c.readMeter(c.args[0])
	if err != nil {
		return report.Document{}, err
	}
	m := file.Meter
	targets, err := m.Targets()
	if err != nil {
		return report.Document{}, asbuilt.AtRange(c.args[0], file, err)
	}
	stresses, err := m.Stresses()
	if err != nil {
		return report.Document{}, asbuilt.AtRange(c.args[0], file, err)
	}
	answer := predict.MeterAnswer{Meter: m.Name, Positions: []predict.Position{}}
	table := report.Table{Name: "positions", Columns: []report.Column{
		{Title: "position", Key: "position", Flexible: true},
		{Title: "target", Key: "target_ohms", Number: true},
		{Title: "watts", Key: "watts", Number: true},
		{Title: "volts", Key: "volts", Number: true},
	}}
	for i, p := range m.Positions() {
		watts := stresses[i].Amperes * stresses[i].Volts
		answer.Positions = append(answer.Positions, predict.Position{Position: p.Name, TargetOhms: report.Some(targets[i]),
			Watts: report.Some(watts), Volts: report.Some(stresses[i].Volts)})
		table.Rows = append(table.Rows, []report.Cell{
			report.Words(p.Name),
			report.Quantity(targets[i], quantity.Ohm, report.Target(file.Coil)),
			report.Quantity(watts, quantity.Watt, 2),
			report.Quantity(stresses[i].Volts, quantity.Volt, 3),
		})
	}
	answer.Cautions, answer.Assumptions = asbuilt.Cautions(m), asbuilt.RingOut(m)
	doc := report.Document{Heading: m.Name + ": what every position must be, and what it carries at full scale",
		Tables: []report.Table{table}, Notes: answer.Notes, Answer: answer, Good: true}
	if len(table.Rows) == 0 {
		doc.Heading, doc.Tables = m.Name+": no position: its ranges are those of the bare movement", nil
	}
	return doc, nil
}
