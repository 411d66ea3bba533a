package match

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"

	"shuntwright/match/coupled"
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

// Foresee estimates, faster than Plan answers, how many networks a plan will
// have to be chosen from: a sample of networks tells how many there may be in
// the windows. If that is too many, it finds a quick plan first; what is no
// worse lies in smaller windows. Positions that are separate need few, whatever
// there is: for them nothing is foreseen.
//
// An error means that the problem cannot be asked.
func (s *Stock) Foresee(ctx context.Context, p Problem) (Foresight, error) {
	if err := p.validate(); err != nil {
		return Foresight{}, fmt.Errorf("foresee: %w", err)
	}
	pl := newPlanner(ctx, s, p)
	if pl.Separate() {
		return Foresight{Held: pl.mostHeld()}, nil
	}
	f := pl.crowd(p.Needs)
	if !f.Exceeds() {
		return f, nil
	}
	best, err := s.quickPlan(ctx, p)
	if err != nil {
		return Foresight{}, err
	}
	if ranges := pl.wholeRanges(best); len(ranges) > 0 {
		if windows, ok := pl.narrow(p.Needs, ranges, pl.level(best, ranges)); ok {
			f = pl.crowd(windows)
		}
	}
	return f, nil
}

// crowd foresees the lists of these windows.
func (pl *planner) crowd(windows []Need) Foresight {
	f := Foresight{Held: pl.mostHeld()}
	for i, w := range windows {
		if pl.p.Enough > 0 {
			f.Held = min(f.Held, pl.mostHeld()/max(1, w.AtMost)) // which every number of parts has
		}
		if n := pl.estimate(w); n > f.Networks {
			f.Position, f.Networks = i, n
		}
	}
	return f
}

// quickParts returns how many parts a position a quick plan may have: as many
// as are listed in a moment.
func (s *Stock) quickParts() int {
	switch n := s.Len(); {
	case n <= 80:
		return 4
	case n <= 300:
		return 3
	}
	return 2
}

// quickPlan finds a plan quickly, by errors alone.
func (s *Stock) quickPlan(ctx context.Context, p Problem) (Plan, error) {
	const listed, share = 512, 64
	asked := p
	p.Limit, p.LimitFloor, p.Progress, p.Needs = nil, nil, nil, append([]Need(nil), p.Needs...)
	for i := range p.Needs {
		p.Needs[i].AtMost = min(p.Needs[i].AtMost, s.quickParts())
	}
	pl := newPlanner(ctx, s, p)
	lists := pl.listWindows(make([]list, len(p.Needs)), p.Needs, listed)
	_, plan, err := pl.chooseCoupled(lists, coupled.DefaultBudget/share, math.Inf(1))
	if err != nil {
		return Plan{}, err
	}
	return newPlanner(ctx, s, asked).plan(plan.Networks), nil
}

// estimate tells about how many networks lie in a window. It draws some of
// every size and looks how many of them come within a quarter of an octave or so.
func (pl *planner) estimate(w Need) (count float64) {
	const drawn, near = 4000, 0.25 // in the logarithm of the value
	span := pl.reach(w)
	if !(span.lo <= span.hi) {
		return 0
	}
	wide := math.Log(span.hi / span.lo)
	middle := math.Log(span.lo) + wide/2
	half := max(near, wide/2)
	rng := rand.New(rand.NewPCG(1, 4))
	n := len(pl.order)
	for m := 1; m <= min(w.AtMost, n); m++ {
		hits := 0
		for range drawn {
			if math.Abs(math.Log(pl.draw(rng, w, m))-middle) <= half {
				hits++
			}
		}
		all, _ := Count(n, m, w.keeps()).Float64()
		fewer, _ := Count(n, m-1, w.keeps()).Float64()
		count += (all - fewer) * float64(hits) / drawn * wide / (2 * half)
	}
	return count
}

// draw returns the value of a network of m parts, the same part perhaps twice.
func (pl *planner) draw(rng *rand.Rand, w Need, m int) float64 {
	var values []float64
	if w.keeps() {
		values = append(values, w.Keep)
	}
	for range m {
		values = append(values, pl.stock.values[pl.order[rng.IntN(len(pl.order))]])
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
