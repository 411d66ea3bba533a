package match

import (
	"cmp"
	"math"
)

// DefaultClass is the class, in percent, that is taken where a Problem has none:
// the largest of IEC 60051.
const DefaultClass = 5

// Guard is the relative rounding that is forgiven where a cost is held against a
// class, a floor or a multiple of the resolution.
const Guard = 1e-9

// Equal is how far apart two costs may be, in percentage points, and still be
// equal where there is no resolution.
const Equal = 1e-9

// Order says which of two plans comes first, by what their ranges cost: a
// range's |error| in percent of full scale, or that plus its limit.
type Order struct {
	Class      float64 // percent, positive
	Resolution float64 // percent, not negative; 0: no points, and costs stand in place of steps
	Enough     float64 // percent, not negative; a cost within it counts as none
}

// Order returns what plans for the problem are ordered by.
func (p Problem) Order() Order {
	o := Order{p.Class, p.Resolution, p.Enough}
	if o.Class == 0 {
		o.Class = DefaultClass
	}
	return o
}

// Tally is what one range counts for.
type Tally struct {
	// Points are 0 within the class, 1 up to twice the class, and 1 more for each
	// further doubling.
	Points int
	// Steps are how many times the resolution goes into the cost, a whole number;
	// the cost itself where there is no resolution.
	Steps float64
}

// Tally counts a cost, which is not negative. What a cost exceeds by no more than
// Guard, relatively, it does not exceed; what it misses by no more, it reaches.
func (o Order) Tally(cost float64) Tally {
	switch {
	case cost <= o.Enough*(1+Guard):
		return Tally{}
	case o.Resolution == 0:
		return Tally{0, cost}
	}
	t := Tally{0, math.Floor(cost / o.Resolution * (1 + Guard))}
	if times := cost / (o.Class * (1 + Guard)); times > 1 {
		if half, doublings := math.Frexp(times); half > 0.5 {
			t.Points = doublings
		} else {
			t.Points = doublings - 1 // on the mark
		}
	}
	return t
}

// Key is where a plan stands in an Order. The fields count in the order in which
// they stand here.
type Key struct {
	Filled  int       // positions; more come first
	Whole   int       // ranges with all positions filled; more come first
	Points  int       // of all ranges; fewer come first
	Within  []float64 // steps of the ranges without points, the largest first, without those that have none
	Outside []float64 // steps of the ranges with points, the same way
	Parts   int       // fewer come first
	Costs   []float64 // percent, of all ranges, the largest first: no part of the order that is proven
}

// Reset makes k the key of a plan without anything.
func (k *Key) Reset() { *k = Key{Within: k.Within[:0], Outside: k.Outside[:0], Costs: k.Costs[:0]} }

// Add counts one more whole range.
func (k *Key) Add(t Tally, cost float64) {
	k.Whole++
	k.Points += t.Points
	switch {
	case t.Points > 0:
		k.Outside = insert(k.Outside, t.Steps)
	case t.Steps > 0:
		k.Within = insert(k.Within, t.Steps)
	}
	k.Costs = insert(k.Costs, cost)
}

// insert keeps a list sorted, the largest first.
func insert(list []float64, x float64) []float64 {
	list = append(list, x)
	i := len(list) - 1
	for ; i > 0 && list[i-1] < x; i-- {
		list[i] = list[i-1]
	}
	list[i] = x
	return list
}

// Merge adds what another key counts.
func (k *Key) Merge(more *Key) {
	k.Filled += more.Filled
	k.Whole += more.Whole
	k.Points += more.Points
	k.Parts += more.Parts
	for _, s := range more.Within {
		k.Within = insert(k.Within, s)
	}
	for _, s := range more.Outside {
		k.Outside = insert(k.Outside, s)
	}
	for _, c := range more.Costs {
		k.Costs = insert(k.Costs, c)
	}
}

// Copy makes k the same as another key.
func (k *Key) Copy(from *Key) {
	within, outside, costs := append(k.Within[:0], from.Within...), append(k.Outside[:0], from.Outside...), append(k.Costs[:0], from.Costs...)
	*k = *from
	k.Within, k.Outside, k.Costs = within, outside, costs
}

// Compare returns -1 where k comes before another key, +1 where it comes after it
// and 0 where they are equal in all that a proof is about.
func (k *Key) Compare(to *Key) int {
	switch {
	case k.Filled != to.Filled:
		return cmp.Compare(to.Filled, k.Filled)
	case k.Whole != to.Whole:
		return cmp.Compare(to.Whole, k.Whole)
	case k.Points != to.Points:
		return cmp.Compare(k.Points, to.Points)
	}
	if c := compareSteps(k.Within, to.Within); c != 0 {
		return c
	}
	if c := compareSteps(k.Outside, to.Outside); c != 0 {
		return c
	}
	return cmp.Compare(k.Parts, to.Parts)
}

// CompareAll is Compare, and what is equal there goes by smaller costs, the
// largest first.
func (k *Key) CompareAll(to *Key) int {
	if c := k.Compare(to); c != 0 {
		return c
	}
	return compareSteps(k.Costs, to.Costs)
}

// compareSteps compares lists that are sorted, the largest first; what is missing
// is none.
func compareSteps(a, b []float64) int {
	for i := range max(len(a), len(b)) {
		switch d := at(a, i) - at(b, i); {
		case d < -Equal:
			return -1
		case d > Equal:
			return 1
		}
	}
	return 0
}

func at(list []float64, i int) float64 {
	if i < len(list) {
		return list[i]
	}
	return 0
}
