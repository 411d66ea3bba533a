package main

import (
	"errors"
	"fmt"
	"io/fs"

	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/cmd/shuntwright/internal/survey"
	"shuntwright/inventory"
)

func surveyCommand() *command {
	return &command{
		name: "survey", operands: "PARTS", least: 1, most: 1,
		does: "which resistors of a set have drifted, and what the drawer has for them",
		more: `PARTS is a table with the columns ref, nominal, tolerance_percent and measured, and if you
like watts, volts and instrument; an empty reading is a part not measured yet, open or OL one
that is broken. --tolerance, --watts, --volts and --instrument hold for rows that do not say it.
A part is in or out where its reading is sure of that. Replacements are within the tolerance, rated
as the part was, and no part of the drawer is used twice; with --enough the fewest parts that
do.`,
		example: `shuntwright survey set.csv --tolerance 10
  the drift of every part, and the drawer's best parts for those that are out`,
		flags: []string{"drawer", "instruments", "instrument", "tolerance", "watts", "volts/part", "parts", "enough/tolerance", "rated-only", "only", "exclude", "time-limit"},
		run:   runSurvey,
	}
}

// runSurvey answers survey; it exits with 1 where a part is out.
func runSurvey(c *call) (report.Document, error) {
	c.options.derate, c.options.within = 1, 1 // these are no flags of survey: ratings go against ratings, and the window is the tolerance
	if err := c.checkSearch(); err != nil {
		return report.Document{}, err
	}
	like, err := c.partLike()
	if err != nil {
		return report.Document{}, err
	}
	set, err := inventory.ReadSet(c.args[0], like)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return report.Document{}, fmt.Errorf("reading parts: there is no file %q; it is a table with the columns ref, nominal, tolerance_percent, measured", c.args[0])
	case err != nil:
		return report.Document{}, err
	}
	b, err := c.benchFor(false)
	if err != nil {
		return report.Document{}, err
	}
	s := survey.Survey{Bench: b, AtMost: c.options.parts, Enough: c.options.withinTolerance}
	if err := s.Judge(set); err != nil {
		return report.Document{}, inFile(c.args[0], err)
	}
	if s.Chosen, err = b.Choose(nil, c.options.wanted); err != nil {
		return report.Document{}, err
	}
	ctx, stop := c.limited()
	defer stop()
	if err := s.Replace(ctx); err != nil {
		return report.Document{}, err
	}
	return s.Document(c.args[0]), nil
}
