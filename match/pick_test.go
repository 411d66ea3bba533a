package match

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"runtime"
	"slices"
	"testing"
	"time"

	"shuntwright/match/network"
)

// everyNetwork lists all networks a need allows, by splitting sets of leaves
// in every way: the slow and obvious oracle.
func everyNetwork(s *Stock, n Need) []Network {
	r := s.request(n, nil, 0)
	fewest := 1
	if n.keeps() {
		fewest = 0
	}
	var out []Network
	var set []int
	var choose func(from int)
	choose = func(from int) {
		if len(set) >= fewest {
			leaves := slices.Clone(set)
			if n.keeps() {
				leaves = append([]int{Kept}, leaves...)
			}
			for _, net := range splits(&r.Leaves, leaves) {
				if !(net.Bears() < n.Flow*(1-1e-12)) && !(net.Bears()*net.Value() < n.Drop*(1-1e-12)) {
					out = append(out, net)
				}
			}
		}
		if len(set) == n.AtMost {
			return
		}
		for i := from; i < s.Len(); i++ {
			set = append(set, i)
			choose(i + 1)
			set = set[:len(set)-1]
		}
	}
	choose(0)
	return out
}

func splits(l *network.Leaves, set []int) []Network {
	if len(set) == 1 {
		if set[0] == Kept {
			return []Network{l.Kept()}
		}
		return []Network{l.Part(set[0])}
	}
	seen := map[Network]bool{}
	var out []Network
	for mask := range 1<<(len(set)-1) - 1 {
		a, b := []int{set[0]}, []int{}
		for i, x := range set[1:] {
			if mask>>i&1 == 1 {
				a = append(a, x)
			} else {
				b = append(b, x)
			}
		}
		for _, x := range splits(l, a) {
			for _, y := range splits(l, b) {
				for _, op := range []Op{Series, Parallel} {
					if n := l.Join(op, x, y); !seen[n] {
						seen[n] = true
						out = append(out, n)
					}
				}
			}
		}
	}
	return out
}

// brutePick ranks every network.
func brutePick(s *Stock, q Query) []Choice {
	type ranked struct {
		c     Choice
		score float64
	}
	var all []ranked
	for _, n := range everyNetwork(s, q.Need) {
		r := ranked{c: Choice{Network: n, Error: (n.Value() - q.Target) / q.Target}}
		r.score = math.Abs(r.c.Error)
		if r.score > q.Within+1e-12 {
			continue
		}
		if q.Limit != nil {
			r.score += q.Limit(n) / q.Target
		}
		all = append(all, r)
	}
	slices.SortFunc(all, func(a, b ranked) int { return cmp.Compare(a.score, b.score) })
	var out []Choice
	for len(all) > 0 && len(out) < q.Top {
		same := 0
		for same < len(all) && all[same].score < all[0].score+1e-11 {
			same++
		}
		slices.SortFunc(all[:same], func(a, b ranked) int { return network.Compare(a.c.Network, b.c.Network) })
		for _, r := range all[:same] {
			out = append(out, r.c)
		}
		all = all[same:]
	}
	return out[:min(len(out), q.Top)]
}

func need(target float64, atMost int) Need {
	return Need{Target: target, Within: math.Inf(1), AtMost: atMost, Keep: math.NaN(), Flow: math.NaN(), Drop: math.NaN()}
}

func stockOf(t testing.TB, values ...float64) *Stock {
	t.Helper()
	parts := make([]Part, len(values))
	for i, v := range values {
		parts[i] = Part{v, math.Inf(1)}
	}
	s, err := NewStock(parts)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// randomQuery draws a small stock and a query of any kind. Values come from a
// short list as often as not, so that ties abound.
func randomQuery(t testing.TB, rng *rand.Rand) (*Stock, Query) {
	preferred := []float64{10, 12, 15, 18, 22, 27, 33, 39, 47, 56, 68, 82, 100}
	exact := rng.IntN(2) == 0
	value := func() float64 {
		if exact {
			return preferred[rng.IntN(len(preferred))]
		}
		return math.Exp(2*rng.NormFloat64()) * 20
	}
	q := Query{Need: need(value()*(0.3+float64(rng.IntN(30))/10), 1+rng.IntN(4)), Top: 1 + rng.IntN(12)}
	most := []int{0, 12, 12, 9, 7}[q.AtMost]
	parts := make([]Part, 1+rng.IntN(most))
	for i := range parts {
		parts[i] = Part{value(), math.Inf(1)}
		if rng.IntN(2) == 0 {
			parts[i].Bears = 0.5 + rng.Float64()
		}
	}
	if rng.IntN(3) == 0 {
		q.Keep, q.KeepBears = value(), 0.5+rng.Float64()
	}
	if rng.IntN(3) == 0 {
		q.Within = 0.001 + rng.Float64()/2
	}
	if rng.IntN(3) == 0 {
		q.Flow = 1.2 * rng.Float64()
	}
	if rng.IntN(3) == 0 {
		q.Drop = 1.2 * rng.Float64() * q.Target
	}
	if rng.IntN(3) == 0 {
		q.Limit = func(n Network) float64 {
			sum := 0
			for _, p := range n.Parts() {
				sum += p*p%7 + 1
			}
			return q.Target*0.002 + float64(sum)*0.0003*q.Target
		}
		q.LimitFloor = float64(rng.IntN(2)) * 0.002
	}
	s, err := NewStock(parts)
	if err != nil {
		t.Fatal(err)
	}
	return s, q
}

func comparePick(t testing.TB, s *Stock, q Query) {
	t.Helper()
	got, err := s.Pick(t.Context(), q)
	if err != nil || !got.Proven {
		t.Fatalf("proven %v, error %v", got.Proven, err)
	}
	want := brutePick(s, q)
	if len(got.Choices) != len(want) {
		t.Fatalf("%d choices, want %d", len(got.Choices), len(want))
	}
	for i := range want {
		if got.Choices[i].Network != want[i].Network || got.Choices[i].Error != want[i].Error {
			t.Fatalf("choice %d: %v %.17g, want %v %.17g\nparts %v\nquery %+v", i, got.Choices[i].Network.Tree(), got.Choices[i].Error,
				want[i].Network.Tree(), want[i].Error, s.parts, q)
		}
	}
}

func TestPickAgainstBruteForce(t *testing.T) {
	for seed := range uint64(300) {
		s, q := randomQuery(t, rand.New(rand.NewPCG(seed, 2)))
		comparePick(t, s, q)
		if t.Failed() {
			t.Fatal("seed", seed)
		}
	}
}

func FuzzPick(f *testing.F) {
	f.Add(uint64(1), uint64(1))
	f.Add(uint64(1<<40), uint64(77))
	f.Fuzz(func(t *testing.T, a, b uint64) {
		s, q := randomQuery(t, rand.New(rand.NewPCG(a, b)))
		comparePick(t, s, q)
	})
}

func TestEach(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 5))
	for range 100 {
		s, q := randomQuery(t, rng)
		lo, hi := q.Target*0.8, q.Target*1.3
		want := map[Network]bool{}
		for _, n := range everyNetwork(s, q.Need) {
			if n.Value() >= lo && n.Value() <= hi {
				want[n] = true
			}
		}
		got := map[Network]bool{}
		err := s.Each(t.Context(), q.Need, lo, hi, func(n Network) bool {
			if got[n] || !want[n] {
				t.Errorf("%v twice or outside of the window", n.Tree())
			}
			got[n] = true
			return true
		})
		if err != nil || len(got) != len(want) {
			t.Fatalf("%d networks, want %d; error %v", len(got), len(want), err)
		}
	}
}

func TestPickDegenerate(t *testing.T) {
	equal := stockOf(t, slices.Repeat([]float64{100}, 5000)...)
	for _, c := range []struct {
		name  string
		stock *Stock
		need  Need
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
		got, err := c.stock.Pick(t.Context(), Query{Need: c.need, Top: c.top})
		if err != nil || !got.Proven || len(got.Choices) == 0 {
			t.Fatalf("%s: %d choices, proven %v, error %v", c.name, len(got.Choices), got.Proven, err)
		}
		n := got.Choices[0].Network
		if !slices.Equal(n.Parts(), c.parts) || math.Abs(n.Value()-c.value) > 1e-12*c.value {
			t.Errorf("%s: parts %v value %v, want %v and %v", c.name, n.Parts(), n.Value(), c.parts, c.value)
		}
		if d := time.Since(start); d > 10*time.Second {
			t.Errorf("%s took %v", c.name, d)
		}
	}
}

// Equal parts come in dictionary order, and the choice among 5000 is quick.
func TestPickTakesTheFirstOfEqualParts(t *testing.T) {
	for _, c := range []struct{ parts, top int }{{30, 200}, {5000, 60}, {5000, 300}} {
		s := stockOf(t, slices.Repeat([]float64{100}, c.parts)...)
		got, err := s.Pick(t.Context(), Query{Need: need(50, 2), Top: c.top})
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

func best(t testing.TB, s *Stock, n Need) float64 {
	t.Helper()
	got, err := s.Pick(t.Context(), Query{Need: n, Top: 1})
	if err != nil {
		t.Fatal(err)
	}
	if len(got.Choices) == 0 {
		return math.Inf(1)
	}
	return math.Abs(got.Choices[0].Error)
}

func TestPickProperties(t *testing.T) {
	rng := rand.New(rand.NewPCG(11, 4))
	for range 60 {
		values := make([]float64, 3+rng.IntN(20))
		for i := range values {
			values[i] = math.Exp(3 * rng.NormFloat64())
		}
		n := need(math.Exp(2*rng.NormFloat64()), 1+rng.IntN(4))
		e := best(t, stockOf(t, values...), n)
		if more := best(t, stockOf(t, append(slices.Clone(values), 1.5)...), n); more > e+1e-11 {
			t.Errorf("another part makes %v of %v", more, e)
		}
		shuffled := slices.Clone(values)
		rng.Shuffle(len(shuffled), func(i, j int) { shuffled[i], shuffled[j] = shuffled[j], shuffled[i] })
		if other := best(t, stockOf(t, shuffled...), n); math.Abs(other-e) > 1e-11 {
			t.Errorf("another order makes %v of %v", other, e)
		}
		scaled, big := slices.Clone(values), n
		big.Target *= 1024
		for i := range scaled {
			scaled[i] *= 1024
		}
		if other := best(t, stockOf(t, scaled...), big); other != e {
			t.Errorf("another unit makes %v of %v", other, e)
		}
	}
}

// Reciprocals of all values swap series and parallel: a network of value v
// becomes one of 1/v with the other operations.
func TestReciprocalsSwapSeriesAndParallel(t *testing.T) {
	rng := rand.New(rand.NewPCG(12, 4))
	for range 30 {
		values := make([]float64, 6)
		turned := make([]float64, 6)
		for i := range values {
			values[i] = math.Exp(2 * rng.NormFloat64())
			turned[i] = 1 / values[i]
		}
		seen := map[string]float64{}
		visit := func(swap bool) func(Network) bool {
			return func(n Network) bool {
				v, key := n.Value(), fmt.Sprint(dual(n.Tree(), swap))
				if swap {
					if math.Abs(v*seen[key]-1) > 1e-12 {
						t.Errorf("%s: %v and %v", key, v, seen[key])
					}
					delete(seen, key)
				} else {
					seen[key] = v
				}
				return true
			}
		}
		n := need(1, 4)
		if err := stockOf(t, values...).Each(t.Context(), n, 0.5, 2, visit(false)); err != nil {
			t.Fatal(err)
		}
		if err := stockOf(t, turned...).Each(t.Context(), n, 0.5, 2, visit(true)); err != nil || len(seen) > 0 {
			t.Fatalf("%d networks have no dual; error %v", len(seen), err)
		}
	}
}

func dual(t Tree, swap bool) Tree {
	if t.Op == Leaf || !swap {
		return t
	}
	out := Tree{Op: t.Op.Dual()}
	for _, o := range t.Of {
		out.Of = append(out.Of, dual(o, swap))
	}
	return out
}

func TestBadInput(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	for _, p := range [][]Part{nil, {{0, 1}}, {{-1, 1}}, {{nan, 1}}, {{inf, 1}}, {{1, 0}}, {{1, nan}}, {{1, -1}}, {{1e-200, 1}}, {{1e200, 1}}} {
		if _, err := NewStock(p); err == nil {
			t.Errorf("stock of %v: no error", p)
		}
	}
	s := stockOf(t, 1, 2, 3)
	good := need(3, 2)
	good.Within = 0.05
	for name, spoil := range map[string]func(*Query){
		"target 0": func(q *Query) { q.Target = 0 }, "target -1": func(q *Query) { q.Target = -1 },
		"target NaN": func(q *Query) { q.Target = nan }, "target Inf": func(q *Query) { q.Target = inf },
		"0 parts": func(q *Query) { q.AtMost = 0 }, "5 parts": func(q *Query) { q.AtMost = 5 },
		"top 0": func(q *Query) { q.Top = 0 }, "top too large": func(q *Query) { q.Top = MaxTop + 1 }, "window 0": func(q *Query) { q.Within = 0 }, "window NaN": func(q *Query) { q.Within = nan },
		"keep 0": func(q *Query) { q.Keep = 0 }, "keep bears 0": func(q *Query) { q.Keep = 1 },
		"flow -1": func(q *Query) { q.Flow = -1 }, "drop Inf": func(q *Query) { q.Drop = inf },
		"floor": func(q *Query) { q.Limit = func(Network) float64 { return 0 }; q.LimitFloor = nan },
	} {
		q := Query{Need: good, Top: 1}
		if _, err := s.Pick(t.Context(), q); err != nil {
			t.Fatal(err)
		}
		spoil(&q)
		if _, err := s.Pick(t.Context(), q); err == nil {
			t.Errorf("%s: no error", name)
		}
	}
	if err := s.Each(t.Context(), good, 2, 1, nil); err == nil {
		t.Error("empty window: no error")
	}
	if err := s.Each(t.Context(), Need{}, 1, 2, nil); err == nil {
		t.Error("zero need: no error")
	}
}

func TestPickCancelled(t *testing.T) {
	s := stockOf(t, randomValues(2000, 1)...)
	ctx, cancel := context.WithTimeout(t.Context(), 100*time.Millisecond)
	defer cancel()
	start := time.Now()
	got, err := s.Pick(ctx, Query{Need: need(1234.5, 4), Top: 3})
	if err != nil || got.Proven || len(got.Choices) != 3 {
		t.Errorf("%d choices, proven %v, error %v", len(got.Choices), got.Proven, err)
	}
	if d := time.Since(start); d > 3*time.Second {
		t.Errorf("asked to end after 100 ms, ended after %v", d)
	}
}

// randomValues spreads values over four decades.
func randomValues(n int, seed uint64) []float64 {
	rng := rand.New(rand.NewPCG(seed, 8))
	out := make([]float64, n)
	for i := range out {
		out[i] = math.Pow(10, 1+4*rng.Float64())
	}
	return out
}

// The largest lists of all: four parts of 2000 round a kept value, held against
// ratings, within a second or so, and many choices kept.
func TestMemoryStaysBounded(t *testing.T) {
	if os.Getenv("SHUNTWRIGHT_SLOW") == "" {
		t.Skip("takes a minute; set SHUNTWRIGHT_SLOW=1")
	}
	for _, c := range []struct{ n, top int }{{2000, 10}, {5000, 10}, {300, MaxTop}} {
		parts := make([]Part, c.n)
		for i, v := range randomValues(c.n, 3) {
			parts[i] = Part{v, 0.5 / math.Sqrt(v)}
		}
		s, err := NewStock(parts)
		if err != nil {
			t.Fatal(err)
		}
		q := Query{Need: need(4321.5, 4), Top: c.top}
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
