package branch_test

import (
	"context"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"shuntwright/match"
	"shuntwright/match/branch"
	"shuntwright/match/matchtest"
)

// doubts are limits by the GUM's rule with weights that stay: each candidate
// has what is its own and what it shares with all others, with a sign. The
// coverage factor falls where one of them dominates, as in EA-4/02.
type doubts struct {
	own, shared [][]float64 // of each slot's candidates
	weights     [][]float64 // of each range by slot, signed
	common      float64     // shared by all ranges
	blind       bool        // floor says nothing
}

func (d *doubts) Limits(dst []float64, chosen []int) {
	for r := range dst {
		least, most := make([]float64, len(chosen)), make([]float64, len(chosen))
		shared := d.common
		for s, c := range chosen {
			if c >= 0 {
				least[s] = math.Abs(d.weights[r][s] * d.own[s][c])
				shared += d.weights[r][s] * d.shared[s][c]
			}
		}
		copy(most, least)
		dst[r] = combine(append(least, math.Abs(shared)), append(most, math.Abs(shared)))
	}
}

func (d *doubts) Floor(r int, box *match.Box) float64 {
	if d.blind {
		return 0
	}
	var least, most []float64
	lo, hi := d.common, d.common
	for s, w := range d.weights[r] {
		if w == 0 {
			continue
		}
		least, most = append(least, math.Abs(w)*box.Least[s][0]), append(most, math.Abs(w)*box.Most[s][0])
		a, b := w*box.Least[s][1], w*box.Most[s][1]
		lo, hi = lo+min(a, b), hi+max(a, b)
	}
	return combine(append(least, max(0, lo, -hi)), append(most, max(-lo, hi)))
}

// combine bounds the limit of sources that lie between least and most from below.
func combine(least, most []float64) float64 {
	square := 0.0
	for _, x := range least {
		square += x * x
	}
	factor := 1.96
	for i, x := range most {
		if square-least[i]*least[i] <= 0.09*x*x {
			factor = 1.65
		}
	}
	return factor * math.Sqrt(square/3)
}

// doubtful gives every candidate of a problem doubts that come from its parts:
// some parts are known well, others badly.
func doubtful(rng *rand.Rand, p *branch.Problem, lists [][]matchtest.Candidate) *doubts {
	own, shared := make([]float64, p.Parts), make([]float64, p.Parts)
	for i := range own {
		own[i] = []float64{0.05, 1, 5}[rng.IntN(3)] * rng.Float64()
		shared[i] = []float64{0, 0.8, 3}[rng.IntN(3)]
	}
	d := &doubts{common: 8 * (rng.Float64() - 0.5), own: make([][]float64, len(lists)), shared: make([][]float64, len(lists))}
	for s, list := range lists {
		for i, c := range list {
			squares, sum := 0.0, 0.0
			for _, part := range c.Parts {
				squares += own[part] * own[part]
				sum += shared[part] / float64(len(c.Parts))
			}
			d.own[s], d.shared[s] = append(d.own[s], math.Sqrt(squares)), append(d.shared[s], sum)
			p.Slots[s][i].Attributes = []float64{d.own[s][i], sum}
		}
	}
	for r := range p.Ranges {
		row := make([]float64, len(lists))
		for s := range row {
			row[s] = float64(p.Response.Rising(r, s)) * rng.Float64()
		}
		d.weights = append(d.weights, row)
	}
	p.Limits = d
	return d
}

// TestSurestAgainstBruteForce holds the whole order of error plus limit against
// all choices there are, with floors and without any.
func TestSurestAgainstBruteForce(t *testing.T) {
	others := 0
	for seed := range uint64(300) {
		rng := rand.New(rand.NewPCG(seed, 11))
		c, values := random(rng, 2+rng.IntN(3), 3+rng.IntN(4))
		if seed%3 == 0 { // few slots with many candidates, so that windows of attributes are cut
			c, values = random(rng, 2, 9+rng.IntN(3))
		}
		p, lists := c.problem(values, 1+rng.IntN(2), 20+60*rng.Float64())
		d := doubtful(rng, &p, lists)
		d.blind = rng.IntN(4) == 0
		if rng.IntN(3) == 0 {
			p.Enough = 30 * rng.Float64()
		}
		want := matchtest.Best(lists, p.Ranges, p.Response, d.Limits, match.Order{Enough: p.Enough})
		got := solve(t, p)
		if !got.Proven || !got.Exact || !slices.Equal(got.Chosen, want.Chosen) {
			t.Errorf("seed %d: %v, proven %v, exact %v; want %v, which count %v", seed, got.Chosen, got.Proven, got.Exact, want.Chosen, want.Costs())
		}
		if costs := want.Costs(); len(costs) > 0 && (math.Abs(got.Worst-costs[0]) > 1e-9 || p.Enough == 0 && got.Bound != got.Worst) {
			t.Errorf("seed %d: worst %v, bound %v; want %v", seed, got.Worst, got.Bound, costs[0])
		}
		if !slices.Equal(want.Chosen, matchtest.Best(lists, p.Ranges, p.Response, nil, match.Order{Enough: p.Enough}).Chosen) {
			others++
		}
	}
	if others < 30 {
		t.Errorf("only %d of 300 surest plans differ from the one that looks best", others)
	}
}

// TestSurestInterrupted wants an honest bound wherever the context ends.
func TestSurestInterrupted(t *testing.T) {
	p, lists := ringOf6.problem(drawerFor(ringOf6, 1, 13, 0.4), 2, 60)
	doubtful(rand.New(rand.NewPCG(4, 4)), &p, lists)
	full := solve(t, p)
	if !full.Exact {
		t.Fatalf("%+v", full)
	}
	last := branch.Answer{Worst: math.Inf(1)}
	for looks := 0; !last.Proven; looks += 1 + looks/4 {
		a, err := branch.Solve(&limited{context.Background(), looks}, p)
		if err != nil {
			t.Fatal(err)
		}
		if a.Bound > full.Worst || a.Worst < full.Worst || a.Worst > last.Worst || a.Bound < last.Bound || a.Proven != (a.Bound == a.Worst) {
			t.Errorf("%d looks: worst %v, bound %v after %v, %v; optimum %v", looks, a.Worst, a.Bound, last.Worst, last.Bound, full.Worst)
		}
		if looks > 1_000_000 {
			t.Fatal("never proven")
		}
		last = a
	}
}

// BenchmarkSurest asks for the surest plan of the published drawers, each part
// with doubts of its own.
func BenchmarkSurest(b *testing.B) {
	for _, name := range instances[:len(instances)-1] {
		b.Run(name, func(b *testing.B) {
			p, lists, _ := read(b, name)
			doubtful(rand.New(rand.NewPCG(1, 13)), &p, lists)
			var a branch.Answer
			for b.Loop() {
				a = solve(b, p)
			}
			b.ReportMetric(a.Worst-a.Bound, "gap%")
			b.ReportMetric(float64(a.Work), "evaluations/op")
		})
	}
}
