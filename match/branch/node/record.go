package node

import "math"

// Record is what all searches of one problem know of its best plan.
type Record struct {
	*Gauge
	Best   *Plan
	Low    float64 // proven: no plan has a smaller worst cost
	Proven bool    // no plan has a worst cost that is smaller than that of the best one
	Good   bool    // the best plan is good enough
	Budget int     // how much work may be done before Stop looks at the gap
	Gap    float64 // how far above low the worst cost may be then
	Tell   func()  // called after every better plan and bound; may be nil
}

// Improve makes p the best plan.
func (r *Record) Improve(p *Plan) {
	r.Best = p
	r.Report()
}

// Raise makes it known that no plan has a worst cost below low.
func (r *Record) Raise(low float64) {
	if low > r.Low {
		r.Low = low
		r.Report()
	}
}

// Report tells how far things are.
func (r *Record) Report() {
	if r.Tell != nil {
		r.Tell()
	}
}

// Stop tells whether the budget ends the search that is going on.
func (r *Record) Stop() bool {
	if r.Work < r.Budget || r.Best == nil {
		return false
	}
	return r.Proven || len(r.Best.Costs) > 0 && r.Best.Costs[0]-r.Low <= r.Gap
}

// Filled returns how many slots the best plan fills.
func (r *Record) Filled() (count int) {
	if r.Best == nil {
		return 0
	}
	for _, c := range r.Best.Chosen {
		if c >= 0 {
			count++
		}
	}
	return count
}

// Worst returns the largest cost of the best plan, or NaN if it has none.
func (r *Record) Worst() float64 {
	if r.Best == nil || len(r.Best.Costs) == 0 {
		return math.NaN()
	}
	return r.Best.Costs[0]
}

// Bound returns what is proven of the worst cost of any plan, or NaN if the
// best one has none.
func (r *Record) Bound() float64 {
	if r.Proven && !r.Good {
		return r.Worst() // low may differ from it by what counts as equal
	}
	return math.Min(r.Low, r.Worst())
}
