package check

import (
	"math"
	"slices"
	"strings"

	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/meter/quantity"
)

// predictedTable shows the readings as they would be when all steps are done,
// each range once. Of several steps it names those that move a range.
func (r *search) predictedTable(steps []repairStep) report.Table {
	several := len(steps) > 1
	title := report.Either(several, "range", "after the repair")
	table := report.Table{Name: "predicted", Detail: true, Columns: []report.Column{
		{Title: "after the repair of", Key: "repair", Flexible: true, Bare: !several},
		{Title: title, Key: "range", Flexible: true},
		{Title: "reference", Key: "reference", Number: true},
		{Title: "", Key: "unit", Bare: true},
		{Title: "direction", Key: "direction"},
		{Title: "shows", Key: "indicated", Number: true},
		{Title: "error", Key: "error_percent", Number: true},
		{Title: "", Key: "limit_percent", Number: true, Bare: true},
	}}
	for n, one := range steps {
		for _, p := range one.told.Predicted {
			at, _ := r.Meter.FindRange(p.Range)
			moves := func(s repairStep) bool { return slices.Contains(r.served(s.resistor), at) }
			if slices.ContainsFunc(steps[n+1:], moves) {
				continue // a later step has the last word
			}
			var names []string
			for _, s := range steps[:n+1] {
				if moves(s) {
					names = append(names, s.name)
				}
			}
			table.Rows = append(table.Rows, append([]report.Cell{report.Words(strings.Join(names, " and "))}, r.predictedRow(at, p)...))
		}
	}
	return table
}

// predictedRow is one reading as it would be.
func (r *search) predictedRow(at int, p predictedPoint) []report.Cell {
	unit, limit := r.Ranges[at].Unit, math.NaN()
	if p.Limit != nil {
		limit = *p.Limit
	}
	return []report.Cell{report.Words(p.Range), report.Pair(report.Short(p.Reference, unit), report.Exact(p.Reference)),
		report.Words(p.Unit), report.Words(p.Direction), report.Pair(r.shownWithin(at, p.Indicated, limit), report.Exact(p.Indicated)),
		report.PercentPair(p.Error, limit), report.PercentLimit(limit)}
}

// shownWithin is what a pointer shows, as finely as it can be read and as its
// limit, in percent of full scale, lets stand; NaN: nothing limits it.
func (k *Checkup) shownWithin(at int, indicated, limit float64) string {
	one := k.Ranges[at]
	fine := one.FullScale / 1000
	if limit > 0 {
		fine = max(fine, one.FullScale*limit/100)
	}
	step := math.Pow(10, math.Floor(math.Log10(fine)))
	return quantity.Format(indicated, one.Unit, min(quantity.Digits(indicated, step), 4))
}
