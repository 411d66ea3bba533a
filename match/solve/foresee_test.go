package solve

import (
	"context"
	"fmt"
	"math"
	"os"
	"runtime/metrics"
	"slices"
	"testing"
	"time"

	"shuntwright/match"
	"shuntwright/match/branch"
	"shuntwright/match/matchtest"
)

// fiveDecades is a drawer for a ring and a chain: five and a half from 0.1.
func fiveDecades(n int) []float64 {
	values := matchtest.Values(n, 1)
	for i := range values {
		values[i] = math.Pow(values[i]/10, 1.4) / 10
	}
	return values
}

func TestForesee(t *testing.T) {
	p := ringAndChain()
	for _, c := range []struct {
		n, parts int
		enough   float64
		exceeds  bool
	}{{300, 2, 0, false}, {300, 3, 0, false}, {300, 3, 0.5, true}, {500, 4, 0, true}, {60, 4, 0, false}} {
		for i := range p.Needs {
			p.Needs[i].AtMost = c.parts
		}
		p.Enough = c.enough
		f, err := Foresee(t.Context(), stockOf(t, fiveDecades(c.n)...), p)
		if err != nil || f.Exceeds() != c.exceeds || f.Held < 1 {
			t.Errorf("%+v: %+v, error %v", c, f, err)
		}
	}
	if f, err := Foresee(t.Context(), stockOf(t, fiveDecades(50)...), matchtest.Separate([]float64{5, 50}, 4, 0.2)); err != nil || f.Exceeds() {
		t.Errorf("separate: %+v, error %v", f, err)
	}
	p.Needs = slices.Clone(p.Needs)
	p.Needs[0].Target = -1
	if _, err := Foresee(t.Context(), stockOf(t, 1), p); err == nil {
		t.Error("a negative target: no error")
	}
}

// watchMemory returns a function that tells the most memory that was in use since.
func watchMemory() (most func() uint64) {
	stop, out := make(chan bool), make(chan uint64)
	go func() {
		s := []metrics.Sample{{Name: "/memory/classes/total:bytes"}, {Name: "/memory/classes/heap/released:bytes"}}
		peak := uint64(0)
		for {
			metrics.Read(s)
			peak = max(peak, s[0].Value.Uint64()-s[1].Value.Uint64())
			select {
			case <-stop:
				out <- peak
				return
			case <-time.After(5 * time.Millisecond):
			}
		}
	}()
	return func() uint64 { stop <- true; return <-out }
}

// The largest calls stay below 1 GiB, within half a minute each.
func TestPlanMemory(t *testing.T) {
	if os.Getenv("SHUNTWRIGHT_SLOW") == "" {
		t.Skip("takes minutes; set SHUNTWRIGHT_SLOW=1")
	}
	for _, c := range []struct {
		n, parts       int
		within, enough float64
		separate       bool
	}{
		{5000, 2, 0.2, 0, false}, {5000, 2, 0.9, 0.5, false}, {300, 3, 0.2, 0.5, false}, {1000, 3, 0.9, 5, false}, {100, 4, 0.2, 0.5, false},
		{5000, 4, 0.2, 0, false}, {5000, 2, 0.9, 5, true}, {5000, 4, 0.2, 0, true}, {300, 3, 0.9, 5, true},
	} {
		t.Run(fmt.Sprintf("%d of %d enough %v separate %v", c.parts, c.n, c.enough, c.separate), func(t *testing.T) {
			p := ringAndChain()
			if c.separate {
				p = matchtest.Separate(matchtest.Spread(12), c.parts, c.within)
			}
			for i := range p.Needs {
				p.Needs[i].AtMost, p.Needs[i].Within = c.parts, c.within
			}
			p.Enough = c.enough
			s := stockOf(t, fiveDecades(c.n)...)
			most := watchMemory()
			ctx, cancel := context.WithTimeout(t.Context(), 30*time.Second)
			defer cancel()
			f, err := Foresee(ctx, s, p)
			if err != nil {
				t.Fatal(err)
			}
			plan, err := Plan(ctx, s, p)
			peak := most()
			t.Logf("%d MiB; %+v: %v, worst %v, bound %v", peak>>20, f, plan.End, plan.Worst, plan.Bound)
			if err != nil || peak > 1<<30 {
				t.Errorf("%d MiB, error %v", peak>>20, err)
			}
			if plan.End == match.Narrowed && plan.Worst-plan.Bound > branch.SmallGap && !f.Exceeds() {
				t.Errorf("narrowed, and that was not foreseen")
			}
		})
	}
}
