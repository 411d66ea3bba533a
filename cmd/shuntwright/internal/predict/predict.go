// Package predict says how a meter will read with what is fitted: the error of
// every range with its limit, over temperature, loaded and as drawn by lot, and
// what it all hangs on.
package predict

import (
	"context"
	"math"

	"shuntwright/cmd/shuntwright/internal/asbuilt"
	"shuntwright/cmd/shuntwright/internal/report"
)

// More is what may be asked of a forecast besides.
type More struct {
	Celsius     float64 // temperature of coil and resistors, in °C; NaN: as stated
	FromCelsius float64 // coldest temperature of a table, in °C; NaN: no table
	ToCelsius   float64 // warmest temperature of it, above FromCelsius
	SourceOhms  float64 // of the circuit that feeds the meter, in ohms; NaN: no loading
	Ratings     bool    // every part beside what it may bear
	Budget      bool    // what makes every range unsure, and what to measure again
	Sensitivity bool    // how every range moves with every resistor
	Draws       *Draws  // nil: no trials
}

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
	More
}

// Answer is the JSON of predict: what its flags ask for besides.
type Answer struct {
	*MeterAnswer
	Temperature []heat        `json:"temperature,omitempty"`
	Loading     []loading     `json:"loading,omitempty"`
	Sensitivity []sensitivity `json:"sensitivity,omitempty"`
	TrimOrder   []trim        `json:"trim_order,omitempty"`
	Ratings     []rating      `json:"ratings,omitempty"`
	Budget      []Share       `json:"budget,omitempty"`
	Again       *Again        `json:"measure_again,omitempty"`
	Trials      []trialled    `json:"trials,omitempty"`
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
		if answer.Trials, err = f.addTrials(ctx, doc, answer.MeterAnswer); err != nil {
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
