package enumerate

import (
	"cmp"
	"math"
	"slices"

	"shuntwright/match"
	"shuntwright/match/network"
)

// Equal is how little two errors, as fractions of the target, may differ and
// still count as equal.
const Equal = 1e-11

// Widening is the fraction by which windows are wider than what is wanted,
// since a walk adds in another order than networks are computed.
const Widening = 1e-12

// criterion says what is nearest. Networks go by |error| as a fraction of the
// target (plus limit); where those differ by less than Equal from the smallest
// of a group, as network.Compare has them.
type criterion struct {
	Target float64 // positive
	Within float64 // largest |error| taken
	UpTo   float64 // largest |error| plus limit taken
	Top    int     // how many are kept, at least 1
	// Limit is added to the error, in the unit of the target; nil: not used.
	// No limit may fall below LimitFloor, a fraction of the target.
	Limit      func(network.Network) float64
	LimitFloor float64
	// Steps tells what counts as equally good: what takes fewer comes first,
	// however close; nil: not used.
	Steps func(score float64) float64
	// Wanted leaves out those for which it is false; nil: not used.
	Wanted func(network.Network) bool
}

// scored is a choice with what it is ranked by.
type scored struct {
	match.Choice
	score float64
}

// byScore orders by score exactly, and equal ones as networks.
func byScore(a, b scored) int {
	if c := cmp.Compare(a.score, b.score); c != 0 {
		return c
	}
	return network.Compare(a.Network, b.Network) // dearer, and seldom asked
}

// A ranking takes networks as a sink and keeps the best. Since scores that
// are nearly equal are ranked by other things, and what is nearly equal depends
// on the smallest score of all, it keeps everything that may still be among the
// best.
type ranking struct {
	rule   criterion
	best   firsts[float64] // the Top smallest scores
	kept   []scored
	sizeUp int // length of kept at which it is thinned out
	// At the last thinning Top networks scored at most full and came before
	// last or were last, so nothing that scores more and comes later is wanted.
	full float64
	last network.Network
}

// newRanking returns an empty ranking.
func newRanking(r criterion) *ranking {
	k := &ranking{rule: r, best: firsts[float64]{compare: cmp.Compare[float64]}, full: math.Inf(1)}
	k.sizeUp = k.slack()
	return k
}

// slack is how many may be kept beyond need before thinning pays.
func (k *ranking) slack() int { return 2*min(k.rule.Top, 1<<20) + 1000 }

// worst returns the largest score that may still be among the best.
func (k *ranking) worst() float64 {
	if k.best.Len() < k.rule.Top {
		return k.rule.UpTo
	}
	return min(k.best.list[0]+Equal, k.rule.UpTo)
}

// Window implements sink.
func (k *ranking) Window() (lo, hi float64) {
	within := k.worst()
	if k.rule.Limit != nil {
		within -= k.rule.LimitFloor
	}
	within = min(within, k.rule.Within) + Widening
	return max(k.rule.Target*(1-within), 0), k.rule.Target * (1 + within)
}

// Offer implements sink.
func (k *ranking) Offer(n network.Network) bool {
	e := (n.Value() - k.rule.Target) / k.rule.Target
	s := scored{match.Choice{Network: n, Error: e}, math.Abs(e)}
	if s.score > k.rule.Within+Widening || k.rule.Wanted != nil && !k.rule.Wanted(n) {
		return true
	}
	if k.rule.Limit != nil {
		s.score += k.rule.Limit(n) / k.rule.Target
	}
	if !(s.score <= k.worst()) || s.score >= k.full && network.Compare(n, k.last) > 0 {
		return true
	}
	k.best.offer(s.score, k.rule.Top)
	k.kept = append(k.kept, s)
	if len(k.kept) >= k.sizeUp {
		k.thin()
		k.sizeUp = len(k.kept) + k.slack()
	}
	return true
}

// thin drops what cannot be among the best any more: what is worse than the
// Top-th by more than equality, and what has Top others with no larger score
// that would come before it if they counted as equal.
func (k *ranking) thin() {
	slices.SortFunc(k.kept, byScore)
	ahead := firsts[network.Network]{compare: network.Compare} // the Top first networks, in tie order, seen so far
	out := k.kept[:0]
	for _, s := range k.kept {
		if s.score > k.worst() {
			break
		}
		if ahead.offer(s.Network, k.rule.Top) {
			out = append(out, s)
		}
	}
	clear(k.kept[len(out):])
	k.kept = out
	if ahead.Len() == k.rule.Top {
		k.full, k.last = out[len(out)-1].score, ahead.list[0]
	}
}

// first returns the best networks offered, best first.
func (k *ranking) first() []scored {
	k.thin()
	k.arrange()
	return k.kept[:min(k.rule.Top, len(k.kept))]
}

// arrange puts networks sorted by score into their final order: groups of
// scores that are equal to the group's smallest, each in tie order.
func (k *ranking) arrange() {
	s := k.kept
	for start := 0; start < len(s); {
		end := start + 1
		for end < len(s) && s[end].score < s[start].score+Equal && k.alike(s[start], s[end]) {
			end++
		}
		slices.SortFunc(s[start:end], func(a, b scored) int {
			return network.Compare(a.Network, b.Network)
		})
		start = end
	}
}

// alike tells whether the same number of steps makes both.
func (k *ranking) alike(a, b scored) bool {
	return k.rule.Steps == nil || k.rule.Steps(a.score) == k.rule.Steps(b.score)
}
