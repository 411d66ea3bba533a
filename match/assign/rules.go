package assign

import (
	"math"
	"slices"

	"shuntwright/match/assign/sat"
)

// rules are what a choice must keep to be as good as the best so far, in all
// that has been settled.
type rules struct {
	options [][]option // what each position may take, by cost; open last
	carried []bool     // positions whose cost is settled: limits do not look at them
	opens   int        // at most so many positions stay open
	limits  []float64  // limits[k]: at most k positions, filled and not carried, cost more than this
	sum     int        // at most so much cost together
	room    []int32    // how many units there are of what options take besides parts
	parts   int        // at most so many parts together
}

// free returns rules that only say what each position may take.
func free(options [][]option) rules {
	n := len(options)
	r := rules{options: options, carried: make([]bool, n), opens: n, limits: slices.Repeat([]float64{math.Inf(1)}, n+1), parts: math.MaxInt, sum: math.MaxInt}
	r.limits[0] = math.MaxFloat64
	return r
}

// limited returns the rules with one more: at most k positions, filled and not
// carried, cost more than limit.
func (r rules) limited(k int, limit float64) rules {
	r.limits = slices.Clone(r.limits)
	r.limits[k] = min(r.limits[k], limit)
	return r
}

// only returns the rules with position i held to some of its options.
func (r rules) only(i int, some []option) rules {
	r.options = slices.Clone(r.options)
	r.options[i] = slices.Clone(some)
	slices.SortFunc(r.options[i], byCost)
	return r
}

// within returns the options of position i that are not ruled out one by one.
func (r rules) within(i int) []option {
	list := r.options[i]
	if r.carried[i] {
		return list
	}
	n, _ := slices.BinarySearchFunc(list, r.limits[0], func(o option, limit float64) int {
		if o.cost > limit {
			return 1
		}
		return -1
	})
	if last := len(list) - 1; r.opens > 0 && n <= last && list[last].isOpen() {
		return append(list[:n:n], list[last])
	}
	return list[:n]
}

// alike tells whether rules differ at most in options and in the limit for all.
func (r rules) alike(other rules) bool {
	return r.opens == other.opens && r.parts == other.parts && r.sum == other.sum && slices.Equal(r.limits[1:], other.limits[1:])
}

// keeps tells whether a choice of options that are within the rules keeps those
// that count.
func (r rules) keeps(c choice) bool {
	if c.parts() > r.parts || len(c)-c.filled() > r.opens || r.sum < math.MaxInt && c.sum() > r.sum || !r.holds(c) {
		return false
	}
	for k, limit := range r.limits[1:] {
		above := 0
		for i, o := range c {
			if !r.carried[i] && !o.isOpen() && o.cost > limit {
				above++
			}
		}
		if above > k+1 {
			return false
		}
	}
	return true
}

// holds tells whether there is room for what the options of a choice take
// besides parts.
func (r rules) holds(c choice) bool {
	left := slices.Clone(r.room)
	for _, o := range c {
		for _, t := range o.takes {
			if left[t]--; left[t] < 0 {
				return false
			}
		}
	}
	return true
}

// counter is a resource of which options take one unit where they cost more
// than above.
type counter struct {
	resource int32
	above    float64
}

// counters returns those that the limits come to, with resources numbered
// behind room, which gets their room.
func (r rules) counters(room *[]int32) (list []counter) {
	least := r.limits[0]
	for k, above := range r.limits[1:] {
		if above < least { // otherwise the limit before it says more
			least = above
			list = append(list, counter{int32(len(*room)), above})
			*room = append(*room, int32(k+1))
		}
	}
	return list
}

// counted appends what an option of position i takes of the counters and of
// what all may cost together.
func (r rules) counted(item []int32, i int, o option, counters []counter, sum int32) []int32 {
	if o.isOpen() {
		return item
	}
	for _, c := range counters {
		if !r.carried[i] && o.cost > c.above {
			item = append(item, c.resource)
		}
	}
	if r.sum < math.MaxInt {
		item = append(item, slices.Repeat([]int32{sum}, int(o.cost))...)
	}
	return item
}

// question puts the rules as a packing problem, in which parts, limits and the
// number of parts are resources; from tells which option each item is.
func (r rules) question(parts int) (q sat.Problem, from [][]option) {
	q.Room = append(slices.Repeat([]int32{1}, parts), r.room...)
	resource := func(room int) int32 {
		q.Room = append(q.Room, int32(min(room, math.MaxInt32)))
		return int32(len(q.Room) - 1)
	}
	counters := r.counters(&q.Room)
	opens, total, sum := resource(r.opens), resource(r.parts), resource(r.sum)
	for i := range r.options {
		list := r.within(i)
		group := make([]sat.Item, len(list))
		for j, o := range list {
			item := slices.Clone(o.parts)
			for _, t := range o.takes {
				item = append(item, int32(parts)+t)
			}
			item = r.counted(item, i, o, counters, sum)
			if o.isOpen() {
				item = append(item, opens)
			}
			if r.parts < math.MaxInt {
				item = append(item, slices.Repeat([]int32{total}, len(o.parts))...)
			}
			group[j] = item
		}
		q.Groups, from = append(q.Groups, group), append(from, list)
	}
	return q, from
}
