package predict

import (
	"math"

	"shuntwright/cmd/shuntwright/internal/asbuilt"
	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/meter"
	"shuntwright/meter/budget"
	"shuntwright/meter/quantity"
)

func positionsTable() report.Table {
	return report.Table{Name: "positions", Columns: []report.Column{
		{Title: "position", Key: "position", Flexible: true},
		{Title: "target", Key: "target_ohms", Number: true},
		{Title: "network", Key: "network", Flexible: true},
		{Title: "value", Key: "ohms", Number: true},
		{Title: "error", Key: "error_percent", Number: true},
		{Title: "", Key: "limit_percent", Number: true, Bare: true},
		{Title: "watts", Key: "watts", Number: true},
		{Title: "", Key: "volts", Number: true, Bare: true},
	}}
}

// addPosition puts one position into the answer and the table.
func (f *Forecast) addPosition(answer *MeterAnswer, table *report.Table, i int, p meter.PositionPrediction) {
	name, limit, text := f.Positions[i].Name, budget.Result{Limit: math.NaN(), Factor: math.NaN()}, ""
	ids := []string(nil)
	if f.IsOpen(i) {
		*answer.Open = append(*answer.Open, name)
	} else {
		limit, text, ids = asbuilt.ValueLimit(f.Networks[i], f.Leaves[i]), f.Networks[i].String(), f.Networks[i].IDs()
	}
	answer.Positions = append(answer.Positions, Position{
		Position: name, TargetOhms: report.Some(p.TargetOhms), Network: text, Parts: ids, Pieces: f.Pieces(i, p),
		Ohms: report.Some(p.Ohms), ErrorPercent: report.Some(p.ErrorPercent),
		LimitPercent: report.Some(limit.Limit), CoverageFactor: report.Some(limit.Factor),
		Watts: report.Some(p.Watts), Volts: report.Some(p.Volts),
	})
	network := report.Words(text)
	if f.IsOpen(i) {
		network = report.Cell{Text: "open", Silent: true, Mark: report.Wrong}
	}
	table.Rows = append(table.Rows, []report.Cell{
		report.Words(name),
		report.Quantity(p.TargetOhms, quantity.Ohm, report.Target(f.File.Coil)),
		network,
		report.Quantity(p.Ohms, quantity.Ohm, report.ByLimit(limit.Limit)),
		report.PercentPair(p.ErrorPercent, limit.Limit),
		report.PercentLimit(limit.Limit),
		report.Quantity(p.Watts, quantity.Watt, 2),
		report.Quantity(p.Volts, quantity.Volt, 3),
	})
}

func rangesTable(class float64) report.Table {
	return report.Table{Name: "ranges", Columns: []report.Column{
		{Title: "range", Key: "range", Flexible: true},
		{Title: "", Key: "full_scale", Number: true, Bare: true},
		{Title: "", Key: "unit", Bare: true},
		{Title: "full-scale error", Key: "full_scale_error_percent", Number: true},
		{Title: "", Key: "limit_percent", Number: true, Bare: true},
		{Title: report.BarTitle(class)},
		{Title: "drop", Key: "drop_volts", Number: true},
		{Title: "ohms/volt", Key: "ohms_per_volt", Number: true},
		{Title: "verdict", Key: "verdict", Bare: math.IsNaN(class)},
	}}
}

func jsonRange(r meter.Range, p meter.RangePrediction, limit budget.Result, verdict string) Range {
	out := Range{Range: r.Name, FullScale: r.FullScale, Unit: string(r.Unit),
		FullScaleError: report.Some(p.ErrorPercent), DropVolts: report.Some(p.DropVolts),
		OhmsPerVolt: report.Some(p.OhmsPerVolt), Verdict: verdict}
	if p.Whole() {
		out.LimitPercent, out.CoverageFactor = report.Some(limit.Limit), report.Some(limit.Factor)
	}
	return out
}

func rangeRow(r Range, p meter.RangePrediction, limit budget.Result, class float64) []report.Cell {
	shown := limit.Limit
	if !p.Whole() {
		shown = math.NaN()
	}
	return []report.Cell{
		report.Words(r.Range),
		report.Pair("", report.Exact(r.FullScale)),
		report.Words(r.Unit),
		report.PercentPair(p.ErrorPercent, shown),
		report.PercentLimit(shown),
		report.Bar(p.ErrorPercent, shown, class),
		report.Quantity(p.DropVolts, quantity.Volt, 3),
		report.Quantity(p.OhmsPerVolt, quantity.Ohm, 3),
		verdictCell(r),
	}
}

// verdictCell is the verdict, and that a pass rests on what nobody knows.
func verdictCell(r Range) report.Cell {
	cell := report.VerdictCell(r.Verdict)
	if len(r.PassRestsOn) > 0 {
		cell.Text += ", assumed"
	}
	return cell
}
