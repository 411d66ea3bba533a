package solve

import (
	"context"
	"math"
	"slices"

	"shuntwright/match"
	"shuntwright/match/enumerate"
	"shuntwright/match/local"
	"shuntwright/match/objective"
)

// mostSteps is in how many steps a circuit must be seen not to do.
const mostSteps = 1 << 14

// Impossible reports whether it is proven that no plan fills all positions with
// every |error| within Enough: a circuit does not do it though all parts are its own.
// That is known in a fraction of the time that it takes to prove a plan. A problem
// that cannot be asked, or without a resolution, and a context that ends, prove
// nothing.
func Impossible(ctx context.Context, s *enumerate.Stock, p match.Problem) bool {
	if p.Validate() != nil || p.Resolution == 0 || s.Len() == 0 {
		return false
	}
	o := objective.New(ctx, s, p)
	search := local.New(o)
	for _, slots := range o.Circuits() {
		bar := match.Key{Filled: len(slots), Parts: math.MaxInt}
		for _, on := range o.SlotsOf {
			if len(on) > 0 && slices.Contains(slots, on[0]) {
				bar.Whole++
			}
		}
		if nets, complete := search.First(slots, &bar, mostSteps); complete && nets == nil {
			return true
		}
	}
	return false
}
