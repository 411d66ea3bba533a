package match

import "math"

// Most returns what a range may cost at most so that the plan still comes before
// another one, or -1 where it does not come before that whatever the range costs.
// k is the plan's key, as it is or at least, in which the range counts for t; of
// the other one's key, what is filled and whole is not looked at. Without a
// resolution it may be more.
func (o Order) Most(k *Key, t Tally, other *Key) float64 {
	within, outside := list{k.Within, -1}, list{k.Outside, -1}
	if t.Points > 0 {
		outside = outside.without(t.Steps)
	} else {
		within = within.without(t.Steps)
	}
	points := other.Points - (k.Points - t.Points) // with so many the two have as many in all
	most, steps := o.upTo(points-1), -1.0
	fewer, c := k.Parts < other.Parts, outside.compare(other.Outside)
	switch {
	case points < 0:
		return -1
	case points == 0:
		steps = within.most(other.Within, c < 0 || c == 0 && fewer, 1)
	default:
		if c := within.compare(other.Within); c < 0 {
			steps = math.Inf(1)
		} else if c == 0 {
			steps = outside.most(other.Outside, fewer, 1)
		}
	}
	if o.Resolution == 0 {
		if steps = within.most(other.Within, true, 0); steps < 0 {
			return -1
		}
		ties := float64(2 + len(k.Within)) // of costs that are all a little apart
		return max(steps+ties*Equal, o.Enough*(1+Guard))
	}
	if steps >= 0 {
		most = max(most, min(o.upTo(points), (steps+1)*o.Resolution/(1+Guard)))
	}
	if most < 0 {
		return -1
	}
	return max(most, o.Enough*(1+Guard))
}

// upTo is the most that has no more than so many points.
func (o Order) upTo(points int) float64 {
	if points < 0 {
		return -1
	}
	return math.Ldexp(o.Class*(1+Guard), points)
}

// list is a list of steps, the largest first, of which one may be left out.
type list struct {
	steps []float64
	skip  int // -1: none
}

func (l list) without(steps float64) list {
	for i, s := range l.steps {
		if s == steps {
			l.skip = i
			break
		}
	}
	return l
}

func (l list) at(i int) float64 {
	if l.skip >= 0 && i >= l.skip {
		i++
	}
	return at(l.steps, i)
}

func (l list) compare(to []float64) int { return l.compareFrom(0, to) }

// compareFrom leaves out the first few.
func (l list) compareFrom(from int, to []float64) int {
	for i := range max(len(l.steps)-from, len(to)) {
		if d := l.at(from+i) - at(to, i); d < -Equal {
			return -1
		} else if d > Equal {
			return 1
		}
	}
	return 0
}

// most returns how many steps one more may have so that the list does not come
// after another: a number so that it comes before it, or equals it and rest is
// true; -1 if there is none. What must be less is less by a step.
func (l list) most(other []float64, rest bool, step float64) float64 {
	i := 0
	for i < max(len(l.steps), len(other)) && math.Abs(l.at(i)-at(other, i)) <= Equal {
		i++
	}
	most := at(other, i)
	if l.at(i) > most+Equal {
		return -1
	}
	tail := other[min(i+1, len(other)):]
	if c := l.compareFrom(i, tail); c < 0 || c == 0 && rest {
		return most
	}
	return most - step
}
