package main

import (
	"context"
	"fmt"
	"slices"

	"shuntwright/cmd/shuntwright/internal/plan"
	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/meter/wiring"
)

// planFlags are the flags that plan and fit share.
var planFlags = []string{"drawer", "instruments", "parts", "within", "enough", "class", "derate", "rated-only", "only", "exclude", "sure", "keep-at", "trim", "time-limit"}

func planCommand() *command {
	return &command{
		name: "plan", operands: "METER", least: 1, most: 1,
		does: "fills every open position at once, no part used twice",
		more: `The plan has the smallest worst full-scale error that the drawer allows, then the
smallest next worst, and so on down; then the fewest parts. --enough measured takes
the fewest parts among the plans that are no further off than the surest may really be,
error and limit together. --trim is for a meter whose parts are all in place: what
reads true within the class is left alone (with --sure: error and limit together), and
the fewest parts are added that make the rest true. Nothing is written: shuntwright fit METER takes the
plan.`,
		example: `shuntwright plan bench.json --parts 2
  the best single parts or pairs from drawer.csv for all ranges of bench.json`,
		flags: append(slices.Clone(planFlags), "buy", "series"),
		run:   runPlan,
	}
}

// runPlan answers plan.
func runPlan(c *call) (report.Document, error) {
	s, made, err := c.makePlan()
	if err != nil {
		return report.Document{}, err
	}
	return c.planDocument(s, made)
}

// planned is what the search found, beside what it was asked.
type planned struct {
	plan.Outcome
	whys     []report.Why
	foreseen string // what was warned of before the search
	shopping *shopping
	buying   report.Table
}

// free is how many parts there were to choose from.
func (made *planned) free() int { return len(made.Chosen) + made.PassedOver }

// makePlan searches, and fills the setup with what was found.
func (c *call) makePlan() (*setup, *planned, error) {
	if err := c.checkSearch(); err != nil {
		return nil, nil, err
	}
	s, err := c.openSetup(c.args[0], true)
	if err != nil {
		return nil, nil, err
	}
	if err := c.checkBuy(s); err != nil {
		return nil, nil, err
	}
	if err := c.checkTrim(s); err != nil {
		return nil, nil, err
	}
	kept, err := s.keeps(c.options.keeps)
	if err != nil {
		return nil, nil, err
	}
	p := &plan.Planner{Setup: s.Setup, Wishes: c.wishes(s.class(c))}
	q, err := p.Ask(kept)
	if err != nil {
		return nil, nil, err
	}
	ctx, stop := c.limited()
	defer stop()
	var done func()
	q.Problem.Progress, done = c.watch()
	defer done()
	made := &planned{Outcome: plan.NewOutcome(p, q)}
	if len(q.Open) == 0 {
		made.Plan.Proven = true
		return s, made, nil
	}
	networks, err := c.find(ctx, p, made)
	if err != nil {
		return nil, nil, err
	}
	if c.flags.Changed("buy") {
		list, bought, err := c.shop(ctx, s, q)
		if err != nil {
			return nil, nil, err
		}
		made.shopping, made.buying = list, s.shoppingTable(q, bought, list)
	}
	for position, n := range networks {
		if err := s.Fill(position, n); err != nil {
			return nil, nil, err
		}
	}
	return s, made, c.explain(s, p, made)
}

// find finds the plan, and without --trim what it costs in joints; it returns
// the networks by position.
func (c *call) find(ctx context.Context, p *plan.Planner, made *planned) (map[int]wiring.Network, error) {
	if !c.options.trim {
		var err error
		if made.foreseen, err = c.foresee(ctx, p, &made.Question); err != nil {
			return nil, err
		}
	}
	return p.Search(ctx, &made.Outcome)
}

// wishes are what the flags ask of a plan or a network.
func (c *call) wishes(class float64) plan.Wishes {
	o := &c.options
	return plan.Wishes{Wanted: o.wanted, AtMost: o.parts, Within: float64(o.within) / 100, Derate: o.derate,
		Sure: o.sure, Trim: o.trim, Class: class, Enough: float64(o.enough.percent), EnoughMeasured: o.enough.measured}
}

// planDocument shows what the plan does, and what it cost to find.
func (c *call) planDocument(s *setup, made *planned) (report.Document, error) {
	doc, answer := c.forecast(s).Document()
	answer.NetworksConsidered, answer.Proven = made.Plan.Considered, &made.Plan.Proven
	if len(made.Open) > 0 {
		if !c.options.sure { // else the bound is one of error plus limit
			answer.BoundPercent = report.Some(made.Plan.Bound)
		}
		answer.FewerParts = frontierAnswer(made)
		if made.Problem.Enough > 0 {
			answer.EnoughPercent = report.Some(made.Problem.Enough)
		}
		answer.Enough = enoughHint(made.Spares)
	}
	var added []string
	for _, position := range made.Open {
		added = append(added, s.added(made, position)...)
	}
	if unrated := report.Unique(s.Unrated(added)); len(unrated) > 0 {
		answer.Warnings = append(answer.Warnings, "neither watts nor volts are known of "+report.List(unrated)+
			": hold them against the watts and volts in the table; --rated-only leaves such parts out")
	}
	if made.foreseen != "" && !made.Plan.Proven {
		answer.Warnings = append(answer.Warnings, made.foreseen)
	}
	doc.Heading = fmt.Sprintf("%s: %d of %d positions to fill, %d %s free", s.Meter.Name,
		len(made.Open), len(s.Positions), made.free(), report.Plural(made.free(), "part"))
	if c.options.trim {
		c.showTrim(s, made, &doc, answer)
	}
	if fewer := frontierTable(made); len(fewer.Rows) > 0 {
		doc.Tables = append(doc.Tables, fewer)
	}
	if !c.options.trim {
		doc.Closing = append(doc.Closing, s.planClosing(made, s.class(c))...)
	}
	showWhys(made, &doc, answer)
	doc.Notes, doc.Answer = answer.Notes, *answer
	if made.shopping != nil {
		doc.Tables = append(doc.Tables, made.buying)
		doc.Closing = append(doc.Closing, c.shoppingWords(made.shopping, answer.Ranges)...)
		doc.Answer = planAnswer{answer, made.shopping}
	}
	return doc, nil
}

// planAnswer is the JSON of plan --buy.
type planAnswer struct {
	*report.MeterAnswer
	Buy *shopping `json:"buy"`
}

// changed tells whether the plan puts something into a position.
func (s *setup) changed(made *planned, position int) bool {
	return s.Networks[position].String() != made.Before[position].String()
}

// added are the parts that the plan puts into a position beside what was there.
func (s *setup) added(made *planned, position int) []string {
	there := made.Before[position].IDs()
	return slices.DeleteFunc(s.Networks[position].IDs(), func(id string) bool { return slices.Contains(there, id) })
}
