package enumerate

import (
	"context"
	"fmt"

	"shuntwright/match"
	"shuntwright/match/network"
)

// Each calls visit once for every network that suits the need in all but its
// Target and Within, and whose value lies from lo to hi (0 <= lo <= hi, hi may
// be +Inf), fewest parts first and otherwise in an order that is always the
// same. It ends when visit returns false. The error is the context's, or says
// what is wrong with the need or the window.
func (s *Stock) Each(ctx context.Context, need match.Need, lo, hi float64, visit func(network.Network) bool) error {
	if err := need.Validate(); err != nil {
		return fmt.Errorf("list networks: %w", err)
	}
	if !(lo >= 0 && lo <= hi) {
		return fmt.Errorf("list networks from %v to %v: the window must be positive and not empty", lo, hi)
	}
	return Walk(ctx, s.request(need, s.order, 0), Between{Lo: lo, Hi: hi, Visit: visit})
}
