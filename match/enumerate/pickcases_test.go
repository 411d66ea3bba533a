package enumerate

import (
	"context"
	"math"
	"os"
	"runtime"
	"slices"
	"testing"
	"time"

	"shuntwright/match"
	"shuntwright/match/matchtest"
	"shuntwright/match/network"
)

func TestPickDegenerate(t *testing.T) {
	equal := stockOf(t, slices.Repeat([]float64{100}, 5000)...)
	for _, c := range []struct {
		name  string
		stock *Stock
		need  match.Need
		top   int
		parts []int
		value float64
	}{
		{"one part", stockOf(t, 5), need(7, 4), 3, []int{0}, 5},
		{"below the smallest parallel", stockOf(t, 5, 5, 5), need(1, 3), 1, []int{0, 1, 2}, 5. / 3},
		{"above the largest series", stockOf(t, 5, 5, 5), need(100, 4), 1, []int{0, 1, 2}, 15},
		{"equal parts, single", equal, need(100, 4), 1, []int{0}, 100},
		{"equal parts, pair", equal, need(200, 4), 1, []int{0, 1}, 200},
		{"equal parts, three", equal, need(150, 4), 1, []int{0, 1, 2}, 150},
		{"equal parts, four", equal, need(25, 4), 1, []int{0, 1, 2, 3}, 25},
		{"more parts than there are", stockOf(t, 1, 2), need(3, 4), 1, []int{0, 1}, 3},
	} {
		start := time.Now()
		got, err := c.stock.Pick(t.Context(), match.Query{Need: c.need, Top: c.top})
		if err != nil || !got.Proven || len(got.Choices) == 0 {
			t.Fatalf("%s: %d choices, proven %v, error %v", c.name, len(got.Choices), got.Proven, err)
		}
		n := got.Choices[0].Network
		if !slices.Equal(n.Parts(), c.parts) || math.Abs(n.Value()-c.value) > 1e-12*c.value {
			t.Errorf("%s: parts %v value %v, want %v and %v", c.name, n.Parts(), n.Value(), c.parts, c.value)
		}
		if d := time.Since(start); d > 60*time.Second {
			t.Errorf("%s took %v", c.name, d)
		}
	}
}

// Equal parts come in dictionary order, and the choice among 5000 is quick.
func TestPickTakesTheFirstOfEqualParts(t *testing.T) {
	for _, c := range []struct{ parts, top int }{{30, 200}, {5000, 60}, {5000, 300}} {
		s := stockOf(t, slices.Repeat([]float64{100}, c.parts)...)
		got, err := s.Pick(t.Context(), match.Query{Need: need(50, 2), Top: c.top})
		if err != nil || len(got.Choices) != c.top {
			t.Fatalf("%d choices, error %v", len(got.Choices), err)
		}
		want := []int{0, 0}
		for i, choice := range got.Choices {
			if want[1]++; want[1] == c.parts {
				want[0], want[1] = want[0]+1, want[0]+2
			}
			if choice.Error != 0 || !slices.Equal(choice.Network.Parts(), want) {
				t.Fatalf("choice %d: %v with error %v, want %v", i, choice.Network.Parts(), choice.Error, want)
			}
		}
	}
}

func TestBadInput(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	for _, p := range [][]match.Part{{{Value: 0, Bears: 1}}, {{Value: -1, Bears: 1}}, {{Value: nan, Bears: 1}}, {{Value: inf, Bears: 1}}, {{Value: 1, Bears: 0}}, {{Value: 1, Bears: nan}}, {{Value: 1, Bears: -1}}, {{Value: 1e-200, Bears: 1}}, {{Value: 1e200, Bears: 1}}} {
		if _, err := NewStock(p); err == nil {
			t.Errorf("stock of %v: no error", p)
		}
	}
	s := stockOf(t, 1, 2, 3)
	good := need(3, 2)
	good.Within = 0.05
	for name, spoil := range map[string]func(*match.Query){
		"target 0": func(q *match.Query) { q.Target = 0 }, "target -1": func(q *match.Query) { q.Target = -1 },
		"target NaN": func(q *match.Query) { q.Target = nan }, "target Inf": func(q *match.Query) { q.Target = inf },
		"0 parts": func(q *match.Query) { q.AtMost = 0 }, "5 parts": func(q *match.Query) { q.AtMost = 5 },
		"top 0": func(q *match.Query) { q.Top = 0 }, "top too large": func(q *match.Query) { q.Top = match.MaxTop + 1 }, "window 0": func(q *match.Query) { q.Within = 0 }, "window NaN": func(q *match.Query) { q.Within = nan },
		"keep 0": func(q *match.Query) { q.Keep = 0 }, "keep bears 0": func(q *match.Query) { q.Keep = 1 },
		"flow -1": func(q *match.Query) { q.Flow = -1 }, "drop Inf": func(q *match.Query) { q.Drop = inf },
		"resolution -1": func(q *match.Query) { q.Resolution = -1 }, "resolution NaN": func(q *match.Query) { q.Resolution = nan }, "resolution Inf": func(q *match.Query) { q.Resolution = inf },
		"enough -1": func(q *match.Query) { q.Enough = -1 }, "enough NaN": func(q *match.Query) { q.Enough = nan },
		"floor": func(q *match.Query) { q.Limit = func(network.Network) float64 { return 0 }; q.LimitFloor = nan },
	} {
		q := match.Query{Need: good, Top: 1}
		if _, err := s.Pick(t.Context(), q); err != nil {
			t.Fatal(err)
		}
		spoil(&q)
		if _, err := s.Pick(t.Context(), q); err == nil {
			t.Errorf("%s: no error", name)
		}
	}
}

func TestPickCancelled(t *testing.T) {
	s := stockOf(t, matchtest.Values(2000, 1)...)
	ctx, cancel := context.WithTimeout(t.Context(), 100*time.Millisecond)
	defer cancel()
	start := time.Now()
	got, err := s.Pick(ctx, match.Query{Need: need(1234.5, 4), Top: 3})
	if err != nil || got.Proven || len(got.Choices) != 3 {
		t.Errorf("%d choices, proven %v, error %v", len(got.Choices), got.Proven, err)
	}
	if d := time.Since(start); d > 20*time.Second {
		t.Errorf("asked to end after 100 ms, ended after %v", d)
	}
}

// The largest lists of all: four parts of 2000 round a kept value, held against
// ratings, within a second or so, and many choices kept.
func TestMemoryStaysBounded(t *testing.T) {
	if os.Getenv("SHUNTWRIGHT_SLOW") == "" {
		t.Skip("takes a minute; set SHUNTWRIGHT_SLOW=1")
	}
	for _, c := range []struct{ n, top int }{{2000, 10}, {5000, 10}, {300, match.MaxTop}} {
		parts := make([]match.Part, c.n)
		for i, v := range matchtest.Values(c.n, 3) {
			parts[i] = match.Part{Value: v, Bears: 0.5 / math.Sqrt(v)}
		}
		s, err := NewStock(parts)
		if err != nil {
			t.Fatal(err)
		}
		q := match.Query{Need: need(4321.5, 4), Top: c.top}
		q.Keep, q.KeepBears, q.Flow = 3000, 1, 1e-3
		ctx, cancel := context.WithTimeout(t.Context(), 40*time.Second)
		if _, err := s.Pick(ctx, q); err != nil {
			t.Error(err)
		}
		cancel()
		var m runtime.MemStats
		runtime.ReadMemStats(&m)
		t.Logf("%d parts, best %d: %d MiB from the system", c.n, c.top, m.Sys>>20)
		if m.Sys > 1<<30 {
			t.Errorf("%d parts, best %d: %d MiB from the system, 1 GiB at most", c.n, c.top, m.Sys>>20)
		}
	}
}
