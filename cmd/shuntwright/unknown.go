package main

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strings"

	"shuntwright/cmd/shuntwright/internal/predict"
	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/inventory"
	"shuntwright/meter/quantity"
)

// From how many volts across a part on it matters that nobody knows what it bears,
// and that carbon composition has less then than was measured.
const (
	unknownVolts = 50
	fadingVolts  = 30
)

// mostInstead is for how many positions other parts are named.
const mostInstead = 2

// unknownWords warn of parts that a plan puts under volts that nobody knows whether
// they bear, and say which known parts would do where it takes others. strained are
// the parts that are warned of.
func (c *call) unknownWords(s *setup, made *planned, answer *predict.MeterAnswer) (strained, raised, instead []string, err error) {
	for _, position := range made.Open {
		var takes []string
		weak, marked, strong := false, false, report.Number(answer.Positions[position].Volts) > fadingVolts
		for _, one := range answer.Positions[position].Pieces {
			if !slices.Contains(s.added(made, position), one.Part) {
				continue
			}
			part, volts := s.Parts[s.Index[one.Part]], report.Number(one.Volts)
			if one.RatedVolts == nil && volts > unknownVolts {
				strained, takes = append(strained, one.Part), append(takes, fmt.Sprintf("%s takes %s", one.Part, quantity.Format(volts, quantity.Volt, 3)))
			}
			marked, weak = marked || one.Marked, weak || len(takes) > 0 || part.Composition() && volts > fadingVolts
		}
		if len(takes) > 0 {
			raised = append(raised, fmt.Sprintf("in %s %s, and nobody knows what %s", s.Positions[position].Name, report.List(takes), report.Either(len(takes) == 1, "it bears", "they bear")))
		}
		if (weak || marked) && !c.options.trim && len(instead) < mostInstead {
			words, err := c.knownInstead(s, made, position, strong, weak)
			if err != nil {
				return nil, nil, nil, err
			}
			instead = append(instead, words...)
		}
	}
	return strained, raised, instead, nil
}

// knownInstead says what would do in a position of parts that are measured, and
// where they must be strong, whose volts are known and that are not of carbon
// composition. Where the plan's are not weak it is said only if the range is surer so.
func (c *call) knownInstead(s *setup, made *planned, position int, strong, weak bool) ([]string, error) {
	ctx, stop := context.WithTimeout(c.ctx, whyTime)
	defer stop()
	trial, err := made.planner.Instead(ctx, &made.Outcome, position, func(p inventory.Part) bool {
		return !p.Measured() || strong && (math.IsNaN(p.Volts) || p.Composition())
	})
	if err != nil || trial == nil {
		return nil, err
	}
	name := s.Positions[position].Name
	now, then := s.RangeLimits(s.Meter.State(s.Ohms())), trial.RangeLimits(trial.Meter.State(trial.Ohms()))
	was := s.Meter.Predict(s.Ohms())
	for r, one := range trial.Meter.Predict(trial.Ohms()).Ranges {
		surer := math.Abs(one.ErrorPercent)+then[r].Limit < math.Abs(was.Ranges[r].ErrorPercent)+now[r].Limit
		if one.Whole() && (weak || surer) && strings.HasSuffix(name, " "+s.Ranges[r].Name) {
			return []string{fmt.Sprintf("of known parts %s reads %s: shuntwright fit %s %q %q", s.Ranges[r].Name,
				report.PercentPair(one.ErrorPercent, then[r].Limit).Text, report.InShell(s.Path), name, trial.Networks[position].String())}, nil
		}
	}
	return nil, nil
}
