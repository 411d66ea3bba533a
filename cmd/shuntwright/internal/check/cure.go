package check

import (
	"context"
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/combin"

	"shuntwright/meter"
)

// mostOrders is how many suspects are tried in every order; of more each comes
// first once.
const mostOrders = 3

// cure finds the remedies of every suspect of a hypothesis, for each the best
// first, none where the drawer has nothing near. What is chosen for one counts
// for the next, and its parts are gone; what does not serve leaves them to the
// others. Where not all are served that way, another may be the first to take
// parts. Where ctx ends, so does the search, with what it has.
func (r *search) cure(ctx context.Context, c hypothesis) ([][]remedy, error) {
	var best cure
	for n, order := range orders(len(c.suspects)) {
		one, err := r.inTurn(ctx, c, order)
		if err != nil {
			return nil, err
		}
		if n == 0 || one.before(best) {
			best = one
		}
		if best.open+best.beyond == 0 || math.IsNaN(r.class) || ctx.Err() != nil {
			break
		}
	}
	return best.all, nil
}

// orders are those in which so many suspects take parts, as they stand first.
func orders(suspects int) [][]int {
	if suspects > 0 && suspects <= mostOrders {
		return combin.Permutations(suspects, suspects)
	}
	var out [][]int
	for first := range max(suspects, 1) {
		one := make([]int, suspects)
		for i := range one {
			one[i] = (first + i) % suspects
		}
		out = append(out, one)
	}
	return out
}

// cure is what is chosen for all suspects of a hypothesis together.
type cure struct {
	all    [][]remedy // by suspect, the best first
	open   int        // suspects that nothing serves
	beyond int        // ranges of those served that are outside the class with all in place
	parts  int
	worst  float64 // of these ranges, percent
}

// before tells which of two is the better one: the fewer suspects left, the fewer
// ranges outside, the fewer parts, the smaller error.
func (c cure) before(other cure) bool {
	for _, d := range []float64{float64(c.open - other.open), float64(c.beyond - other.beyond), float64(c.parts - other.parts), c.worst - other.worst} {
		if d != 0 {
			return d < 0
		}
	}
	return false
}

// inTurn cures the suspects of a hypothesis in an order, given by their indexes.
func (r *search) inTurn(ctx context.Context, c hypothesis, order []int) (cure, error) {
	state := r.righted(c)
	free := r.chosen
	defer func() { r.chosen, r.mid = free, nil }()
	out := cure{all: make([][]remedy, len(c.suspects))}
	for _, i := range order {
		found, err := r.remedies(ctx, c.suspects[i], state)
		if err != nil {
			return out, err
		}
		out.all[i] = found
		if len(found) == 0 || found[0].hopeless() {
			out.open++
			continue
		}
		state, r.mid, out.parts = found[0].state, found[0].then, out.parts+found[0].parts
		r.chosen = slices.DeleteFunc(slices.Clone(r.chosen), func(i int) bool {
			return slices.Contains(found[0].network.IDs(), r.Parts[i].ID)
		})
	}
	out.beyond, out.worst = r.left(c, state)
	return out, nil
}

// left is how many of the ranges that the suspects serve are outside the class in
// a state, and the largest error of them.
func (r *search) left(c hypothesis, state meter.State) (beyond int, worst float64) {
	var served []int
	for _, p := range c.suspects {
		served = append(served, r.served(p.resistor)...)
	}
	slices.Sort(served)
	errors := make([]float64, len(r.Ranges))
	r.Meter.Errors(errors, state)
	for _, at := range slices.Compact(served) {
		off := math.Abs(errors[at])
		if off > r.class {
			beyond++
		}
		worst = max(worst, off)
	}
	return beyond, worst
}
