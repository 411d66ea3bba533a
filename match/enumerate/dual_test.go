package enumerate

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"shuntwright/match/network"
)

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
		visit := func(swap bool) func(network.Network) {
			return func(n network.Network) {
				v, key := n.Value(), fmt.Sprint(dual(n.Tree(), swap))
				if swap {
					if math.Abs(v*seen[key]-1) > 1e-12 {
						t.Errorf("%s: %v and %v", key, v, seen[key])
					}
					delete(seen, key)
				} else {
					seen[key] = v
				}
			}
		}
		n := need(1, 4)
		each(stockOf(t, values...), n, 0.5, 2, visit(false))
		each(stockOf(t, turned...), n, 0.5, 2, visit(true))
		if len(seen) > 0 {
			t.Fatalf("%d networks have no dual", len(seen))
		}
	}
}

func dual(t network.Tree, swap bool) network.Tree {
	if t.Op == network.Leaf || !swap {
		return t
	}
	out := network.Tree{Op: t.Op.Dual()}
	for _, o := range t.Of {
		out.Of = append(out.Of, dual(o, swap))
	}
	return out
}
