package assign

import (
	"cmp"
	"math"
	"slices"
)

// option is a candidate that is still looked at. Leaving the position open is
// one too, of infinite cost.
type option struct {
	parts  []int32
	cost   float64 // what the stage at hand looks at
	index  int32   // into the position's candidates; open: -1
	points int
	worth  float64 // the candidate's cost
	takes  []int32 // one unit each of what earlier stages have left room for
}

var open = option{cost: math.Inf(1), index: -1}

func (o option) isOpen() bool { return o.index < 0 }

// byCost puts cheap options first; equal costs go by the number of parts, then
// by the parts, so that the order does not depend on the caller's.
func byCost(a, b option) int {
	if c := cmp.Or(cmp.Compare(a.cost, b.cost), byWorth(a, b)); c != 0 {
		return c
	}
	if c := len(a.parts) - len(b.parts); c != 0 {
		return c
	}
	if c := byParts(a, b); c != 0 {
		return c
	}
	return cmp.Compare(a.index, b.index)
}

// byWorth puts what is better before what is worse.
func byWorth(a, b option) int {
	return cmp.Or(cmp.Compare(a.points, b.points), cmp.Compare(a.worth, b.worth))
}

// byParts is the drawer's order: lists of parts compared part by part, an open
// position last.
func byParts(a, b option) int {
	if a.isOpen() != b.isOpen() {
		if b.isOpen() {
			return -1
		}
		return 1
	}
	return slices.Compare(a.parts, b.parts)
}

// choice is one option a position.
type choice []option

func (c choice) filled() int {
	n := 0
	for _, o := range c {
		if !o.isOpen() {
			n++
		}
	}
	return n
}

// worst is the largest cost of a filled position without points, NaN if there
// is none.
func (c choice) worst() float64 {
	worst := math.NaN()
	for _, o := range c {
		if !o.isOpen() && o.points == 0 && !(o.worth <= worst) {
			worst = o.worth
		}
	}
	return worst
}

// points is how many points all have together.
func (c choice) points() int {
	n := 0
	for _, o := range c {
		n += o.points
	}
	return n
}

// sum is what the filled positions cost together.
func (c choice) sum() int {
	sum := 0.0
	for _, o := range c {
		if !o.isOpen() {
			sum += o.cost
		}
	}
	return int(sum)
}

// indexes says which candidates are chosen, -1: open.
func (c choice) indexes() []int {
	list := make([]int, len(c))
	for i, o := range c {
		list[i] = int(o.index)
	}
	return list
}

func (c choice) parts() int {
	n := 0
	for _, o := range c {
		n += len(o.parts)
	}
	return n
}
