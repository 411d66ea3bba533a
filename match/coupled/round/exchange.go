package round

import (
	"math"

	"shuntwright/match/coupled/candidate"
	"shuntwright/match/coupled/goal"
)

// near is how many candidates on either side are tried in exchanges.
const near = 64

// exchange looks for two slots that can take other candidates so that the worst error gets smaller, were the errors straight
// lines near the plan and the limits what they are, and makes the best such change. It tells whether the plan is better then in truth.
func (r *rounding) exchange() bool {
	for p := range r.owner {
		r.owner[p] = candidate.Nobody
	}
	for s, c := range r.chosen {
		r.take(int32(s), c)
	}
	r.linear()
	found := swap{worst: r.Best.Costs[0]}
	for a := range r.chosen {
		for b := range a {
			r.pair(int32(a), int32(b), &found)
		}
	}
	if !(found.worst < r.Best.Costs[0]*0.99-goal.Margin) {
		return false
	}
	r.chosen[found.a], r.chosen[found.b] = found.ca, found.cb
	return r.accept()
}

// swap gives two slots other candidates.
type swap struct {
	a, b, ca, cb int32
	worst        float64
}

// pair tries the candidates near that of slot a, each with those of slot b that suit it best.
func (r *rounding) pair(a, b int32, found *swap) {
	r.release(a)
	r.release(b)
	ta := &r.Tables[a]
	for c := max(0, r.chosen[a]-near); c <= min(int32(len(ta.Values))-1, r.chosen[a]+near); c++ {
		if ta.Clashes(c, r.owner, a) {
			continue
		}
		for _, p := range ta.Of(c) {
			r.owner[p] = a
		}
		r.partner(a, b, c, found)
		for _, p := range ta.Of(c) {
			r.owner[p] = candidate.Nobody
		}
	}
	r.take(a, r.chosen[a])
	r.take(b, r.chosen[b])
}

func (r *rounding) release(s int32) {
	for _, p := range r.Tables[s].Of(r.chosen[s]) {
		r.owner[p] = candidate.Nobody
	}
}

// partner tries for slot b the candidates on both sides of where least squares would have it after a has taken c.
func (r *rounding) partner(a, b, c int32, found *swap) {
	step := r.Tables[a].Values[c] - r.at[a]
	dot, square := 0.0, 0.0
	for i, q := range r.sc.Ranges {
		r.probe[i] = r.here[q] + step*r.slopes.At(i, int(a))
		slope := r.slopes.At(i, int(b))
		dot += r.probe[i] * slope
		square += slope * slope
	}
	if square == 0 {
		return
	}
	t := &r.Tables[b]
	at := r.place(b, r.at[b]-dot/square)
	for k := max(0, at-3); k < min(at+3, int32(len(t.Values))); k++ {
		if t.Clashes(k, r.owner, b) {
			continue
		}
		move, worst := t.Values[k]-r.at[b], 0.0
		for i, q := range r.sc.Ranges {
			worst = max(worst, math.Abs(r.probe[i]+move*r.slopes.At(i, int(b)))+r.Best.Limit(q))
		}
		if worst < found.worst {
			*found = swap{a: a, b: b, ca: c, cb: k, worst: worst}
		}
	}
}

// place returns the first candidate of slot s that is not below v.
func (r *rounding) place(s int32, v float64) int32 {
	low, high := 0, len(r.Tables[s].Values)
	for low < high {
		if mid := (low + high) / 2; r.Tables[s].Values[mid] < v {
			low = mid + 1
		} else {
			high = mid
		}
	}
	return int32(low)
}
