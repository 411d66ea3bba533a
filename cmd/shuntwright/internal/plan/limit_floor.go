package plan

import (
	"math"

	"shuntwright/cmd/shuntwright/internal/asbuilt"
	"shuntwright/match"
	"shuntwright/match/network"
	"shuntwright/meter"
	"shuntwright/meter/budget"
)

// limitFloor bounds the limits of the ranges over many choices at once, as
// match.LimitFloor asks: how a range moves with each resistance lies between
// the slopes that the box allows, and what each network is known to lies
// between its attributes.
//
// The attributes of a network are the half-widths of its independent sources, in
// ohms, the largest alone and the others together; then for each instrument its
// gain error, in percent of the network's resistance.
type limitFloor struct {
	setup    *asbuilt.Setup
	search   *Question
	response *meter.Response
	gains    map[string]int // instruments, by the key of their gain error
	ranges   []floorRange
	movement float64 // the limit of its full-scale current, percent

	least, most []float64 // room for the sources of one range
}

// The places on a range's path.
const (
	inLead = iota
	across
	inBranch
	places
)

// ownAttributes are those before the instruments'.
const ownAttributes = 2

// floorRange is what one range depends on.
type floorRange struct {
	slots  [places][]int
	own    [places][]float64 // of what stays: half-widths of independent sources, ohms
	shared [places][]float64 // of what stays: for each instrument, ohms
}

// newLimitFloor prepares the floors of a search.
func (p *Planner) newLimitFloor(q *Question, response *meter.Response) *limitFloor {
	f := &limitFloor{setup: p.Setup, search: q, response: response, gains: map[string]int{}, movement: p.FullScalePercent()}
	slot := map[int]int{}
	for i, position := range q.Open {
		slot[p.Positions[position].Resistor] = i
	}
	stays := p.staying(slot)
	for _, list := range stays {
		for _, in := range list {
			f.meet(in.Shared)
		}
	}
	for _, i := range q.Chosen {
		f.meet(p.Measured[i].Shared)
	}
	for _, position := range q.Open {
		if n, kept := q.Kept[position]; kept {
			found, _ := p.Bench.Resistors(n, p.Meter.Movement.Instrument) // what is not there fails with every network
			for _, l := range found {
				f.meet(l.Measured.Shared)
			}
		}
	}
	for r := range p.Ranges {
		path := p.Meter.Path(r)
		var one floorRange
		for place, resistors := range [places][]int{path.Lead, path.Across, path.Branch} {
			one.shared[place] = make([]float64, len(f.gains))
			for _, resistor := range resistors {
				if i, open := slot[resistor]; open {
					one.slots[place] = append(one.slots[place], i)
					continue
				}
				one.own[place] = append(one.own[place], f.split(stays[resistor], one.shared[place])...)
			}
		}
		f.ranges = append(f.ranges, one)
	}
	return f
}

// staying are the measured resistances that the search leaves as they are, by
// the meter's resistors, with a slope of one.
func (p *Planner) staying(slot map[int]int) map[int][]budget.Input {
	out := map[int][]budget.Input{asbuilt.CoilOf(p.Meter): {asbuilt.Leaf{Name: "coil", Measured: p.Coil}.Input(1)}}
	for _, one := range p.Stated {
		out[one.Resistor] = []budget.Input{one.Input(1)}
	}
	for i, one := range p.Positions {
		if _, open := slot[one.Resistor]; !open && !p.IsOpen(i) {
			out[one.Resistor] = asbuilt.Inputs(p.Networks[i], p.Leaves[i], 1)
		}
	}
	return out
}

// meet gives an instrument a number.
func (f *limitFloor) meet(shared string) {
	if _, known := f.gains[shared]; !known && shared != "" {
		f.gains[shared] = len(f.gains)
	}
}

// split returns the half-widths of the independent sources among the inputs,
// and adds those of the instruments to shared, all in ohms.
func (f *limitFloor) split(list []budget.Input, shared []float64) (own []float64) {
	for _, in := range list {
		gain := in.Slope * in.Value * in.GainPercent / 100
		if in.Shared != "" {
			shared[f.gains[in.Shared]] += gain
		} else {
			own = append(own, gain)
		}
		own = append(own, in.Slope*in.Floor)
	}
	return own
}

// Attributes implements match.LimitFloor.
func (f *limitFloor) Attributes(dst []float64, slot int, n network.Network) []float64 {
	s, q := f.setup, f.search
	w := s.Wire(n, q.Chosen, q.Kept[q.Open[slot]])
	at := len(dst)
	dst = append(dst, make([]float64, ownAttributes+len(f.gains))...)
	found, err := s.Bench.Resistors(w, s.Meter.Movement.Instrument)
	if err != nil { // its limit says that it cannot be trusted
		return dst
	}
	shared := dst[at+ownAttributes:]
	for _, half := range f.split(asbuilt.Inputs(w, found, 1), shared) {
		small := min(half, dst[at])
		dst[at], dst[at+1] = max(half, dst[at]), math.Hypot(dst[at+1], small)
	}
	for g := range shared {
		shared[g] *= 100 / n.Value()
	}
	return dst
}

// Floor implements match.LimitFloor.
func (f *limitFloor) Floor(r int, box *match.Box) float64 {
	slopes, one := f.response.Slopes(r, box.Lo, box.Hi), &f.ranges[r]
	f.least, f.most = f.least[:0], f.most[:0]
	for place, slope := range inPlaces(slopes) {
		weak, steep := steepness(slope)
		for _, half := range one.own[place] {
			f.source(weak*half, steep*half)
		}
		for _, i := range one.slots[place] {
			for k := range ownAttributes {
				f.source(weak*box.Least[i][k], steep*box.Most[i][k])
			}
		}
	}
	for g := range len(f.gains) {
		low, high := one.gain(g, slopes, box)
		f.source(max(0, low, -high), max(-low, high))
	}
	f.source(slopes.Reading.Least*f.movement, slopes.Reading.Most*f.movement)
	return budget.Floor(f.least, f.most)
}

// inPlaces are the slopes of the places on a path.
func inPlaces(s meter.Slopes) [places]meter.Span {
	return [places]meter.Span{s.Lead, s.Across, s.Branch}
}

// steepness are the smallest and the largest magnitude of a slope that keeps
// its sign.
func steepness(slope meter.Span) (weak, steep float64) {
	if slope.Most <= 0 {
		return -slope.Most, -slope.Least
	}
	return slope.Least, slope.Most
}

// source takes up an independent source.
func (f *limitFloor) source(least, most float64) {
	f.least, f.most = append(f.least, least), append(f.most, most)
}

// gain are the ends between which the gain error of instrument g moves the
// range: what it measured adds up with its signs.
func (one *floorRange) gain(g int, slopes meter.Slopes, box *match.Box) (low, high float64) {
	for place, slope := range inPlaces(slopes) {
		weak, steep := steepness(slope)
		least, most := weak*one.shared[place][g], steep*one.shared[place][g]
		for _, i := range one.slots[place] {
			least += weak * box.Lo[i] * box.Least[i][ownAttributes+g] / 100
			most += steep * box.Hi[i] * box.Most[i][ownAttributes+g] / 100
		}
		if slope.Most <= 0 {
			least, most = -most, -least
		}
		low, high = low+least, high+most
	}
	return low, high
}
