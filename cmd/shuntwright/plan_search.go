package main

import (
	"context"
	"fmt"
	"maps"
	"slices"
	"strings"

	"shuntwright/cmd/shuntwright/internal/plan"
	"shuntwright/match"
	"shuntwright/meter/quantity"
	"shuntwright/meter/wiring"
)

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
	if most := c.asked(s.class(c)).SearchClass(); float64(c.options.resolution) > most && c.flags.Changed("resolution") {
		return nil, nil, misused("--resolution %v: more than the class of %v %%, of which it should be a small part; 0.05 is usual, 0 makes every digit count", c.options.resolution, most)
	}
	kept, err := s.keeps(c.options.keeps)
	if err != nil {
		return nil, nil, err
	}
	wound, err := c.windings(s)
	if err != nil {
		return nil, nil, err
	}
	ctx, stop := c.limited()
	defer stop()
	for {
		trial := &setup{s.Clone()}
		made, err := c.planBefore(ctx, trial, kept, wound)
		if err != nil {
			return nil, nil, err
		}
		made.wound = wound
		wound.fourWires(trial)
		more, err := wound.add(s, made)
		if err != nil {
			return nil, nil, err
		}
		if !more && (made.Plan.End != match.Interrupted || wound.settled) {
			if err := c.explain(trial, made); err != nil {
				return nil, nil, err
			}
			if trial, made, err = c.aroundOpen(ctx, s, trial, made, kept); err != nil {
				return nil, nil, err
			}
			return trial, made, c.shop(trial, made)
		}
		wound.settled = !more
	}
}

// aroundOpen plans once more what shares ranges with a position that stays open: as
// for a meter in which that is on its target one day, and not to make up for it.
// What moves a range that is whole stays as it is planned, but for --trim, which asks
// for the class and no more.
func (c *call) aroundOpen(ctx context.Context, s, trial *setup, made *planned, kept map[int]wiring.Network) (*setup, *planned, error) {
	wait, decided := made.planner.LeftOpen(&made.Outcome)
	if len(wait) == 0 {
		return trial, made, nil
	}
	on, kept := &setup{s.Clone()}, maps.Clone(kept)
	if !c.options.trim {
		for _, position := range decided {
			delete(kept, position)
			if err := on.settle(position, trial.Networks[position]); err != nil {
				return nil, nil, err
			}
		}
	}
	for _, w := range wait {
		if err := on.FillTrimmed(w.Position, w.Network()); err != nil {
			return nil, nil, err
		}
	}
	again, err := c.planOnce(ctx, on, kept)
	if err != nil || slices.Contains(again.Plan.Filled, false) {
		return trial, made, err
	}
	stands, _ := c.forecast(on).Document()
	for _, w := range wait {
		on.Networks[w.Position], on.Leaves[w.Position] = wiring.Network{}, nil
	}
	proven := again.Plan.Proven && made.Plan.Proven
	if c.options.trim {
		again.wound, again.whys, again.question, again.foreseen, again.Before = made.wound, made.whys, made.question, made.foreseen, made.Before
		made = again
	}
	made.Plan.Proven, made.Frontier, made.Spares = proven, nil, nil
	made.wait, made.onTarget = wait, strings.TrimPrefix(stands.Heading, s.Meter.Name+": ")
	return on, made, nil
}

// settle fills a position as planned, and lets nothing else take its parts.
func (s *setup) settle(position int, n wiring.Network) error {
	for _, id := range n.IDs() {
		s.Taken[id] = s.Where(position)
	}
	return s.Fill(position, n)
}

// planBefore searches in half of the time that is left where the plan may have to
// be made again round what is then wound.
func (c *call) planBefore(ctx context.Context, s *setup, kept map[int]wiring.Network, wound *windings) (*planned, error) {
	share := 1.0
	if wound.mayAdd(s) {
		share = 0.5
	} else {
		wound.settled = true
	}
	part, stop := plan.ShareOf(ctx, share)
	defer stop()
	return c.planOnce(part, s, kept)
}

// planner asks what the flags say.
func (c *call) planner(s *setup) *plan.Planner {
	return &plan.Planner{Setup: s.Setup, Asked: c.asked(s.class(c))}
}

// planOnce searches with what is in the setup, and fills it.
func (c *call) planOnce(ctx context.Context, s *setup, kept map[int]wiring.Network) (*planned, error) {
	p := c.planner(s)
	q, err := p.Ask(maps.Clone(kept))
	if err != nil {
		return nil, err
	}
	if len(q.Open) == 0 {
		made := &planned{Outcome: plan.NewOutcome(p, q), planner: p, question: q}
		made.Plan.Proven = true
		return made, nil
	}
	foreseen := ""
	if !c.options.trim {
		if foreseen, err = c.foresee(ctx, p, q); err != nil {
			return nil, err
		}
	}
	var done func()
	q.Problem.Progress, done = c.watch(ctx)
	defer done()
	made := &planned{Outcome: plan.NewOutcome(p, q), planner: p, question: q, foreseen: foreseen}
	networks, err := p.Search(ctx, &made.Outcome)
	if err != nil {
		return nil, err
	}
	for position, n := range networks {
		if err := s.Fill(position, n); err != nil {
			return nil, err
		}
	}
	return made, nil
}

// keeps reads the --keep flags of plan: "POSITION=OHMS" puts a resistance into
// an open position and builds round it, "POSITION" alone does so with what is
// fitted there.
func (s *setup) keeps(flags []string) (map[int]wiring.Network, error) {
	kept := map[int]wiring.Network{}
	for _, flag := range flags {
		name, text, given := strings.Cut(flag, "=")
		position, err := s.Find(strings.TrimSpace(name))
		if err != nil {
			return nil, fmt.Errorf("--keep %q: %w", flag, err)
		}
		switch {
		case given && !s.IsOpen(position):
			return nil, fmt.Errorf("--keep %q: %q holds %s already; leave out the resistance to trim that, or unfit it first",
				flag, s.Positions[position].Name, s.Networks[position])
		case given:
			v, err := quantity.Parse(text, quantity.Ohm, quantity.Positive)
			if err == nil {
				err = wiring.NotAnID(text, s.Has)
			}
			if err != nil {
				return nil, misused("--keep %q: %w", flag, err)
			}
			kept[position] = wiring.Network{Ohms: v}
		case s.IsOpen(position):
			return nil, fmt.Errorf("--keep %q: nothing is fitted in %q; say what stays, such as --keep %q", flag,
				s.Positions[position].Name, s.Positions[position].Name+"=25.1 ohm")
		default:
			kept[position] = s.Networks[position]
		}
	}
	return kept, nil
}
