package match

import (
	"cmp"
	"container/heap"
	"math"
	"slices"

	"shuntwright/match/network"
)

// equal is how little two errors, as fractions of the target, may differ and
// still count as equal.
const equal = 1e-11

// widening makes windows a little wider than what is wanted, since walks add
// in another order than networks are computed.
const widening = 1e-12

// scored is a network with what it is ranked by.
type scored struct {
	choice Choice
	score  float64
}

// byScore orders by score exactly, and equal ones as networks.
func byScore(a, b scored) int {
	return cmp.Or(cmp.Compare(a.score, b.score), network.Compare(a.choice.Network, b.choice.Network))
}

// A collector keeps the best networks offered. Since scores that are nearly
// equal are ranked by other things, and what is nearly equal depends on the
// smallest score of all, it keeps everything that may still be among the best.
type collector struct {
	query  Query
	wanted func(Network) bool // nil: all
	best   maxHeap            // the Top smallest scores
	kept   []scored
	sizeUp int // length of kept at which it is thinned out
	// At the last thinning Top networks scored at most full and came before
	// last or were last, so nothing that scores more and comes later is wanted.
	full float64
	last Network
}

func newCollector(q Query) *collector {
	c := &collector{query: q, full: math.Inf(1)}
	c.sizeUp = c.slack()
	return c
}

// slack is how many may be kept beyond need before thinning pays.
func (c *collector) slack() int { return 4*min(c.query.Top, 1<<20) + 1000 }

// worst returns the largest score that may still be among the best.
func (c *collector) worst() float64 {
	if len(c.best) < c.query.Top {
		return math.Inf(1)
	}
	return c.best[0] + equal
}

// Window implements walk.Sink.
func (c *collector) Window() (lo, hi float64) {
	within := c.worst()
	if c.query.Limit != nil {
		within -= c.query.LimitFloor
	}
	within = min(within, c.query.Within) + widening
	return max(c.query.Target*(1-within), 0), c.query.Target * (1 + within)
}

// Offer implements walk.Sink.
func (c *collector) Offer(n Network) bool {
	e := (n.Value() - c.query.Target) / c.query.Target
	s := scored{Choice{n, e}, math.Abs(e)}
	if s.score > c.query.Within+widening || c.wanted != nil && !c.wanted(n) {
		return true
	}
	if c.query.Limit != nil {
		s.score += c.query.Limit(n) / c.query.Target
	}
	if !(s.score <= c.worst()) || s.score >= c.full && network.Compare(n, c.last) > 0 {
		return true
	}
	c.best.offer(s.score, c.query.Top)
	c.kept = append(c.kept, s)
	if len(c.kept) >= c.sizeUp {
		c.thin()
		c.sizeUp = len(c.kept) + c.slack()
	}
	return true
}

// thin drops what cannot be among the best any more: what is worse than the
// Top-th by more than equality, and what has Top others with no larger score
// that would come before it if they counted as equal.
func (c *collector) thin() {
	slices.SortFunc(c.kept, byScore)
	var ahead networkHeap // the Top first networks, in tie order, seen so far
	out := c.kept[:0]
	for _, s := range c.kept {
		if s.score > c.worst() {
			break
		}
		if ahead.offer(s.choice.Network, c.query.Top) {
			out = append(out, s)
		}
	}
	clear(c.kept[len(out):])
	c.kept = out
	if len(ahead) == c.query.Top {
		c.full, c.last = out[len(out)-1].score, ahead[0]
	}
}

// choices returns the best networks in order.
func (c *collector) choices() []Choice {
	c.thin()
	arrange(c.kept)
	out := make([]Choice, 0, min(c.query.Top, len(c.kept)))
	for _, s := range c.kept[:min(c.query.Top, len(c.kept))] {
		out = append(out, s.choice)
	}
	return out
}

// arrange puts networks sorted by score into their final order: groups of
// scores that are equal to the group's smallest, each in tie order.
func arrange(s []scored) {
	for start := 0; start < len(s); {
		end := start + 1
		for end < len(s) && s[end].score < s[start].score+equal {
			end++
		}
		slices.SortFunc(s[start:end], func(a, b scored) int {
			return network.Compare(a.choice.Network, b.choice.Network)
		})
		start = end
	}
}

// maxHeap holds the smallest scores offered, the largest of them on top.
type maxHeap []float64

func (h maxHeap) Len() int           { return len(h) }
func (h maxHeap) Less(i, j int) bool { return h[i] > h[j] }
func (h maxHeap) Swap(i, j int)      { h[i], h[j] = h[j], h[i] }
func (h *maxHeap) Push(x any)        { *h = append(*h, x.(float64)) }
func (h *maxHeap) Pop() any          { panic("never popped: the heap only grows and replaces") }

func (h *maxHeap) offer(x float64, top int) {
	if len(*h) < top {
		heap.Push(h, x)
	} else if x < (*h)[0] {
		(*h)[0] = x
		heap.Fix(h, 0)
	}
}

// networkHeap holds the networks that come first in tie order, the last of
// them on top.
type networkHeap []Network

func (h networkHeap) Len() int           { return len(h) }
func (h networkHeap) Less(i, j int) bool { return network.Compare(h[i], h[j]) > 0 }
func (h networkHeap) Swap(i, j int)      { h[i], h[j] = h[j], h[i] }
func (h *networkHeap) Push(x any)        { *h = append(*h, x.(Network)) }
func (h *networkHeap) Pop() any          { panic("never popped: the heap only grows and replaces") }

// offer reports whether n is among the first.
func (h *networkHeap) offer(n Network, top int) bool {
	if len(*h) < top {
		heap.Push(h, n)
		return true
	}
	if network.Compare(n, (*h)[0]) >= 0 {
		return false
	}
	(*h)[0] = n
	heap.Fix(h, 0)
	return true
}
