package main

import (
	"cmp"
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

// fadingVolts is from how many volts across it on it matters that a part of carbon
// composition has less then than was measured.
const fadingVolts = 30

// mostInstead is for how many positions other parts are looked for.
const mostInstead = 2

// unknownWords warn of parts that a plan puts under volts that nobody knows whether
// they bear, and say which known parts would do where it takes others. strained are
// the parts that are warned of.
func (c *call) unknownWords(s *setup, made *planned, answer *predict.MeterAnswer) (strained, raised, instead []string, err error) {
	var takes []strain
	tried := 0
	for _, position := range made.Open {
		weak, marked, strong := false, false, report.Number(answer.Positions[position].Volts) > fadingVolts
		for _, one := range answer.Positions[position].Pieces {
			if !slices.Contains(s.added(made, position), one.Part) {
				continue
			}
			part, volts := s.Parts[s.Index[one.Part]], report.Number(one.Volts)
			if one.VoltsUnknown() {
				strained, takes, weak = append(strained, one.Part), append(takes, strain{one.Part, s.Positions[position].Name, volts}), true
			}
			marked, weak = marked || one.Marked, weak || part.Composition() && volts > fadingVolts
		}
		if (weak || marked) && !c.options.trim && tried < mostInstead {
			tried++
			words, err := c.knownInstead(s, made, position, strong, weak)
			if err != nil {
				return nil, nil, nil, err
			}
			instead = append(instead, words...)
		}
	}
	return strained, strainWords(takes), instead, nil
}

// strain is a part under volts of which nobody knows whether it bears them.
type strain struct {
	part, position string
	volts          float64
}

// strainWords name the parts that take most.
func strainWords(all []strain) []string {
	if len(all) == 0 {
		return nil
	}
	slices.SortStableFunc(all, func(a, b strain) int { return cmp.Compare(b.volts, a.volts) })
	var takes []string
	for _, one := range all {
		takes = append(takes, fmt.Sprintf("%s takes %s in %s", one.part, quantity.Format(one.volts, quantity.Volt, 3), one.position))
	}
	return []string{report.Few(takes, 3) + ", and nobody knows what " + report.Either(len(takes) == 1, "it bears", "they bear")}
}

// knownInstead says what would do in a position of parts that are measured, and
// where they must be strong, whose volts are known and that are not of carbon
// composition. Where the plan's are not weak it is said only if the range is surer so.
func (c *call) knownInstead(s *setup, made *planned, position int, strong, weak bool) ([]string, error) {
	ctx, stop := context.WithTimeout(c.ctx, whyTime/mostInstead)
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
			return []string{fmt.Sprintf("of known parts %s reads %s: shuntwright fit %s %s %s", s.Ranges[r].Name,
				report.PercentPair(one.ErrorPercent, then[r].Limit).Text, report.InShell(s.Path), report.InShell(name), report.InShell(trial.Networks[position].String()))}, nil
		}
	}
	return nil, nil
}
