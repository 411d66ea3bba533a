package main

import (
	"fmt"
	"math"
	"slices"

	"shuntwright/cmd/shuntwright/internal/bench"
	"shuntwright/cmd/shuntwright/internal/caution"
	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/cmd/shuntwright/internal/wording"
	"shuntwright/meter"
	"shuntwright/meter/budget"
)

func predictCommand() *command {
	return &command{
		name: "predict", operands: "METER", least: 1, most: 1,
		does: "says how true every range reads with what is fitted",
		more: `The full-scale error is (indicated - true)/full scale with the range's full-scale
value applied; positive reads high. Between zero and full scale the error is in
proportion: these circuits are linear. The drawer is read where a part of it is
fitted.`,
		example: `shuntwright predict bench.json --from 0C --to 45C
  the full-scale error of every range of bench.json, and over temperature`,
		flags: []string{"drawer", "instruments", "class", "temperature", "from", "to", "source-ohms", "sensitivity", "ratings", "budget", "trials", "seed"},
		run:   runPredict,
	}
}

// runPredict answers predict.
func runPredict(c *call) (report.Document, error) {
	s, err := c.openSetup(c.args[0], false)
	if err != nil {
		return report.Document{}, err
	}
	doc, answer := c.meterDocument(s)
	doc.Heading = s.Meter.Name + ": how true every range reads with what is fitted"
	doc.Tables[0], doc.Tables[1] = doc.Tables[1], doc.Tables[0]
	full := predictAnswer{MeterAnswer: answer}
	if err := c.predictMore(s, &doc, &full); err != nil {
		return report.Document{}, err
	}
	doc.Notes, doc.Answer = answer.Notes, full
	return doc, nil
}

// predictAnswer is the JSON of predict: what its flags ask for besides.
type predictAnswer struct {
	*report.MeterAnswer
	Temperature []heat        `json:"temperature,omitempty"`
	Loading     []loading     `json:"loading,omitempty"`
	Sensitivity []sensitivity `json:"sensitivity,omitempty"`
	TrimOrder   []trim        `json:"trim_order,omitempty"`
	Ratings     []rating      `json:"ratings,omitempty"`
	Budget      []share       `json:"budget,omitempty"`
	Again       *again        `json:"measure_again,omitempty"`
	Trials      []trialled    `json:"trials,omitempty"`
	ChanceAll   report.Maybe  `json:"chance_all_within_class,omitempty"`
}

// predictMore adds what --from and --to, --source-ohms and --sensitivity ask for.
func (c *call) predictMore(s *setup, doc *report.Document, answer *predictAnswer) error {
	state := s.atTemperature(c, s.Meter.State(s.Ohms()))
	var table report.Table
	var err error
	if c.flags.Changed("from") != c.flags.Changed("to") {
		return misused("--from and --to go together, such as --from 0C --to 45C")
	}
	if c.flags.Changed("from") {
		if answer.Temperature, table, err = c.overTemperature(s, s.class(c)); err != nil {
			return err
		}
		line, within := worstHeat(answer.Temperature, s.class(c))
		doc.Closing, doc.Good = append(doc.Closing, line), doc.Good && within
		doc.Tables = append(doc.Tables, table)
	}
	if source := c.options.sourceOhms.base(); isNumber(source) {
		answer.Loading, table = s.loadings(state, s.Meter.PredictState(state), source)
		doc.Tables = append(doc.Tables, table)
	}
	if c.options.ratings {
		answer.Ratings = s.ratings(s.Meter.PredictState(state))
		doc.Tables = append(doc.Tables, ratingsTable(answer.Ratings))
	}
	if c.options.budget {
		budgets := s.budgets(state)
		answer.Budget, table = shares(budgets)
		doc.Tables, answer.Again = append(doc.Tables, table), measureAgain(budgets)
		if answer.Again != nil {
			doc.Closing = append(doc.Closing, answer.Again.String())
		}
	}
	if c.flags.Changed("trials") {
		if err := c.predictTrials(s, doc, answer); err != nil {
			return err
		}
	}
	if c.options.sensitivity {
		answer.Sensitivity, table = s.sensitivities(state)
		doc.Tables = append(doc.Tables, table)
		answer.TrimOrder, table = s.trimOrder(state)
		doc.Tables = append(doc.Tables, table)
	}
	return nil
}

// predictTrials adds the Monte Carlo calculation.
func (c *call) predictTrials(s *setup, doc *report.Document, answer *predictAnswer) error {
	all, table, chance, err := c.trials(s, s.class(c))
	if err != nil {
		return err
	}
	answer.Trials, answer.ChanceAll = all, report.Some(chance)
	for _, one := range all {
		for i := range answer.Ranges {
			if answer.Ranges[i].Range == one.Range {
				answer.Ranges[i].ChanceWithinClass = one.Chance
			}
		}
	}
	doc.Tables = append(doc.Tables, table)
	doc.Closing = append(doc.Closing, linearLegend(all)...)
	if isNumber(chance) {
		doc.Closing = append(doc.Closing, fmt.Sprintf("chance that all ranges are within the class: %.1f %% (%d trials, seed %d)", 100*chance, c.options.trials, c.options.seed))
	}
	return nil
}

// meterDocument shows positions and ranges with what the setup holds. The
// answer is returned beside the document, for callers who know more.
func (c *call) meterDocument(s *setup) (report.Document, *report.MeterAnswer) {
	ohms := s.Ohms()
	prediction := s.Meter.Predict(ohms)
	state := s.atTemperature(c, s.Meter.State(ohms))
	prediction = heated(prediction, s.Meter.PredictState(state))
	class := s.class(c)
	answer := &report.MeterAnswer{Meter: s.Meter.Name, Positions: []report.Position{}, Open: &[]string{},
		Worst: report.Some(prediction.WorstPercent), Class: report.Some(class)}
	limits := s.RangeLimits(state)
	if r := worstRange(prediction); r >= 0 {
		answer.Limit = report.Some(limits[r].Limit)
	}
	positions, ranges := positionsTable(), rangesTable(isNumber(class))
	for i, p := range prediction.Positions {
		s.addPosition(answer, &positions, i, p)
	}
	good := len(*answer.Open) == 0
	for r, p := range prediction.Ranges {
		limit := limits[r]
		verdict := bench.Verdict(p, limit, class)
		good = good && !(math.Abs(p.ErrorPercent) > class)
		answer.Ranges = append(answer.Ranges, jsonRange(s.Ranges[r], p, limit, verdict))
		ranges.Rows = append(ranges.Rows, rangeRow(s.Ranges[r], p, limit, verdict, isNumber(class)))
	}
	answer.Cautions = caution.Of(s.Meter)
	answer.Assumptions = append(caution.Assumed(s.Setup), s.temperatureAssumptions(c)...)
	answer.Warnings = slices.Concat(s.Warnings, overloads(s.ratings(prediction)), caution.Warnings(s.Used()))
	doc := report.Document{Tables: []report.Table{positions, ranges}, Good: good}
	if line := s.worstLine(prediction, limits, c.options.sure); line != "" {
		doc.Closing = append(doc.Closing, line)
	}
	if len(*answer.Open) > 0 {
		doc.Closing = append(doc.Closing, "open: "+wording.List(*answer.Open))
	}
	return doc, answer
}

// heated is a prediction at another temperature with the targets of the
// reference temperature.
func heated(cold, warm meter.Prediction) meter.Prediction {
	for i := range warm.Positions {
		target := cold.Positions[i].TargetOhms
		warm.Positions[i].TargetOhms = target
		warm.Positions[i].ErrorPercent = 100 * (warm.Positions[i].Ohms/target - 1)
	}
	return warm
}

// class is the flag's, or the meter's, or NaN.
func (s *setup) class(c *call) float64 {
	if given := float64(c.options.class); c.flags.Lookup("class") != nil && isNumber(given) {
		return given
	}
	return s.Meter.Class
}

// surelyWorst is the first of the ranges with the largest error and limit
// together, -1 where none is whole.
func surelyWorst(p meter.Prediction, limits []budget.Result) int {
	at, most := -1, math.Inf(-1)
	for r, one := range p.Ranges {
		if off := math.Abs(one.ErrorPercent) + limits[r].Limit; one.Whole() && off > most {
			at, most = r, off
		}
	}
	return at
}

// worstRange is the first of the ranges with the largest error, -1 where none
// is whole.
func worstRange(p meter.Prediction) int {
	return slices.IndexFunc(p.Ranges, func(one meter.RangePrediction) bool {
		return one.Whole() && math.Abs(one.ErrorPercent) == p.WorstPercent
	})
}

// worstLine names the worst range, or where error and limit together count the
// one that may be furthest off.
func (s *setup) worstLine(p meter.Prediction, limits []budget.Result, sure bool) string {
	r := worstRange(p)
	if sure {
		r = surelyWorst(p, limits)
	}
	if r < 0 {
		return ""
	}
	limit, what := limits[r].Limit, "worst range"
	if sure {
		what = "worst range, error and limit together"
	}
	return fmt.Sprintf("%s: %s, %s (%s)", what, s.Ranges[r].Name,
		report.PercentError(p.Ranges[r].ErrorPercent, limit).Text, report.PercentLimit(limit).Text)
}
