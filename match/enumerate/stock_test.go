package enumerate_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"shuntwright/match"
	"shuntwright/match/enumerate"
	"shuntwright/match/matchtest"
	"shuntwright/match/network"
)

func newStock(t *testing.T, values ...float64) *enumerate.Stock {
	t.Helper()
	s, err := enumerate.NewStock(matchtest.Parts(values))
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// draw makes a stock with equal parts, and a need.
func draw(t *testing.T, rng *rand.Rand) (*enumerate.Stock, match.Need) {
	values := make([]float64, 3+rng.IntN(5))
	for i := range values {
		values[i] = []float64{10, 22, 47}[rng.IntN(3)]
	}
	n := matchtest.Need(5+60*rng.Float64(), 1+rng.IntN(3))
	if rng.IntN(4) == 0 {
		n.Keep, n.KeepBears = 33, math.Inf(1)
	}
	return newStock(t, values...), n
}

// valuesOf lists the different values.
func valuesOf(nets []network.Network) (values []float64) {
	for _, n := range nets {
		values = append(values, math.Round(n.Value()*1e9)/1e9) // the same sums in another order
	}
	slices.Sort(values)
	return slices.Compact(values)
}

func networksOf(got match.Picked) (nets []network.Network) {
	for _, c := range got.Choices {
		nets = append(nets, c.Network)
	}
	return nets
}

// All networks are selected, and of equal ones at least one; those of a plan
// take the first parts only.
func TestSelection(t *testing.T) {
	fewer := 0
	for seed := range uint64(300) {
		s, n := draw(t, rand.New(rand.NewPCG(seed, 1)))
		want := matchtest.Every(s.Parts(), n)
		all := networksOf(s.All().Nearest(t.Context(), n, 0, 100000))
		few := networksOf(s.Few(n.AtMost).Nearest(t.Context(), n, 0, 100000))
		if len(all) != len(want) || !slices.Equal(valuesOf(all), valuesOf(want)) {
			t.Fatalf("seed %d: %d networks, want %d", seed, len(all), len(want))
		}
		if !slices.Equal(valuesOf(few), valuesOf(want)) {
			t.Fatalf("seed %d: the values %v, want %v", seed, valuesOf(few), valuesOf(want))
		}
		if len(few) < len(all) {
			fewer++
		}
		for _, net := range few {
			if !neighbours(s.Parts(), net.Parts(), n.AtMost) {
				t.Fatalf("seed %d: %v of equal parts", seed, net.Parts())
			}
		}
	}
	if fewer < 100 {
		t.Errorf("hardly tested: %d", fewer)
	}
}

// neighbours reports whether of equal parts those are taken that follow one
// another, and none that has as many before it as are ever taken.
func neighbours(parts []match.Part, taken []int, most int) bool {
	last := map[match.Part]int{}
	for _, p := range taken {
		place := 0
		for _, q := range parts[:p] {
			if q == parts[p] {
				place++
			}
		}
		if before, ok := last[parts[p]]; place >= most || ok && place != before+1 {
			return false
		}
		last[parts[p]] = place
	}
	return true
}

func TestNearest(t *testing.T) {
	s := newStock(t, 10, 20, 40).All()
	n := matchtest.Need(39, 2) // one part comes nearer
	n.Within = 0.5
	got := s.Nearest(t.Context(), n, 2, 1)
	if len(got.Choices) != 1 || !got.Proven || got.Choices[0].Network.Value() != 30 || got.Considered.Int64() != 9 {
		t.Errorf("%+v", got)
	}
	if lo, hi := s.Reach(n); lo != 19.5 || hi != 58.5 {
		t.Errorf("from %v to %v", lo, hi)
	}
	n.Within = math.Inf(1)
	if lo, hi := s.Reach(n); lo != 2 || hi != 200 { // five leaves at most
		t.Errorf("from %v to %v", lo, hi)
	}
	if s.Len() != 3 || s.Value(1) != 20 {
		t.Errorf("%d parts, the second %v", s.Len(), s.Value(1))
	}
}

// Between the limits of Between lies what the need then allows.
func TestBetween(t *testing.T) {
	for _, c := range [][2]float64{{1, 2}, {99, 99.0001}, {1e-9, 1e9}, {7, 7}} {
		lo, hi := matchtest.Need(5, 1).Between(c[0], c[1]).Span(1e-12, 1e12)
		if lo > c[0] || hi < c[1] || lo < c[0]-1e-11*c[1] || hi > c[1]*(1+1e-11) {
			t.Errorf("between %v: from %v to %v", c, lo, hi)
		}
	}
}
