package main

import (
	"context"
	"fmt"
	"math"
	"slices"

	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/cmd/shuntwright/internal/wording"
	"shuntwright/match"
	"shuntwright/meter/wiring"
)

// planFlags are the flags that plan and fit share.
var planFlags = []string{"drawer", "instruments", "parts", "within", "enough", "class", "derate", "rated-only", "sure", "keep-at", "trim", "time-limit"}

func planCommand() *command {
	return &command{
		name: "plan", operands: "METER", least: 1, most: 1,
		does: "fills every open position at once, no part used twice",
		more: `The plan has the smallest worst full-scale error that the drawer allows, then the
smallest next worst, and so on down; then the fewest parts. --enough measured takes
the fewest parts among the plans whose worst error is above that by no more than
the limit of its worst range. --trim is for a meter whose parts are all in place: what
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
	search
	plan     match.Plan
	best     figure // with --enough measured: the worst range of the best plan
	reads    standing
	before   []wiring.Network // by position, as it was
	beyond   []int            // with --trim: the ranges that nothing brings within the class
	foreseen string           // what was warned of before the search
	frontier []step
	enough   *report.EnoughHint
	shopping *shopping
	buying   report.Table
}

// search is one question to the joint choice.
type search struct {
	stock   *match.Stock
	problem match.Problem
	open    []int                  // positions by slot
	chosen  []int                  // parts of the drawer by index in the stock
	kept    map[int]wiring.Network // by position, what stays in it
}

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
	q, err := c.question(s)
	if err != nil {
		return nil, nil, err
	}
	ctx, stop := c.limited()
	defer stop()
	var done func()
	q.problem.Progress, done = c.watch()
	defer done()
	made := &planned{search: *q, best: figure{math.NaN(), math.NaN()}, before: slices.Clone(s.Networks)}
	if len(q.open) == 0 {
		made.plan.Proven = true
		return s, made, nil
	}
	find := c.findPlan
	if c.options.trim {
		find = c.findTrim
	}
	networks, err := find(ctx, s, made)
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
	return s, made, nil
}

// findPlan finds the plan and what it costs in joints; it returns the networks
// by position.
func (c *call) findPlan(ctx context.Context, s *setup, made *planned) (map[int]wiring.Network, error) {
	var err error
	if made.foreseen, err = c.foresee(ctx, s, &made.search); err != nil {
		return nil, err
	}
	if err = c.choose(ctx, s, made); err != nil {
		return nil, err
	}
	if made.frontier, err = c.frontier(ctx, s, made); err != nil {
		return nil, err
	}
	if made.enough, err = c.enoughHint(ctx, s, made); err != nil {
		return nil, err
	}
	return s.wired(&made.search, made.plan.Networks), nil
}

// wired are the networks of a search in the words of the drawer, by position.
func (s *setup) wired(q *search, nets []match.Network) map[int]wiring.Network {
	out := map[int]wiring.Network{}
	for slot, position := range q.open {
		if !nets[slot].IsZero() {
			out[position] = s.Wire(nets[slot], q.chosen, q.kept[position])
		}
	}
	return out
}

// question puts the open positions into the words of the search, and with
// --trim the others too.
func (c *call) question(s *setup) (*search, error) {
	kept, err := s.keeps(c.options.keeps)
	if err != nil {
		return nil, err
	}
	if c.options.trim {
		s.keepAll(kept)
	}
	q := &search{open: s.toFill(kept), chosen: s.Free(s.Taken, c.options.ratedOnly), kept: kept}
	if c.options.trim && len(s.OpenPositions()) == 0 && len(c.beyond(s)) == 0 {
		q.open = nil
	}
	if len(q.open) == 0 {
		return q, nil
	}
	return q, c.pose(s, q)
}

// pose states the problem of a search: its positions, and what each needs.
func (c *call) pose(s *setup, q *search) error {
	targets, err := s.Meter.Targets()
	if err != nil {
		return atRange(s.Path, s.Data, err)
	}
	stresses, err := s.Meter.Stresses()
	if err != nil {
		return atRange(s.Path, s.Data, err)
	}
	if q.stock, err = s.Stock(q.chosen, c.options.derate); err != nil {
		return err
	}
	for _, position := range q.open {
		need := match.Need{
			Target: targets[position], Within: float64(c.options.within) / 100, AtMost: c.options.parts,
			Keep: math.NaN(), KeepBears: math.Inf(1), Flow: stresses[position].Amperes, Drop: math.NaN(),
		}
		if n, stays := q.kept[position]; stays {
			if need.Keep, need.KeepBears, err = s.KeptNetwork(n, c.options.derate); err != nil {
				return err
			}
			if c.options.trim {
				letStay(&need)
			}
		}
		q.problem.Needs = append(q.problem.Needs, need)
	}
	response := s.Meter.Response(q.open, s.Ohms())
	if c.options.sure {
		q.problem.Limit, q.problem.LimitFloor = s.planLimits(q), s.newLimitFloor(q, response)
	}
	q.problem.Ranges = len(s.Ranges)
	q.problem.Response = response
	enough := float64(c.options.enough.percent)
	if c.options.trim {
		enough = s.class(c)
	}
	q.problem = enoughProblem(q.problem, enough)
	return nil
}

// planDocument shows what the plan does, and what it cost to find.
func (c *call) planDocument(s *setup, made *planned) (report.Document, error) {
	doc, answer := c.meterDocument(s)
	answer.NetworksConsidered, answer.Proven = made.plan.Considered, &made.plan.Proven
	if len(made.open) > 0 {
		if !c.options.sure { // else the bound is one of error plus limit
			answer.BoundPercent = report.Some(made.plan.Bound)
		}
		answer.FewerParts = frontierAnswer(made)
		if made.problem.Enough > 0 {
			answer.EnoughPercent = report.Some(made.problem.Enough)
		}
		answer.Enough = made.enough
	}
	var added []string
	for _, position := range made.open {
		added = append(added, s.added(made, position)...)
	}
	if unrated := wording.Unique(s.Unrated(added)); len(unrated) > 0 {
		answer.Warnings = append(answer.Warnings, "neither watts nor volts are known of "+wording.List(unrated)+
			": hold them against the watts and volts in the table; --rated-only leaves such parts out")
	}
	if made.foreseen != "" && !made.plan.Proven {
		answer.Warnings = append(answer.Warnings, made.foreseen)
	}
	doc.Heading = fmt.Sprintf("%s: %d of %d positions to fill, %d %s free", s.Meter.Name,
		len(made.open), len(s.Positions), len(made.chosen), wording.Plural(len(made.chosen), "part"))
	if c.options.trim {
		c.showTrim(s, made, &doc, answer)
	}
	if fewer := frontierTable(made); len(fewer.Rows) > 0 {
		doc.Tables = append(doc.Tables, fewer)
	}
	if !c.options.trim {
		doc.Closing = append(doc.Closing, s.planClosing(made)...)
	}
	doc.Notes, doc.Answer = answer.Notes, *answer
	if made.shopping != nil {
		doc.Tables = append(doc.Tables, made.buying)
		doc.Closing = append(doc.Closing, c.shoppingWords(made.shopping))
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
	return s.Networks[position].String() != made.before[position].String()
}

// added are the parts that the plan puts into a position beside what was there.
func (s *setup) added(made *planned, position int) []string {
	there := made.before[position].IDs()
	return slices.DeleteFunc(s.Networks[position].IDs(), func(id string) bool { return slices.Contains(there, id) })
}
