package match

import (
	"context"
	"fmt"
	"slices"

	"shuntwright/match/coupling"
	"shuntwright/match/planning"
	"shuntwright/match/separate"
)

// What is asked for all positions at once, and answered; see package planning.
type (
	Problem    = planning.Problem
	Response   = planning.Response
	LimitFloor = planning.LimitFloor
	Box        = planning.Box
	Progress   = planning.Progress
	Plan       = planning.Plan
	Ending     = planning.Ending
)

// How a search ended; see package planning.
const (
	Exact       = planning.Exact
	WorstProven = planning.WorstProven
	Interrupted = planning.Interrupted
	Narrowed    = planning.Narrowed
)

// Foresight is what a search for a plan will have to hold; see package coupling.
type Foresight = coupling.Foresight

// How many networks are listed at first and at most. Tests make them small.
var (
	listedFirst  = separate.Listed
	coupledSizes = coupling.Usual
)

// Plan fills all positions at once. What counts, in this order: as many
// positions filled as possible, among those as many whole ranges; the smallest
// worst |error| (plus limit), the smallest next worst, and so on down; fewer
// parts; the parts' order in the drawer, position by position. Errors closer
// than 1e-9 % are equal. With no position to fill it answers for the ranges as
// they are.
//
// Where each range depends on one position only, the whole order is exact.
// Where positions are coupled the worst error (plus limit) is, unless the number
// of networks or of steps forbids it; End and Bound tell what is proven.
//
// An error means that the problem cannot be asked; a context that ends is none.
func (s *Stock) Plan(ctx context.Context, p Problem) (Plan, error) {
	if err := p.Validate(); err != nil {
		return Plan{}, fmt.Errorf("plan: %w", err)
	}
	pl := planning.New(ctx, s.parts, p)
	if pl.Separate() {
		return separate.Plan(pl, listedFirst)
	}
	return coupling.Plan(pl, coupledSizes)
}

// Judge returns the plan that given networks make, one a position, the zero
// Network where it is open: what its ranges are worth, with nothing proven
// about other plans (End is Narrowed). The networks must be of this stock.
func (s *Stock) Judge(p Problem, nets []Network) (Plan, error) {
	if err := p.Validate(); err != nil {
		return Plan{}, fmt.Errorf("judge: %w", err)
	}
	if len(nets) != len(p.Needs) {
		return Plan{}, fmt.Errorf("judge: %d networks for %d positions", len(nets), len(p.Needs))
	}
	pl := planning.New(context.Background(), s.parts, p)
	return pl.Seal(pl.Plan(slices.Clone(nets)), 0, Narrowed), nil
}

// Foresee estimates, faster than Plan answers, how many networks a plan will
// have to be chosen from: a sample of networks tells how many there may be in
// the windows. If that is too many, it finds a quick plan first; what is no
// worse lies in smaller windows. Positions that are separate need few, whatever
// there is: for them nothing is foreseen.
//
// An error means that the problem cannot be asked.
func (s *Stock) Foresee(ctx context.Context, p Problem) (Foresight, error) {
	if err := p.Validate(); err != nil {
		return Foresight{}, fmt.Errorf("foresee: %w", err)
	}
	return coupling.Foresee(planning.New(ctx, s.parts, p), coupledSizes)
}
