package branch

import (
	"math"
	"slices"

	"shuntwright/match"
)

// cutter cuts windows of values by the errors at the corners of the box that
// they make, and windows of attributes by the floors of the limits, and
// remembers from node to node where that is worth while.
type cutter struct {
	*frame
	slopes [][]float64 // for each range how much each of its slots moved it for a step of one when last seen; +Inf: not yet
	// reach holds for each range, slot of it, attribute and end of its window
	// by how much the floor rose when that end alone was left, for a window as
	// wide as one, when last seen; +Inf: not yet.
	reach   [][]float64
	sorted  []float64     // room for costs
	fewest  int           // parts of all slots that must be filled
	key     match.Key     // room
	tallies []match.Tally // room
}

// newCutter returns a cutter for the searches of a frame.
func newCutter(f *frame) *cutter {
	w := &cutter{frame: f}
	for _, slots := range f.links.slots {
		w.slopes = append(w.slopes, slices.Repeat([]float64{math.Inf(1)}, len(slots)))
		w.reach = append(w.reach, slices.Repeat([]float64{math.Inf(1)}, 2*f.attributes*len(slots)))
	}
	return w
}
