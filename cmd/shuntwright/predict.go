package main

import (
	"errors"
	"math"

	"shuntwright/cmd/shuntwright/internal/predict"
	"shuntwright/cmd/shuntwright/internal/report"
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
	o := &c.options
	f := c.forecast(s)
	if c.flags.Changed("from") != c.flags.Changed("to") {
		return report.Document{}, misused("--from and --to go together, such as --from 0C --to 45C")
	}
	if f.FromCelsius, f.ToCelsius = o.from.base(), o.to.base(); f.FromCelsius >= f.ToCelsius {
		return report.Document{}, misused("--from %s --to %s: the first must be the colder one", o.from.value.Text, o.to.value.Text)
	}
	f.SourceOhms, f.Ratings, f.Budget, f.Sensitivity = o.sourceOhms.base(), o.ratings, o.budget, o.sensitivity
	doc, err := f.Full(c.ctx)
	doc.Next = c.afterPredict(s)
	return doc, c.trialled(err)
}

// trialled is the error of what --trials asks for, in its words.
func (c *call) trialled(err error) error {
	if refused := (predict.TrialError{}); errors.As(err, &refused) {
		return misused("--trials %d: %w", c.options.trials, err)
	}
	return err
}

// afterPredict is the command that follows: take out what would burn, fill what is
// open, put right what is off, or hold it against readings.
func (c *call) afterPredict(s *setup) string {
	path, over := report.InShell(s.Path), c.forecast(s).Overloaded()
	switch {
	case over != "":
		return "shuntwright unfit " + path + " " + report.InShell(over)
	case len(s.OpenPositions()) > 0:
		return "shuntwright plan " + path
	case len(c.forecast(s).Outside()) > 0:
		return "shuntwright plan " + path + " --trim" + c.classFlag(s)
	}
	return "shuntwright check " + path
}

// forecast is what every command asks of how a meter will read.
func (c *call) forecast(s *setup) *predict.Forecast {
	o := &c.options
	f := &predict.Forecast{Setup: s.Setup, Asked: c.asked(s.class(c)), Celsius: o.temperature.base(),
		FromCelsius: math.NaN(), ToCelsius: math.NaN(), SourceOhms: math.NaN()}
	if c.flags.Changed("trials") {
		f.Draws = &predict.Draws{Number: o.trials, Seed: o.seed}
	}
	return f
}

// inBrief is the document of a forecast whose tables only --full shows.
func inBrief(f *predict.Forecast) (report.Document, *predict.MeterAnswer) {
	doc, answer := f.Document()
	for i, heading := range []string{"all positions", "all ranges"} {
		doc.Tables[i].Heading, doc.Tables[i].Detail = heading, true
	}
	return doc, answer
}

// class is the flag's, or the meter's, or NaN.
func (s *setup) class(c *call) float64 {
	if given := float64(c.options.class); c.flags.Lookup("class") != nil && isNumber(given) {
		return given
	}
	return s.Meter.Class
}
