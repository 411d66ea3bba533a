package main

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strings"

	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/match"
)

// enough is --enough: an error in percent up to which plans are equally good,
// or what the measurements can tell. The zero value: not given.
type enough struct {
	percent  percent
	measured bool
}

// given tells whether errors within something are to be equal.
func (e enough) given() bool { return e.measured || e.percent > 0 }

func (e *enough) Type() string { return "percent" }

func (e *enough) String() string {
	if e.measured {
		return "measured"
	}
	return e.percent.String()
}

func (e *enough) Set(text string) error {
	*e = enough{}
	if e.measured = strings.TrimSpace(text) == "measured"; e.measured {
		return nil
	}
	if err := e.percent.Set(text); err != nil {
		return fmt.Errorf("%w; or the word measured", err)
	}
	return nil
}

// checkEnough refuses what --enough cannot mean.
func (c *call) checkEnough() error {
	if c.options.enough.measured && c.options.sure {
		return misused("--enough measured with --sure: what the measurements cannot tell is counted already, as the limit beside each error; give a figure, such as --enough 1")
	}
	return nil
}

// choose finds the plan. With --enough measured that takes two searches: one
// for the best plan and how well its worst range is known, and one for the
// fewest parts among the plans that measurements cannot tell from it.
func (c *call) choose(ctx context.Context, s *setup, made *planned) (err error) {
	if made.plan, err = made.stock.Plan(ctx, made.problem); err != nil || !c.options.enough.measured {
		return err
	}
	best, err := s.standing(&made.search, made.plan.Networks)
	if err != nil || !isNumber(best.moved.alike()) {
		return err
	}
	made.best = best.moved
	made.problem = enoughProblem(made.problem, best.moved.alike())
	fewer, err := made.stock.Plan(ctx, made.problem)
	if err != nil {
		return err
	}
	fewer.Bound, fewer.Proven = made.plan.Bound, made.plan.Proven && fewer.Proven
	if slices.Equal(fewer.Filled, made.plan.Filled) && fewer.Parts() < made.plan.Parts() && fewer.Worst <= made.problem.Enough {
		made.plan = fewer
	} // else the best plan has the fewest parts already, or the time was up
	made.plan.Proven, made.plan.End = fewer.Proven, fewer.End
	return nil
}

// enoughProblem lets all plans within so many percent be equal. Ranges that no
// open position moves cannot be helped, and have no say in what is enough.
func enoughProblem(p match.Problem, percent float64) match.Problem {
	p.Enough = percent
	fixed := unmoved(p)
	if percent == 0 || len(fixed) == 0 {
		return p
	}
	p.Response = moving{p.Response, fixed}
	if limit := p.Limit; limit != nil {
		p.Limit = func(nets []match.Network, dst []float64) {
			limit(nets, dst)
			zero(dst, fixed)
		}
	}
	if p.LimitFloor != nil {
		p.LimitFloor = movingFloor{p.LimitFloor, fixed}
	}
	return p
}

// unmoved are the ranges that depend on no slot.
func unmoved(p match.Problem) []int {
	var out []int
	for r := range p.Ranges {
		moves := false
		for slot := range p.Needs {
			moves = moves || p.Response.Rising(r, slot) != 0
		}
		if !moves {
			out = append(out, r)
		}
	}
	return out
}

// moving is a response in which the ranges that nothing moves read true.
type moving struct {
	match.Response
	fixed []int
}

func (m moving) Errors(dst, ohms []float64) {
	m.Response.Errors(dst, ohms)
	zero(dst, m.fixed)
}

// movingFloor bounds the limits that a moving response has.
type movingFloor struct {
	match.LimitFloor
	fixed []int
}

func (m movingFloor) Floor(r int, box *match.Box) float64 {
	if slices.Contains(m.fixed, r) {
		return 0
	}
	return m.LimitFloor.Floor(r, box)
}

func zero(dst []float64, at []int) {
	for _, i := range at {
		dst[i] = 0
	}
}

// figure is an error and its limit, in percent; NaN where there is none.
type figure struct{ error, limit float64 }

// alike is the largest error that cannot be told from this one, which is no
// less than the limit of this one away from it.
func (f figure) alike() float64 { return math.Abs(f.error) + f.limit }

// standing is how a choice of networks leaves the meter: the worst of all whole
// ranges, and of those that the choice moves.
type standing struct {
	all, moved figure
	whole      int // ranges
}

// standing tries a choice of networks; a slot without one stays as it is.
func (s *setup) standing(q *search, nets []match.Network) (standing, error) {
	none := figure{math.NaN(), math.NaN()}
	out := standing{all: none, moved: none}
	trial, err := s.tried(q, nets)
	if err != nil {
		return out, err
	}
	fixed := unmoved(q.problem)
	ohms := trial.Ohms()
	limits := trial.RangeLimits(s.Meter.State(ohms))
	for r, p := range s.Meter.Predict(ohms).Ranges {
		if !p.Whole() {
			continue
		}
		out.whole++
		one := figure{p.ErrorPercent, limits[r].Limit}
		out.all = worseOf(out.all, one)
		if !slices.Contains(fixed, r) {
			out.moved = worseOf(out.moved, one)
		}
	}
	return out, nil
}

// worseOf is the larger error, the first of equals; NaN gives way.
func worseOf(a, b figure) figure {
	if math.IsNaN(a.error) || math.Abs(b.error) > math.Abs(a.error) {
		return b
	}
	return a
}

// tried is the setup with networks of the search in its positions; where there
// is none the position stays as it is.
func (s *setup) tried(q *search, nets []match.Network) (*setup, error) {
	trial := &setup{s.Clone()}
	for slot, position := range q.open {
		if nets[slot].IsZero() {
			continue
		}
		if err := trial.Fill(position, s.Wire(nets[slot], q.chosen, q.kept[position])); err != nil {
			return nil, err
		}
	}
	return trial, nil
}

// enoughWords say what --enough measured came to.
func enoughWords(made *planned) []string {
	if !isNumber(made.best.error) {
		return nil
	}
	return []string{fmt.Sprintf("--enough measured: plans within %.2g %% (the best one's worst error, %s, and its limit, %s) read the same as far as the measurements can tell; of these this one has the fewest parts",
		made.problem.Enough, report.PercentSize(made.best.error, made.best.limit).Text, report.PercentLimit(made.best.limit).Text)}
}
