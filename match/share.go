package match

import (
	"context"
	"time"
)

// Share leaves a search a share, 0 to 1, of the time that there is, where that is
// limited.
func Share(ctx context.Context, share float64) (context.Context, context.CancelFunc) {
	end, limited := ctx.Deadline()
	if !limited {
		return context.WithCancel(ctx)
	}
	left := time.Until(end)
	return context.WithDeadline(ctx, end.Add(-time.Duration((1-share)*float64(left))))
}
