package branch

import "math"

// record is what all searches of one problem know of its best plan.
type record struct {
	*gauge
	best   *measured
	low    float64 // proven: no plan has a smaller worst cost
	proven bool    // no plan has a worst cost that is smaller than that of the best one
	good   bool    // the best plan is good enough
	budget int     // how much work may be done before stop looks at the gap
	gap    float64 // how far above low the worst cost may be then
	tell   func()  // called after every better plan and bound; may be nil
}

// improve makes p the best plan.
func (r *record) improve(p *measured) {
	r.best = p
	r.report()
}

// raise makes it known that no plan has a worst cost below low.
func (r *record) raise(low float64) {
	if low > r.low {
		r.low = low
		r.report()
	}
}

// report tells how far things are.
func (r *record) report() {
	if r.tell != nil {
		r.tell()
	}
}

// stop tells whether the budget ends the search that is going on.
func (r *record) stop() bool {
	if r.work < r.budget || r.best == nil {
		return false
	}
	return r.proven || len(r.best.costs) > 0 && r.best.costs[0]-r.low <= r.gap
}

// filled returns how many slots the best plan fills.
func (r *record) filled() (count int) {
	for _, c := range r.best.chosen {
		if c >= 0 {
			count++
		}
	}
	return count
}

// worst returns the largest cost of the best plan, or NaN if it has none.
func (r *record) worst() float64 {
	if len(r.best.costs) == 0 {
		return math.NaN()
	}
	return r.best.costs[0]
}

// bound returns what is proven of the worst cost of any plan, or NaN if the
// best one has none.
func (r *record) bound() float64 {
	if r.proven && !r.good {
		return r.worst() // low may differ from it by what counts as equal
	}
	return math.Min(r.low, r.worst())
}
