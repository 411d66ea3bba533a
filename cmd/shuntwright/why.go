package main

import (
	"context"
	"math"
	"strings"
	"time"

	"shuntwright/cmd/shuntwright/internal/asbuilt"
	"shuntwright/cmd/shuntwright/internal/plan"
	"shuntwright/cmd/shuntwright/internal/predict"
	"shuntwright/cmd/shuntwright/internal/report"
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
	whys, err := made.planner.ExplainPlan(ctx, &made.Outcome, used)
	for _, w := range whys {
		said := whyAnswer(w.Why)
		said.Position = s.Positions[w.Position].Name
		if w.Range >= 0 {
			said.Range = s.Ranges[w.Range].Name
		}
		made.whys = append(made.whys, said)
	}
	return err
}

// whyAnswer is a reason in JSON.
func whyAnswer(w plan.Why) predict.Why {
	said := predict.Why{Why: string(w.Reason), Text: w.Text, Helps: w.Helps}
	if !w.Network.IsNothing() {
		said.Nearest = &predict.Nearest{Network: w.Network.String(), Ohms: w.Ohms, ErrorPercent: w.Error}
	}
	return said
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
		Need: need, Kept: wiring.Network{Ohms: c.options.keep.value}, Left: chosen, Chosen: chosen, Window: true, Ohms: need.Target})
	return []predict.Why{whyAnswer(w)}, err
}
