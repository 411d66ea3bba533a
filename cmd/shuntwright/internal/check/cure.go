package check

import (
	"cmp"
	"context"
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/combin"
)

// cure is what is chosen for all suspects of a hypothesis together.
type cure struct {
	all    [][]remedy // by suspect, the best first
	open   int        // suspects that nothing serves
	beyond int        // ranges of those served that are outside the class with all in place
	parts  int
	worst  float64 // of these ranges, percent
}

// compare is negative where a cure is better than another: the fewer suspects left,
// the fewer ranges outside, the fewer parts, the smaller error.
func (c cure) compare(other cure) int {
	return cmp.Or(cmp.Compare(c.open, other.open), cmp.Compare(c.beyond, other.beyond), cmp.Compare(c.parts, other.parts), cmp.Compare(c.worst, other.worst))
}

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
		if n == 0 || one.compare(best) < 0 {
			best = one
		}
		if best.open+best.beyond == 0 || math.IsNaN(r.Class) || ctx.Err() != nil {
			break
		}
	}
	return best.all, nil
}

// mostOrders is how many suspects are tried in every order; of more each comes
// first once.
const mostOrders = 3

// orders are those in which so many suspects take parts, as they stand first.
func orders(suspects int) [][]int {
	if suspects <= mostOrders {
		return combin.Permutations(suspects, suspects)
	}
	var out [][]int
	for first := range suspects {
		one := make([]int, suspects)
		for i := range one {
			one[i] = (first + i) % suspects
		}
		out = append(out, one)
	}
	return out
}

// inTurn cures the suspects of a hypothesis in an order, given by their indexes.
func (r *search) inTurn(ctx context.Context, c hypothesis, order []int) (cure, error) {
	state := r.righted(c)
	free := r.chosen
	defer func() { r.chosen, r.mid = free, nil }()
	out := cure{all: make([][]remedy, len(c.suspects))}
	served := map[int]bool{}
	for _, i := range order {
		for _, at := range r.served(c.suspects[i].resistor) {
			served[at] = true
		}
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
	for at := range served {
		off := math.Abs(r.furthest(state, []int{at}))
		out.worst = max(out.worst, off)
		if off > r.Class {
			out.beyond++
		}
	}
	return out, nil
}
