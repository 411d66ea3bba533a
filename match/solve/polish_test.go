package solve

import (
	"context"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"shuntwright/match"
	"shuntwright/match/enumerate"
	"shuntwright/match/matchtest"
	"shuntwright/match/network"
	"shuntwright/match/objective"
)

// Where the time is up at once, no position can be refitted from the free parts to come earlier, and no two of one circuit by networks of
// up to two parts.
func TestRefitsBetterNothing(t *testing.T) {
	for _, exact := range []bool{false, true} {
		checkRefits(t, exact)
	}
}

func checkRefits(t *testing.T, exact bool) {
	ended, cancel := context.WithCancel(t.Context())
	cancel()
	unproven := 0
	for seed := range uint64(200) {
		rng := rand.New(rand.NewPCG(seed, 35))
		s, p := drawMeter(t, rng)
		if seed%3 == 0 {
			s, p = randomProblem(t, rng, false)
			p = resolved(p, rng)
		}
		if exact {
			p.Resolution = 0
		}
		got, err := Plan(ended, s, p)
		if err != nil || got.End != match.Interrupted || got.Proven {
			t.Fatalf("seed %d: %v, error %v", seed, got.End, err)
		}
		if better := refits(s, p, got.Networks); better != nil {
			t.Fatalf("seed %d, exact %v: %v bettered by %v", seed, exact, words(got.Networks), words(better))
		}
		if first, _ := Plan(t.Context(), s, p); first.Key.Compare(&got.Key) < 0 {
			unproven++
		}
	}
	if unproven < 2 {
		t.Errorf("only %d plans were not the first ones", unproven)
	}
}

func words(nets []network.Network) (out [][]int) {
	for _, n := range nets {
		out = append(out, n.Parts())
	}
	return out
}

// refits tries all networks in one position, and in two of one circuit, and returns a plan that comes earlier.
func refits(s *enumerate.Stock, p match.Problem, nets []network.Network) []network.Network {
	all := make([][]network.Network, len(nets))
	for i, n := range p.Needs {
		for _, net := range matchtest.Every(s.Parts(), n) {
			if math.Abs(net.Value()/n.Target-1) <= n.Within {
				all[i] = append(all[i], net)
			}
		}
	}
	for i := range nets {
		for _, n := range all[i] {
			if trial := with(nets, i, n); earlier(p, trial, nets) {
				return trial
			}
		}
	}
	for _, circuit := range objective.New(context.Background(), s, p).Circuits() {
		for _, i := range circuit {
			for _, k := range circuit {
				for _, n := range all[i] {
					for _, m := range all[k] {
						if trial := with(with(nets, i, n), k, m); i < k && n.Size() <= 2 && m.Size() <= 2 && earlier(p, trial, nets) {
							return trial
						}
					}
				}
			}
		}
	}
	return nil
}

func with(nets []network.Network, i int, n network.Network) []network.Network {
	out := slices.Clone(nets)
	out[i] = n
	return out
}

// earlier tells by the words of the order whether plan a, which may take parts twice, comes before plan b.
func earlier(p match.Problem, a, b []network.Network) bool {
	used := map[int]bool{}
	for _, n := range a {
		for _, part := range n.Parts() {
			if used[part] {
				return false
			}
			used[part] = true
		}
	}
	filledA, partsA, costsA := judge(p, a)
	filledB, partsB, costsB := judge(p, b)
	if filledA != filledB {
		return filledA > filledB
	}
	return matchtest.CompareByWords(p.Order(), costsA, costsB, partsA, partsB) < 0
}

func judge(p match.Problem, nets []network.Network) (filled, parts int, costs []float64) {
	values, costs := make([]float64, len(nets)), make([]float64, p.Ranges)
	for i, n := range nets {
		if values[i] = p.Needs[i].Target; !n.IsZero() {
			values[i] = n.Value()
			filled++
			parts += n.Size()
		}
	}
	p.Response.Errors(costs, values)
	for r := range costs {
		costs[r] = math.Abs(costs[r])
		for i, n := range nets {
			if n.IsZero() && p.Response.Rising(r, i) != 0 {
				costs[r] = math.NaN()
			}
		}
	}
	return filled, parts, costs
}
