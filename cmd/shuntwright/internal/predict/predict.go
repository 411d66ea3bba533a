// Package predict says how a meter will read with what is fitted: the error of
// every range with its limit, over temperature, loaded and as drawn by lot, and
// what it all hangs on.
package predict

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"

	"shuntwright/cmd/shuntwright/internal/asbuilt"
	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/meter"
	"shuntwright/meter/quantity"
)

// Draws are how often, and from which seed, everything measured is drawn.
type Draws struct {
	Number int // a TrialError says what is too few or too many
	Seed   uint64
}

// TrialError is why trials cannot be made as often as was wished.
type TrialError struct{ err error }

func (e TrialError) Error() string { return e.err.Error() }
func (e TrialError) Unwrap() error { return e.err }

// Forecast is a meter on the bench, and what is asked of it.
type Forecast struct {
	*asbuilt.Setup
	asbuilt.Asked
	Celsius     float64 // temperature of coil and resistors, in °C; NaN: as stated
	FromCelsius float64 // coldest temperature of a table, in °C; NaN: no table
	ToCelsius   float64 // warmest temperature of it, above FromCelsius
	SourceOhms  float64 // of the circuit that feeds the meter, in ohms; NaN: no loading
	Ratings     bool    // every part beside what it may bear
	Budget      bool    // what makes every range unsure, and what to measure again
	Sensitivity bool    // how every range moves with every resistor
	Draws       *Draws  // nil: no trials
}

// Answer is the JSON of predict: what its flags ask for besides.
type Answer struct {
	*MeterAnswer
	Temperature []heat         `json:"temperature,omitempty"`
	Loading     []loading      `json:"loading,omitempty"`
	Sensitivity []sensitivity  `json:"sensitivity,omitempty"`
	TrimOrder   []trim         `json:"trim_order,omitempty"`
	Ratings     []rating       `json:"ratings,omitempty"`
	Budget      []contribution `json:"budget,omitempty"`
	Again       *again         `json:"measure_again,omitempty"`
	Trials      []trialled     `json:"trials,omitempty"`
}

// Full is Document with the ranges first and with everything that was wished
// besides. An error is a TrialError, or that of ctx, at which the trials end.
func (f *Forecast) Full(ctx context.Context) (report.Document, error) {
	doc, answer := f.Document()
	doc.Tables[0], doc.Tables[1] = doc.Tables[1], doc.Tables[0]
	doc.Tables[1].Heading, doc.Tables[1].Detail = "the positions", true
	full := Answer{MeterAnswer: answer}
	if err := f.more(ctx, &doc, &full); err != nil {
		return report.Document{}, err
	}
	doc.Notes, doc.Answer = answer.Notes, full
	return doc, nil
}

// more adds what is wished besides.
func (f *Forecast) more(ctx context.Context, doc *report.Document, answer *Answer) error {
	state := f.AtTemperature(f.Meter.State(f.Ohms()), f.Celsius)
	var table report.Table
	if !math.IsNaN(f.FromCelsius) {
		answer.Temperature, table = f.overTemperature()
		line, within := worstHeat(answer.Temperature, f.Class)
		doc.BottomLine, doc.Good = append(doc.BottomLine, line), doc.Good && within
		f.warmFirst(doc)
		doc.Closing = append(doc.Closing, swampless(answer.Temperature)...)
		doc.Tables = append(doc.Tables, table)
	}
	if !math.IsNaN(f.SourceOhms) {
		answer.Loading, table = f.loadings(state, f.Meter.PredictState(state))
		doc.BottomLine = append(doc.BottomLine, mostLoading(answer.Loading)...)
		doc.Tables = append(doc.Tables, table)
	}
	if f.Ratings {
		answer.Ratings = f.ratings(f.Meter.PredictState(state))
		doc.Tables = append(doc.Tables, ratingsTable(answer.Ratings))
	}
	if f.Budget {
		budgets := budgetOf(f.Setup, state)
		answer.Budget, table = sharesOf(budgets)
		doc.Tables, answer.Again = append(doc.Tables, table), measureAgain(budgets)
		if answer.Again != nil {
			doc.Closing = append(doc.Closing, answer.Again.String())
		}
	}
	if f.Draws != nil {
		var err error
		if answer.Trials, err = f.Chances(ctx, doc, answer.MeterAnswer); err != nil {
			return err
		}
	}
	if f.Sensitivity {
		answer.Sensitivity, table = f.sensitivities(state)
		doc.Tables = append(doc.Tables, table)
		answer.TrimOrder, table = f.trimOrder(state)
		doc.Tables = append(doc.Tables, table)
	}
	return nil
}

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
