package enumerate

import (
	"context"

	"shuntwright/match"
	"shuntwright/match/network"
)

// Finder finds networks in windows of values, again and again: what it lists of
// the parts for that, it keeps. It is not for several goroutines at once.
type Finder struct {
	stock *Stock
	order []int32
	store store
}

// Finder returns one for the parts of the selection, equal ones or not.
func (s Selection) Finder() *Finder {
	return &Finder{stock: s.stock, order: s.order, store: newStore()}
}

// Each calls visit once for every network of so many parts that suits the need in
// all but its Target, Within and AtMost, and whose value lies from lo to hi. It
// ends when visit returns false, and with the context; it returns false for that.
func (f *Finder) Each(ctx context.Context, need match.Need, parts int, lo, hi float64, visit func(network.Network) bool) bool {
	need.AtMost = parts
	r := f.stock.request(need, f.order, parts)
	return walk(ctx, r, between{Lo: lo, Hi: hi, Visit: visit}, &f.store) == nil
}
