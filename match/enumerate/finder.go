package enumerate

import (
	"context"

	"shuntwright/match"
	"shuntwright/match/network"
)

// Finder finds networks in windows of values, again and again: what it lists of
// the parts for that, it keeps. It is not for several goroutines at once.
type Finder struct {
	stock   *Stock
	order   []int32
	endless int // see request
	store   store
	met     []place // room for Few
}

// Finder returns one for the parts of the selection, equal ones or not.
func (s Selection) Finder() *Finder {
	return &Finder{stock: s.stock, order: s.order, store: newStore()}
}

// Endless returns a finder for which the last so many parts, in drawer order, are to
// be had as often as wanted. Each may visit a network of these several times, and a
// part that it takes twice is there twice in its Set.
func (s *Stock) Endless(last int) *Finder {
	f := s.All().Finder()
	f.endless = last
	return f
}

// Each calls visit once for every network of so many parts that suits the need in
// all but its Target, Within and AtMost, and whose value lies from lo to hi. It
// ends when visit returns false, and with the context; it returns false for that.
func (f *Finder) Each(ctx context.Context, need match.Need, parts int, lo, hi float64, visit func(network.Network) bool) bool {
	need.AtMost = parts
	r := f.stock.request(need, f.order, parts)
	r.Endless = f.endless
	return walk(ctx, r, between{Lo: lo, Hi: hi, Visit: visit}, &f.store) == nil
}

// Few appends to a list the networks that Each would visit with from fewest to
// AtMost parts, if they are no more than limit, which is positive; few is false if
// they are. What is too many costs little: no network is built until all are
// known. Those whose operands bear what is asked count, though they themselves may
// not. It ends with the context, with its error.
func (f *Finder) Few(ctx context.Context, need match.Need, fewest int, lo, hi float64, limit int, to []network.Network) (list []network.Network, few bool, err error) {
	list = to
	w := newWalker(ctx, f.stock.request(need, f.order, fewest), between{Lo: lo, Hi: hi, Visit: func(n network.Network) bool {
		list = append(list, n)
		return true
	}}, &f.store)
	w.few, w.met = limit, f.met[:0]
	err = w.walk() // which offers the kept value alone
	f.met = w.met
	if err != nil || len(list)-len(to)+len(w.met) > limit {
		return to, false, err
	}
	for _, at := range w.met {
		w.offer(w.network(at))
	}
	return list, true, nil
}
