package plan

import (
	"context"
	"math"
	"slices"

	"shuntwright/cmd/shuntwright/internal/asbuilt"
	"shuntwright/cmd/shuntwright/internal/predict"
	"shuntwright/match"
	"shuntwright/match/enumerate"
	"shuntwright/match/network"
	"shuntwright/match/solve"
	"shuntwright/meter"
	"shuntwright/meter/wiring"
)

// Planner plans for a meter on the bench.
type Planner struct {
	*asbuilt.Setup
	asbuilt.Asked
}

// Question is one question to the joint choice.
type Question struct {
	Stock   *enumerate.Stock
	Problem match.Problem
	Open    []int                  // positions by slot
	Chosen  []int                  // parts of the drawer by index in the stock
	Kept    map[int]wiring.Network // by position, what stays in it
}

// Ask puts the open positions into the words of the search, and with Trim the
// others too; kept is what stays, by position, and with Trim gets the others
// added. A question without open positions has nothing to fill.
func (p *Planner) Ask(kept map[int]wiring.Network) (*Question, error) {
	if p.Trim {
		p.keepAll(kept)
	}
	chosen, err := p.Choose(p.Taken, p.Wanted)
	if err != nil {
		return nil, err
	}
	q := &Question{Open: p.toFill(kept), Chosen: chosen, Kept: kept}
	if p.Trim && len(p.OpenPositions()) == 0 && len(p.beyond(p.Setup)) == 0 {
		q.Open = nil
	}
	if len(q.Open) == 0 {
		return q, nil
	}
	return q, p.pose(q)
}

// pose states the problem of a search: its positions, and what each needs.
func (p *Planner) pose(q *Question) error {
	stresses, err := p.Meter.Stresses()
	if err != nil {
		return asbuilt.AtRange(p.Path, p.File, err)
	}
	if q.Stock, err = p.Stock(q.Chosen, p.Derate); err != nil {
		return err
	}
	for _, position := range q.Open {
		need := match.Need{
			Target: stresses[position].Ohms, Within: p.Within, Reach: p.Reach, AtMost: p.AtMost,
			Keep: math.NaN(), KeepBears: math.Inf(1), Flow: math.NaN(), Drop: math.NaN(),
		}
		Hold(&need, stresses[position])
		if n, stays := q.Kept[position]; stays {
			if need.Keep, need.KeepBears, err = p.KeptNetwork(n, p.Derate); err != nil {
				return err
			}
			if p.Trim {
				letStay(&need)
			}
		}
		q.Problem.Needs = append(q.Problem.Needs, need)
	}
	response := p.Meter.Response(q.Open, p.Ohms())
	if p.Sure {
		q.Problem.Limit, q.Problem.LimitFloor = p.planLimits(q), p.newLimitFloor(q, response)
	}
	q.Problem.Ranges, q.Problem.Share = len(p.Ranges), ShareOf
	q.Problem.Response = response
	q.Problem.Class, q.Problem.Resolution, q.Problem.Enough = p.SearchClass(), p.Resolution, p.Enough
	if p.Trim {
		q.Problem.Enough = p.Class
	}
	return nil
}

// Hold says what a network must bear: the current at the target, and where a
// voltage is applied, what then stands across it.
func Hold(need *match.Need, s meter.Stress) {
	need.Flow = s.Amperes
	if s.Held {
		need.Drop = s.Volts
	}
	if s.Held && s.Alone {
		need.Flow = math.NaN()
	}
}

// toFill are the open positions and those in which something stays and is
// trimmed, in the meter's order.
func (p *Planner) toFill(kept map[int]wiring.Network) []int {
	out := p.OpenPositions()
	for position := range kept {
		if !slices.Contains(out, position) {
			out = append(out, position)
		}
	}
	slices.Sort(out)
	return out
}

// keepAll lets what is fitted stay, in every position.
func (p *Planner) keepAll(kept map[int]wiring.Network) {
	for i, n := range p.Networks {
		if _, stays := kept[i]; !stays && !p.IsOpen(i) {
			kept[i] = n
		}
	}
}

// letStay makes sure that what is there may stay as it is: however far it is
// off, and whatever its ratings say. No trimming makes it carry more than it
// does now, and an overload is warned of.
func letStay(need *match.Need) {
	off := math.Abs(need.Keep/need.Target - 1)
	need.Within = max(need.Within, off*(1+1e-9))
	need.KeepBears = math.Inf(1)
}

// tried is the setup with networks of the search in its positions; where there
// is none the position stays as it is.
func (p *Planner) tried(q *Question, nets []network.Network) (*asbuilt.Setup, error) {
	trial := p.Clone()
	for slot, position := range q.Open {
		if nets[slot].IsZero() {
			continue
		}
		if err := trial.Fill(position, p.Wire(nets[slot], q.Chosen, q.Kept[position])); err != nil {
			return nil, err
		}
	}
	return trial, nil
}

// filled is the setup with networks in some positions.
func (p *Planner) filled(networks map[int]wiring.Network) (*asbuilt.Setup, error) {
	trial := p.Clone()
	for position, n := range networks {
		if err := trial.Fill(position, n); err != nil {
			return nil, err
		}
	}
	return trial, nil
}

// best is the setup with the best network of some parts in one position; nil
// where there is none.
func (p *Planner) best(ctx context.Context, position int, chosen []int, kept map[int]wiring.Network) (*asbuilt.Setup, error) {
	if len(chosen) == 0 {
		return nil, nil
	}
	q := &Question{Open: []int{position}, Chosen: chosen, Kept: kept}
	if err := p.pose(q); err != nil {
		return nil, err
	}
	found, err := solve.Plan(ctx, q.Stock, q.Problem)
	if err != nil || !found.Filled[0] {
		return nil, err
	}
	return p.tried(q, found.Networks)
}

// takenBy are the parts that a setup has in all positions but one.
func takenBy(s *asbuilt.Setup, but int) map[string]bool {
	out := map[string]bool{}
	for position, n := range s.Networks {
		for _, id := range n.IDs() {
			out[id] = out[id] || position != but
		}
	}
	return out
}

// wired are the networks of a search in the words of the drawer, by position.
func (p *Planner) wired(q *Question, nets []network.Network) map[int]wiring.Network {
	out := map[int]wiring.Network{}
	for slot, position := range q.Open {
		if !nets[slot].IsZero() {
			out[position] = p.Wire(nets[slot], q.Chosen, q.Kept[position])
		}
	}
	return out
}

// planLimits tells the search how sure every range would be with given
// networks in the positions that it fills: Sure ranks by error plus limit.
func (p *Planner) planLimits(q *Question) func([]network.Network, []float64) {
	return func(nets []network.Network, dst []float64) {
		trial, err := p.tried(q, nets)
		if err != nil { // a network that the bench cannot measure cannot be trusted at all
			for r := range dst {
				dst[r] = math.MaxFloat64
			}
			return
		}
		for r, limit := range trial.RangeLimits(p.Meter.State(trial.Ohms())) {
			dst[r] = limit.Limit
		}
	}
}

// Outcome is what the search found, beside what it was asked.
type Outcome struct {
	Question
	Plan       match.Plan
	Exact      *match.Plan // with something good enough: the plan where nothing is
	PassedOver int         // parts that nobody has measured and that were left out, since it goes without
	Best       Figure      // with EnoughMeasured: the range that may really be furthest off in the surest plan
	Surest     bool        // Best is of the surest plan that there is, else of the surest of the best plans
	reads      Standing
	Before     []wiring.Network    // by position, as it was
	Beyond     []int               // with trim: the ranges that nothing brings within the class
	Frontier   []Step              // the price of fewer joints; the last one is the plan
	Spares     *predict.EnoughHint // nil: no plan spares parts that the dial would not miss
	Replaced   map[int]bool        // with trim: the positions in which parts of the drawer alone take the place of what was there
	Swamped    map[int]float64     // with trim: the share of the value that what stays decides, where that is less than half
}

// NewOutcome is the question with nothing found yet.
func NewOutcome(p *Planner, q *Question) Outcome {
	return Outcome{Question: *q, Best: noFigure, Before: slices.Clone(p.Networks)}
}
