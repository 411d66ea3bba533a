package main

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"shuntwright/cmd/shuntwright/internal/asbuilt"
	"shuntwright/cmd/shuntwright/internal/plan"
	"shuntwright/cmd/shuntwright/internal/predict"
	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/inventory"
	"shuntwright/match"
	"shuntwright/meter/wiring"
)

// whyTime is how long the reasons of an answer may take together; what is not
// found by then is not claimed.
const whyTime = 2 * time.Second

// explain adds the reasons of what a plan leaves to be wished.
func (c *call) explain(s *setup, made *planned) error {
	if len(made.Open) == 0 {
		return nil
	}
	ctx, stop := context.WithTimeout(c.ctx, whyTime)
	defer stop()
	used := made.wound.used
	if c.options.wind == "never" {
		used = nil
	}
	var err error
	made.whys, err = made.planner.ExplainPlan(ctx, &made.Outcome, used)
	return err
}

// mostHelp is the flag that helps most of what stands in the way: more parts a
// position, which cost nothing, before all else; empty where only buying does.
func mostHelp(whys []predict.Why) string {
	var most string
	for _, w := range whys {
		more := strings.HasPrefix(w.Helps, "--parts ")
		if most == "" || more && (!strings.HasPrefix(most, "--parts ") || w.Helps > most) { // one digit
			most = w.Helps
		}
	}
	return most
}

// mostWhys is how many reasons people are told at once.
const mostWhys = 3

// showWhys puts the reasons into the answer, and the first of them into its
// bottom line.
func showWhys(made *planned, doc *report.Document, answer *predict.MeterAnswer) {
	var order []string
	of := map[string][]string{} // positions, or ranges, by what is said of them
	for _, w := range made.whys {
		text := "open: " + w.Text
		if w.Range == "" {
			answer.WhyOpen = append(answer.WhyOpen, w)
			of[text] = append(of[text], w.Position)
		} else {
			answer.WhyOutside = append(answer.WhyOutside, w)
			text = "outside: " + w.Position + ": " + w.Text
			of[text] = append(of[text], w.Range)
		}
		order = append(order, text)
	}
	for i, text := range report.Unique(order) {
		text = "why " + report.Few(of[text], 3) + report.Either(len(of[text]) == 1, " is ", " are ") + text
		if i < mostWhys {
			doc.BottomLine = append(doc.BottomLine, text)
		} else {
			doc.Details = append(doc.Details, text)
		}
	}
}

// mostOf is the largest of numbers that may not be given, 0 where none is.
func mostOf(numbers ...float64) float64 {
	most := 0.0
	for _, x := range numbers {
		if x > most {
			most = x
		}
	}
	return most
}

// whyNone explains why pick found nothing.
func (c *call) whyNone(b *asbuilt.Bench, chosen []int, need match.Need) ([]predict.Why, error) {
	ctx, stop := context.WithTimeout(c.ctx, whyTime)
	defer stop()
	w, err := plan.Explain(ctx, b, c.asked(math.NaN()), plan.Place{Winds: plan.WindHelp(b, need.Target, mostOf(need.Flow, need.Drop/need.Target), nil),
		Need: need, Kept: wiring.Network{Ohms: c.options.keep.value}, Chosen: chosen, Window: true})
	return []predict.Why{w}, err
}

// fadingVolts is from how many volts across it on it matters that a part of carbon
// composition has less then than was measured.
const fadingVolts = 30

// mostInstead is for how many positions other parts are looked for.
const mostInstead = 2

// unknownWords say which known parts would do where a plan takes others. strained are
// those under volts that nobody knows whether they bear.
func (c *call) unknownWords(s *setup, made *planned, answer *predict.MeterAnswer) (strained, instead []string, err error) {
	tried := 0
	for _, position := range made.Open {
		weak, marked, strong := false, false, report.Number(answer.Positions[position].Volts) > fadingVolts
		for _, one := range answer.Positions[position].Pieces {
			if !slices.Contains(s.added(made, position), one.Part) {
				continue
			}
			part, volts := s.Parts[s.Index[one.Part]], report.Number(one.Volts)
			if one.VoltsUnknown() {
				strained, weak = append(strained, one.Part), true
			}
			marked, weak = marked || one.Marked, weak || part.Composition() && volts > fadingVolts
		}
		if (weak || marked) && !c.options.trim && tried < mostInstead {
			tried++
			words, err := c.knownInstead(s, made, position, strong, weak)
			if err != nil {
				return nil, nil, err
			}
			instead = append(instead, words...)
		}
	}
	return strained, instead, nil
}

// unsteadyWords warn of parts that a plan puts in and that will go on drifting.
func (s *setup) unsteadyWords(added []string) []string {
	var out []string
	for _, id := range report.Unique(added) {
		if drift := s.Parts[s.Index[id]].Unsteady(s.Measured[s.Index[id]].Ohms); drift != "" {
			out = append(out, id+" ("+drift+")")
		}
	}
	if len(out) == 0 {
		return nil
	}
	return []string{"carbon that has drifted goes on: " + report.Few(out, 3) + "; --exclude leaves it out"}
}

// sureWords say how many ranges more are within the class by the plan that --sure
// finds; empty where none is.
func (c *call) sureWords(s *setup, made *planned) (string, error) {
	within := func(s *asbuilt.Setup) int {
		f := c.forecast(&setup{s})
		return f.Within()
	}
	before := within(s.Setup)
	if c.options.sure || c.options.trim || c.options.enough.given() || before == len(s.Ranges) || len(made.Open) == 0 || !isNumber(s.class(c)) {
		return "", nil
	}
	ctx, stop := context.WithTimeout(c.ctx, whyTime)
	defer stop()
	sure, err := made.planner.PlanSure(ctx, &made.Outcome)
	if err != nil {
		return "", err
	}
	if after := within(sure); after > before {
		return fmt.Sprintf("with --sure %d of %d ranges are within the class, error and limit together", after, len(s.Ranges)), nil
	}
	return "", nil
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
