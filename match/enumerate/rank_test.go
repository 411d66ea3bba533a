package enumerate

import (
	"cmp"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"shuntwright/match/network"
)

// ones are so many parts of value 1.
func ones(n int) *network.Leaves {
	l := &network.Leaves{}
	for range n {
		l.Values, l.Bears = append(l.Values, 1), append(l.Bears, math.Inf(1))
	}
	return l
}

// With as many near ties as one likes, in any order and thinned out at every
// offer, the ranking must be that of all scores written down and sorted.
func TestRankingWithNearTies(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 3))
	leaves := ones(40)
	for range 300 {
		scores := map[network.Network]float64{}
		var all []network.Network
		k := newRanking(criterion{UpTo: math.Inf(1), Target: 1, Within: 1, Top: 1 + rng.IntN(5), Limit: func(n network.Network) float64 { return scores[n] }})
		for _, i := range rng.Perm(40) {
			n := leaves.Part(i)
			if rng.IntN(4) == 0 && i > 0 { // of value 2, hence an error of 1
				n = leaves.Join(network.Series, leaves.Part(0), n)
			}
			scores[n] = float64(rng.IntN(12)) * 0.3e-11
			all = append(all, n)
			k.sizeUp = 1 // thin at every offer
			if lo, hi := k.Window(); lo > 1 || hi < 1 {
				t.Fatalf("window %v to %v leaves out the target", lo, hi)
			}
			k.Offer(n)
		}
		want := obvious(all, func(n network.Network) float64 { return n.Value() - 1 + scores[n] })
		for i, got := range k.first() {
			if got.Network != want[i] || got.Error != want[i].Value()-1 {
				t.Fatalf("choice %d is %v, want %v", i, got.Network.Parts(), want[i].Parts())
			}
		}
		if len(k.first()) != k.rule.Top {
			t.Fatalf("%d choices of %d", len(k.first()), k.rule.Top)
		}
	}
}

// obvious sorts by score, groups from the smallest on, and sorts the groups.
func obvious(all []network.Network, score func(network.Network) float64) []network.Network {
	slices.SortFunc(all, func(a, b network.Network) int { return cmp.Compare(score(a), score(b)) })
	var out []network.Network
	for len(all) > 0 {
		least := score(all[0])
		n := len(slices.DeleteFunc(slices.Clone(all), func(x network.Network) bool { return score(x) >= least+Equal }))
		slices.SortFunc(all[:n], network.Compare)
		out, all = append(out, all[:n]...), all[n:]
	}
	return out
}

func TestWindowShrinks(t *testing.T) {
	leaves := &network.Leaves{Values: []float64{103, 98, 101}, Bears: []float64{1, 1, 1}}
	k := newRanking(criterion{UpTo: math.Inf(1), Target: 100, Within: 0.05, Top: 1})
	for i, want := range []float64{0.05, 0.03, 0.02, 0.01} {
		if lo, hi := k.Window(); math.Abs(lo-100*(1-want)) > 1e-8 || math.Abs(hi-100*(1+want)) > 1e-8 {
			t.Errorf("after %d networks: %v to %v, want ±%v", i, lo, hi, want)
		}
		if i < 3 {
			k.Offer(leaves.Part(i))
		}
	}
	if got := k.first(); len(got) != 1 || got[0].Error != 0.01 {
		t.Errorf("%+v", got)
	}
}

func TestWindowKnowsTheLimitFloor(t *testing.T) {
	leaves := ones(2)
	k := newRanking(criterion{UpTo: math.Inf(1), Target: 1, Within: 0.5, Top: 1, Limit: func(network.Network) float64 { return 0.03 }, LimitFloor: 0.02})
	k.Offer(leaves.Part(0))
	if lo, hi := k.Window(); math.Abs(lo-0.99) > 1e-9 || math.Abs(hi-1.01) > 1e-9 {
		t.Errorf("%v to %v, want 0.99 to 1.01", lo, hi)
	}
}

func TestRankingLeavesOut(t *testing.T) {
	leaves := &network.Leaves{Values: []float64{100, 90, 80}, Bears: []float64{1, 1, 1}}
	k := newRanking(criterion{UpTo: math.Inf(1), Target: 100, Within: 0.15, Top: 5, Wanted: func(n network.Network) bool { return n.Value() != 100 }})
	for i := range 3 {
		k.Offer(leaves.Part(i))
	}
	if got := k.first(); len(got) != 1 || got[0].Network != leaves.Part(1) {
		t.Errorf("%+v", got)
	}
}
