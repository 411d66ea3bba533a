package local

import (
	"cmp"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"shuntwright/match/matchtest"
	"shuntwright/match/network"
)

// TestBetween asks for windows of values and numbers of parts, one after the
// other, so that what was listed before serves again or is listed anew: it is
// all there is, ascending, and no more, the kept value alone too. Of parts of
// one value no more need be there than can be used.
func TestBetween(t *testing.T) {
	listed := 0
	for seed := range uint64(100) {
		rng := rand.New(rand.NewPCG(seed, 57))
		s, parts, p := drawn(t, rng, false)
		for i, n := range p.Needs {
			every := matchtest.Every(parts, n)
			for range 20 {
				fewest := s.shelves[i].fewest() + rng.IntN(2)
				most := fewest + rng.IntN(2)
				lo := n.Target * (0.3 + 1.2*rng.Float64())
				hi := lo * (1 + 0.5*rng.Float64())
				r, from, to, ok := s.between(i, fewest, most, lo, hi)
				if !ok {
					t.Fatalf("seed %d: too many of %d parts", seed, len(parts))
				}
				type kind struct {
					value float64
					size  int
				}
				var got, want []kind
				for _, net := range every {
					if v := net.Value(); net.Size() >= fewest && net.Size() <= min(most, n.AtMost) && v >= max(lo, s.shelves[i].lo) && v <= min(hi, s.shelves[i].hi) {
						want = append(want, kind{v, net.Size()})
					}
				}
				for k := from; k < to; k++ {
					if net := r.list[k]; net.Size() <= n.AtMost {
						got = append(got, kind{net.Value(), net.Size()})
					}
				}
				listed += len(got)
				by := func(a, b kind) int { return cmp.Or(cmp.Compare(a.value, b.value), a.size-b.size) }
				sorted := slices.IsSortedFunc(got, func(a, b kind) int { return cmp.Compare(a.value, b.value) })
				slices.SortFunc(want, by)
				slices.SortFunc(got, by)
				if !sorted || !slices.Equal(slices.Compact(got), slices.Compact(want)) {
					t.Fatalf("seed %d, slot %d from %v to %v, %d to %d parts: %v, want %v", seed, i, lo, hi, fewest, most, got, want)
				}
			}
		}
	}
	if listed < 2000 {
		t.Errorf("only %d networks", listed)
	}
}

// TestSpans: the least and the greatest of every run are those of looking at each.
func TestSpans(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 58))
	for n := 1; n < 40; n++ {
		const count = 2
		of := make([]float64, n*count)
		for i := range of {
			of[i] = rng.NormFloat64()
		}
		s := newSpans(of, count)
		least, most := make([]float64, count), make([]float64, count)
		for from := range n {
			for to := from + 1; to <= n; to++ {
				s.of(from, to, least, most)
				for k := range count {
					lo, hi := math.Inf(1), math.Inf(-1)
					for j := from; j < to; j++ {
						lo, hi = min(lo, of[j*count+k]), max(hi, of[j*count+k])
					}
					if least[k] != lo || most[k] != hi {
						t.Fatalf("%d from %d to %d: %v to %v, want %v to %v", n, from, to, least[k], most[k], lo, hi)
					}
				}
			}
		}
	}
}

// rackOf holds so many series of parts of whole values.
func rackOf(rng *rand.Rand, n int) *rack {
	r := &rack{}
	for range n {
		var l network.Leaves
		var net network.Network
		for i := range 1 + rng.IntN(network.MaxParts) {
			l.Values, l.Bears = append(l.Values, float64(1+rng.IntN(5))), append(l.Bears, 1)
			net = l.Join(network.Series, net, l.Part(i))
		}
		r.list = append(r.list, net)
	}
	slices.SortFunc(r.list, network.ByValue)
	r.count()
	return r
}

// held are the places of the networks that a view has.
func (v *view) held() (out []int) {
	for k := v.from; k < v.to; k++ {
		if v.of.list[k].Size() <= v.most {
			out = append(out, k)
		}
	}
	return out
}

// TestViews: a view of listed networks is cut in two that together have what it
// had, is trimmed to what is good and to no more parts than are allowed, and
// its bounds are those of what it has.
func TestViews(t *testing.T) {
	for seed := range matchtest.Seeds(500) {
		rng := rand.New(rand.NewPCG(seed, 59))
		v := view{most: 1 + rng.IntN(network.MaxParts)}
		if !v.list(rackOf(rng, 2+rng.IntN(12)), 0, 2) || len(v.held()) == 0 {
			continue
		}
		v.list(v.of, 0, len(v.of.list))
		checkView(t, seed, &v)
		held := v.held()
		if lower, upper, ok := v.parts(); ok && v.to-v.from > 1 {
			if got := append(lower.held(), upper.held()...); !slices.Equal(got, held) {
				t.Errorf("seed %d: %v is cut into %v", seed, held, got)
			}
		}
		few := v
		most := 1 + rng.IntN(network.MaxParts)
		if ok := few.allow(most); ok != slices.ContainsFunc(held, func(k int) bool { return v.of.list[k].Size() <= most }) {
			t.Errorf("seed %d: with up to %d parts of %v: %v", seed, most, held, ok)
		} else if ok {
			checkView(t, seed, &few)
		}
		upper, edge := rng.IntN(2) == 0, v.lo+(v.hi-v.lo)*rng.Float64()
		good := func(x float64) bool { return upper == (x < edge) || x == edge }
		want := slices.DeleteFunc(slices.Clone(held), func(k int) bool { return !good(v.of.list[k].Value()) })
		cut := v
		if _, ok := cut.trim(upper, good); ok != (len(want) > 0) || ok && !slices.Equal(cut.held(), want) {
			t.Errorf("seed %d: %v trimmed to %v, %v; want %v", seed, held, cut.held(), ok, want)
		}
	}
}

func checkView(t *testing.T, seed uint64, v *view) {
	t.Helper()
	fewest, lo, hi := network.MaxParts, math.Inf(1), math.Inf(-1)
	for _, k := range v.held() {
		fewest, lo, hi = min(fewest, v.of.list[k].Size()), min(lo, v.of.list[k].Value()), max(hi, v.of.list[k].Value())
	}
	if v.fewest > fewest || v.lo != lo || v.hi != hi {
		t.Errorf("seed %d: from %v to %v of %d parts; want %v to %v of %d", seed, v.lo, v.hi, v.fewest, lo, hi, fewest)
	}
}

// TestTrimUnlisted: of a window that is not listed nothing good is cut off, and
// of what is bad little stays.
func TestTrimUnlisted(t *testing.T) {
	for seed := range uint64(200) {
		rng := rand.New(rand.NewPCG(seed, 60))
		v := view{lo: 10, hi: 10 + 90*rng.Float64(), fewest: 1, most: 2}
		edge, upper, width := v.lo+(v.hi-v.lo)*rng.Float64(), rng.IntN(2) == 0, v.hi-v.lo
		moved, ok := v.trim(upper, func(x float64) bool { return upper == (x < edge) || x == edge })
		end := v.hi
		if !upper {
			end = v.lo
		}
		beyond := end - edge
		if !upper {
			beyond = -beyond
		}
		if !ok || beyond < 0 || beyond > width/4000 || moved != ((width-(v.hi-v.lo))*notable > width) {
			t.Errorf("seed %d: ends at %v, want just beyond %v; moved %v", seed, end, edge, moved)
		}
	}
}
