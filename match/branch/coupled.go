// Package branch plans positions that share ranges, a slot moving several or
// one depending on several slots, so that no part is used twice: it chooses one
// candidate for every slot by branch and bound.
//
// A candidate is a value and the parts that it takes; a Response tells the
// errors of all ranges for the values of all slots. What counts, in this order:
// as many slots filled as can be at once; as many ranges whole, that is with
// all their slots filled; the smallest worst error, the smallest next worst,
// and so on down; the fewest parts; the lists of parts, slot by slot.
//
// # How it works
//
// What can be filled at once is asked of package sat. Then every stage of the
// order is a depth-first search for a plan that keeps to a goal: levels that
// the sorted errors must not exceed, and a number of parts. A node of the
// search holds for each slot a window of values and the candidates in it. Each
// error is monotone in each value, so its extremes over the box of all windows
// stand at two corners: if both have the same sign the smaller magnitude is a
// bound from below, else the bound is zero. The corners also cut the windows:
// the end of a window that takes a range beyond its level, all other slots
// standing as well as they can for it, is cut back to the last value that does
// not. What one slot loses makes the corners of others better known, so this
// goes on until little moves. A part that all candidates of a slot hold is lost
// to the others; where parts are scarce, prices of the parts tell which
// candidates are in no disjoint choice. Then the search tries the slot with the
// fewest candidates one by one or, where all have many, cuts the window that
// matters most in two.
//
// Where limits count, a range counts for at least the bound of its error plus
// the floor of its limit over the box. What a level leaves beside the floor
// cuts the windows of the values; and the attributes of the candidates have
// windows too, cut where the floor alone, with an attribute in that end of its
// window, takes a range beyond its level.
//
// The first plan fills what can be filled; it is bettered by halving its worst
// error while a short search finds a plan. Then levels from far below are
// refuted, doubling, until a plan is found, and its worst error is lowered
// until the search comes to its end.
//
// # How it is laid out
//
// Plan lists the networks that can matter, by windows that a first plan leaves
// (coupling.go), and has Solve choose from them. Solve fills the slots (fill.go)
// and settles the order stage by stage (stage.go): a solver asks a search one
// question after the other. A goal says what plans are looked for and which of
// two comes first. A node holds what is known at one point of the search: for
// each slot a window of values and the candidates in it, for each part who has
// it, for each range bounds of what it counts for. What follows there is drawn
// from the levels of the goal by the cutter and from the parts that are left by
// the rules. A gauge measures plans and single ranges and counts all that it is
// asked as work; a record keeps the best plan with what is proven of it.
//
// # Why it is exact
//
// A candidate goes only where no plan that keeps to the goal has it, by what
// the response itself says at a corner; rounding, slopes and middles of windows
// only say where to look. A search that ends without a plan is a proof that
// there is none, and the largest level so refuted is the bound. Rounding errors
// of the response are allowed for: a box must be beyond its level by more than
// they can be, and a plan counts as better where it is so by a hundredth of
// what counts as equal. When the context or the budget ends a search, the best
// plan so far comes back with the bound proven until then.
//
// All work is counted, not timed, and done in one order on one core: the same
// problem has the same answer everywhere.
package branch

import (
	"context"

	"shuntwright/match"
)

// DefaultBudget is a Budget that keeps most searches below a second where an
// evaluation takes a tenth of a microsecond.
const DefaultBudget = 4_000_000

// Limits tells within what every range is trusted.
type Limits interface {
	// Limits puts the limit of every range for the candidates chosen, -1: open,
	// in percent of full scale, into dst.
	Limits(dst []float64, chosen []int)
	// Floor is what the limit of range r is at least in a box of values and
	// attributes.
	Floor(r int, box *match.Box) float64
}

// Problem asks for one candidate a slot, no part used twice.
type Problem struct {
	Parts    int           // how many parts there are
	Slots    [][]Candidate // of each slot, ascending by Value; one without any stays open
	Ranges   int           // how many ranges Response knows
	Response match.Response
	// limits, if not nil, makes |error| plus limit what a range counts for
	// wherever the order of plans, Enough, Worst and Bound say error; else
	// |error| alone.
	Limits Limits
	// Enough is an error in percent that is good enough. If as many slots as
	// can be filled at all and as many whole ranges can be had with every error
	// at most Enough, all such plans are equal and go by fewer parts, then by
	// smaller errors. 0: not used.
	Enough float64
	// bar, if not nil, is what plans must come before: then nothing else is
	// looked for, and Enough and Gap are not used.
	Bar *Bar
	// budget is how many times Response may be asked before the search contents
	// itself with less than proof: from then on it stops as soon as the worst
	// error is within Gap of its bound, and errors below the worst are no
	// longer pursued. It must be positive; DefaultBudget serves.
	Budget int
	// gap in percentage points is used only when the Budget is spent. 0: the
	// worst error is proven however long it takes.
	Gap  float64
	Step func(match.Progress) // told of every better plan and bound, on the goroutine of Solve; may be nil
}

// Answer is the best plan found.
type Answer struct {
	Chosen []int     // for each slot an index into its candidates, -1: open
	Errors []float64 // for each range its signed error in percent; NaN where it is not whole
	Filled int       // how many slots are filled
	Whole  int       // how many ranges are whole: every slot that they depend on is filled
	Worst  float64   // the largest magnitude in Errors, or magnitude plus limit; NaN if no range is whole
	// bound is proven: no plan that fills as many slots and makes as many
	// ranges whole has a smaller worst error. Where Proven is set it is Worst,
	// but for plans that are good enough, where a smaller worst error is not
	// looked for. NaN if no range is whole.
	Bound  float64
	Proven bool // no plan fills more slots, or as many with more whole ranges, or with as many whole ranges and a smaller worst error
	Found  bool // with a Bar: whether this plan comes before it
	Exact  bool // no plan comes before this one in the whole order
	Work   int  // how many times Response was asked
}

// Solve finds the first plan in the order of the package comment. It returns an
// error where a number of the problem or of Response is not finite; all else that
// the fields say the caller must see to. When ctx ends first, the answer is the best
// plan so far with the bound proven so far, and Exact is false. The problem is not
// changed.
func Solve(ctx context.Context, p Problem) (Answer, error) {
	if err := p.check(); err != nil {
		return Answer{}, err
	}
	s := newSolver(ctx, p)
	s.run()
	if s.err != nil {
		return Answer{}, s.err
	}
	return s.answer(), nil
}

func (s *solver) answer() Answer {
	a := Answer{Worst: s.worst(), Bound: s.bound(), Filled: s.filled(), Proven: s.proven, Exact: s.exact, Found: s.found, Work: s.work,
		Whole: len(s.best.costs), Errors: s.best.errors}
	for _, c := range s.best.chosen {
		a.Chosen = append(a.Chosen, int(c))
	}
	return a
}
