// Package round finds good plans without any proof: by rounding from the values at which all errors are zero, and by exchanging two candidates
// of a plan.
package round

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"

	"shuntwright/match/coupled/candidate"
	"shuntwright/match/coupled/goal"
	"shuntwright/match/coupled/plan"
)

// rounding looks for a good plan without any proof: it solves for values that make every error zero, gives the slot whose candidates are
// coarsest there the nearest one, solves again for the others, and so on. It serves where every slot is to be filled.
type rounding struct {
	*plan.Record
	sc     *goal.Scenario
	at     []float64 // where the slots stand
	chosen []int32
	owner  []int32    // for each part the slot that has it
	slopes *mat.Dense // by how much a range's error moves where a slot grows by one
	here   []float64  // the errors there
	probe  []float64  // the errors of an exchange
}

// Polish improves the best plan of a record by rounding and exchange, in a scenario in which that plan is. It leaves the plan alone if some slot
// stays open, or if there are no ranges.
func Polish(record *plan.Record, sc *goal.Scenario) {
	if sc.Open > 0 || len(sc.Ranges) == 0 {
		return
	}
	slots := len(record.Tables)
	r := &rounding{Record: record, sc: sc, at: make([]float64, slots), chosen: slices.Clone(record.Best.Chosen),
		owner: make([]int32, record.Parts+1), slopes: mat.NewDense(len(sc.Ranges), slots, nil),
		here: make([]float64, record.Ranges), probe: make([]float64, record.Ranges)}
	if r.round() {
		r.accept()
	}
	copy(r.chosen, r.Best.Chosen)
	for range 40 {
		if r.Ended || !r.exchange() {
			return
		}
	}
}

// accept makes the choice the best plan if it is better. It tells whether it was.
func (r *rounding) accept() bool {
	p := r.Measure(r.chosen, r.sc.Whole)
	if p == nil || !(p.Costs[0] < r.Better(r.Best.Costs[0])) {
		return false
	}
	r.Improve(p)
	return true
}

// take gives slot s candidate c.
func (r *rounding) take(s, c int32) {
	r.chosen[s], r.at[s] = c, r.Tables[s].Values[c]
	for _, p := range r.Tables[s].Of(c) {
		r.owner[p] = s
	}
}

// round fills all slots. It returns false if some slot finds no candidate whose parts are free.
func (r *rounding) round() bool {
	for p := range r.owner {
		r.owner[p] = candidate.Nobody
	}
	for s, c := range r.chosen {
		r.at[s] = r.Tables[s].Values[c]
		r.chosen[s] = candidate.Undecided
	}
	for range 6 {
		r.solve()
	}
	for range r.chosen {
		s, c := r.coarsest()
		if c < 0 {
			return false
		}
		r.take(s, c)
		r.solve()
	}
	return true
}

// linear takes the errors and the slopes where the slots stand, the slopes by a small step within the domain.
func (r *rounding) linear() {
	copy(r.Values, r.at)
	r.EvalAll()
	copy(r.here, r.Errors)
	for s := range r.at {
		t := &r.Tables[s]
		step := 1e-4 * (t.Values[len(t.Values)-1] - t.Values[0])
		if r.at[s]+step > t.Values[len(t.Values)-1] {
			step = -step
		}
		r.Values[s] = r.at[s] + step
		r.EvalAll()
		r.Values[s] = r.at[s]
		for i, q := range r.sc.Ranges {
			slope := 0.0
			if step != 0 {
				slope = (r.Errors[q] - r.here[q]) / step
			}
			r.slopes.Set(i, s, slope)
		}
	}
}

// solve moves the undecided slots to where the errors are smallest in the sense of least squares, were they straight lines, and no further
// than their candidates go.
func (r *rounding) solve() {
	r.linear()
	var free []int
	for s, c := range r.chosen {
		if c == candidate.Undecided {
			free = append(free, s)
		}
	}
	if len(free) == 0 {
		return
	}
	a, b := mat.NewDense(len(r.sc.Ranges), len(free), nil), mat.NewVecDense(len(r.sc.Ranges), nil)
	for i, q := range r.sc.Ranges {
		b.SetVec(i, -r.here[q])
		for j, s := range free {
			a.Set(i, j, r.slopes.At(i, s)*r.at[s])
		}
	}
	var svd mat.SVD
	if !svd.Factorize(a, mat.SVDThin) {
		return
	}
	rank := svd.Rank(1e-9)
	if rank == 0 {
		return
	}
	var move mat.VecDense
	svd.SolveVecTo(&move, b, rank)
	for j, s := range free {
		v := r.Tables[s].Values
		r.at[s] = min(max(r.at[s]*(1+move.AtVec(j)), v[0]), v[len(v)-1])
	}
}

// coarsest returns the undecided slot whose nearest free candidate moves an error most, and that candidate, or -1 if a slot has none.
func (r *rounding) coarsest() (slot, pick int32) {
	slot, pick = -1, -1
	most := -1.0
	for s, c := range r.chosen {
		if c != candidate.Undecided {
			continue
		}
		near := r.nearest(int32(s))
		if near < 0 {
			return int32(s), -1
		}
		off, steep := math.Abs(r.Tables[s].Values[near]-r.at[s]), 0.0
		for i := range r.sc.Ranges {
			steep = max(steep, math.Abs(r.slopes.At(i, s)))
		}
		if off*steep > most {
			slot, pick, most = int32(s), near, off*steep
		}
	}
	return slot, pick
}

// nearest returns the candidate of slot s nearest to where it stands whose parts nobody else owns, or -1.
func (r *rounding) nearest(s int32) int32 {
	t := &r.Tables[s]
	j, _ := slices.BinarySearch(t.Values, r.at[s])
	for i := j - 1; i >= 0 || j < len(t.Values); {
		var c int
		if j == len(t.Values) || i >= 0 && r.at[s]-t.Values[i] <= t.Values[j]-r.at[s] {
			c = i
			i--
		} else {
			c = j
			j++
		}
		if !t.Clashes(int32(c), r.owner, s) {
			return int32(c)
		}
	}
	return -1
}
