package branch

import (
	"math"
	"math/rand/v2"
	"slices"

	"shuntwright/match"
	"shuntwright/match/network"
	"shuntwright/match/objective"
)

// Foresight is what a search for a plan will have to hold at once, about.
type Foresight struct {
	Position int     // the position, from 0, that has most networks that may matter
	Networks float64 // how many these are, about
	Held     int     // how many are held for one position at most, so that memory stays below 1 GiB
}

// Exceeds reports whether the search is likely to end Narrowed, since more
// networks may matter than are held.
func (f Foresight) Exceeds() bool { return f.Networks > float64(f.Held) }

// Foresee estimates, faster than Plan answers, how many networks it will have to
// choose from: a sample of networks tells how many there may be in the windows.
// If that is too many, it finds a quick plan first; what is no worse lies in
// smaller windows. Positions that are separate need few, whatever there is: for
// them nothing is foreseen.
func Foresee(with *objective.Objective, sizes Sizes) (Foresight, error) {
	pl := newPlanner(with, sizes)
	if pl.Separate() {
		return Foresight{Held: pl.mostHeld()}, nil
	}
	f := pl.crowd(pl.Needs)
	if !f.Exceeds() {
		return f, nil
	}
	best, err := pl.quickPlan()
	if err != nil {
		return Foresight{}, err
	}
	if ranges := pl.wholeRanges(best); len(ranges) > 0 {
		if windows, ok := pl.narrow(pl.Needs, ranges, pl.level(best, ranges)); ok {
			f = pl.crowd(windows)
		}
	}
	return f, nil
}

// crowd foresees the lists of these windows.
func (pl *planner) crowd(windows []match.Need) Foresight {
	f := Foresight{Held: pl.mostHeld()}
	for i, w := range windows {
		if pl.Enough > 0 {
			f.Held = min(f.Held, pl.mostHeld()/max(1, w.AtMost)) // which every number of parts has
		}
		if n := pl.estimate(w); n > f.Networks {
			f.Position, f.Networks = i, n
		}
	}
	return f
}

// quickParts returns how many parts a position a quick plan from so many parts may
// have: as many as are listed in a moment.
func quickParts(parts int) int {
	switch {
	case parts <= 80:
		return 4
	case parts <= 300:
		return 3
	}
	return 2
}

// quickPlan finds a plan quickly, by errors alone.
func (pl *planner) quickPlan() (match.Plan, error) {
	const listed, share = 512, 64
	p := pl.Problem
	p.Limit, p.LimitFloor, p.Progress, p.Needs = nil, nil, nil, slices.Clone(p.Needs)
	for i := range p.Needs {
		p.Needs[i].AtMost = min(p.Needs[i].AtMost, quickParts(pl.Stock.Len()))
	}
	quick := newPlanner(objective.New(pl.Context, pl.Stock, p), pl.sizes)
	lists := quick.listWindows(make([]list, len(p.Needs)), p.Needs, listed)
	_, plan, err := quick.choose(lists, DefaultBudget/share, math.Inf(1))
	if err != nil {
		return match.Plan{}, err
	}
	return pl.Plan(plan.Networks), nil
}

// estimate tells about how many networks lie in a window. It draws some of
// every size and looks how many of them come within a quarter of an octave or so.
func (pl *planner) estimate(w match.Need) (count float64) {
	const drawn, near = 4000, 0.25 // in the logarithm of the value
	span := pl.reach(w)
	if !(span.lo <= span.hi) {
		return 0
	}
	wide := math.Log(span.hi / span.lo)
	middle := math.Log(span.lo) + wide/2
	half := max(near, wide/2)
	rng := rand.New(rand.NewPCG(1, 4))
	n := pl.Wanted.Len()
	for m := 1; m <= min(w.AtMost, n); m++ {
		hits := 0
		for range drawn {
			if math.Abs(math.Log(pl.draw(rng, w, m))-middle) <= half {
				hits++
			}
		}
		all, _ := network.Count(n, m, w.Keeps()).Float64()
		fewer, _ := network.Count(n, m-1, w.Keeps()).Float64()
		count += (all - fewer) * float64(hits) / drawn * wide / (2 * half)
	}
	return count
}

// draw returns the value of a network of m parts, the same part perhaps twice.
func (pl *planner) draw(rng *rand.Rand, w match.Need, m int) float64 {
	var values []float64
	if w.Keeps() {
		values = append(values, w.Keep)
	}
	for range m {
		values = append(values, pl.Wanted.Value(rng.IntN(pl.Wanted.Len())))
	}
	for k := len(values); k > 1; k-- {
		i := rng.IntN(k - 1)
		a, b := values[i], values[k-1]
		if values[i] = a + b; rng.IntN(2) == 0 {
			values[i] = 1 / (1/a + 1/b)
		}
	}
	return values[0]
}
