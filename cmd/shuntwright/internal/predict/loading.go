package predict

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/meter"
	"shuntwright/meter/quantity"
)

// loading is what a range does to the circuit under test, in JSON.
type loading struct {
	Range     string  `json:"range"`
	InputOhms float64 `json:"input_ohms"`
	Loading   float64 `json:"loading_percent"`
	Total     float64 `json:"total_error_percent"`
	Limit     float64 `json:"limit_percent"` // of the total; the source is taken as stated
}

// loadings tables what every range does to a circuit under test that would
// show full scale without it.
func (f *Forecast) loadings(state meter.State, prediction meter.Prediction) ([]loading, report.Table) {
	table := report.Table{Name: "loading", Heading: "behind " + report.Short(f.SourceOhms, quantity.Ohm), Columns: []report.Column{
		{Title: "range", Key: "range", Flexible: true},
		{Title: "input", Key: "input_ohms", Number: true},
		{Title: "loads the circuit", Key: "loading_percent", Number: true},
		{Title: "total full-scale error", Key: "total_error_percent", Number: true},
		{Title: "limit", Key: "limit_percent", Number: true},
	}}
	var all []loading
	limits := f.RangeLimits(state)
	for r, one := range f.Ranges {
		if !prediction.Ranges[r].Whole() {
			continue
		}
		loaded := f.Meter.Loading(state, r, one.FullScale, f.SourceOhms)
		all = append(all, loading{one.Name, prediction.Ranges[r].InputOhms, loaded.LoadingPercent, loaded.TotalPercent, limits[r].Limit})
		table.Rows = append(table.Rows, []report.Cell{
			report.Words(one.Name), report.Quantity(prediction.Ranges[r].InputOhms, quantity.Ohm, 4),
			report.PercentError(loaded.LoadingPercent, math.NaN()), report.PercentError(loaded.TotalPercent, limits[r].Limit),
			report.PercentLimit(limits[r].Limit),
		})
	}
	return all, table
}

// mostLoading names the range that reads most wrongly in such a circuit.
func mostLoading(all []loading) []string {
	if len(all) == 0 {
		return nil
	}
	worst := slices.MaxFunc(all, func(a, b loading) int { return cmp.Compare(math.Abs(a.Total), math.Abs(b.Total)) })
	return []string{fmt.Sprintf("in the circuit the worst is %s: %s", worst.Range, report.PercentPair(worst.Total, worst.Limit).Text)}
}
