package match

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"shuntwright/match/matchtest"
)

// linear is an invented response: the error of each range is the weighted sum
// of the slots' relative distances from their targets, in percent, plus a
// constant. Weights only of its own slot make separate positions.
type linear struct {
	targets []float64
	weights [][]float64
	offset  []float64
}

func (l *linear) Errors(dst, ohms []float64) {
	for r, w := range l.weights {
		sum := l.offset[r]
		for s, x := range w {
			if x != 0 {
				sum += float64(100 * x * (ohms[s]/l.targets[s] - 1))
			}
		}
		dst[r] = sum
	}
}

func (l *linear) Rising(r, s int) int {
	switch w := l.weights[r][s]; {
	case w > 0:
		return 1
	case w < 0:
		return -1
	}
	return 0
}

// randomProblem draws a stock and a problem small enough for brute force.
func randomProblem(t testing.TB, rng *rand.Rand, separate bool) (*Stock, Problem) {
	slots := 1 + rng.IntN(3)
	values := make([]float64, 2+rng.IntN([]int{0, 7, 6, 3}[slots]))
	for i := range values {
		values[i] = []float64{10, 12, 15, 22, 33, 47, 68, 100}[rng.IntN(8)]
		if rng.IntN(2) == 0 {
			values[i] *= 0.9 + 0.2*rng.Float64()
		}
	}
	response := &linear{}
	p := Problem{Response: response, Ranges: slots}
	for s := range slots {
		n := need(values[rng.IntN(len(values))]*(0.4+1.4*rng.Float64()), 1+rng.IntN(2))
		if slots < 3 && len(values) < 6 {
			n.AtMost += rng.IntN(2)
		}
		n.Within = 0.05 + rng.Float64()
		if n.AtMost == 1 && rng.IntN(4) == 0 {
			n.Keep, n.KeepBears = 20, math.Inf(1)
		}
		p.Needs = append(p.Needs, n)
		response.targets = append(response.targets, n.Target)
		response.weights = append(response.weights, make([]float64, slots))
		response.weights[s][s] = []float64{1, -1, 0.7}[rng.IntN(3)]
		response.offset = append(response.offset, 0)
	}
	if rng.IntN(3) == 0 { // a range that no slot moves
		p.Ranges++
		response.weights = append(response.weights, make([]float64, slots))
		response.offset = append(response.offset, 30*rng.Float64())
	}
	if !separate && slots > 1 {
		response.weights[rng.IntN(slots)][rng.IntN(slots)] = rng.Float64() - 0.5
	}
	if rng.IntN(2) == 0 {
		p.Enough = 20 * rng.Float64()
	}
	return stockOf(t, values...), p
}

// brutePlan tries every assignment of all networks in the windows.
func brutePlan(s *Stock, p Problem) (matchtest.Plan, [][]Network) {
	var nets [][]Network
	var slots [][]matchtest.Candidate
	for _, n := range p.Needs {
		var list []Network
		for _, net := range everyNetwork(s, n) {
			if math.Abs(net.Value()/n.Target-1) <= n.Within {
				list = append(list, net)
			}
		}
		var candidates []matchtest.Candidate
		for _, net := range list {
			set := net.Set()
			candidates = append(candidates, matchtest.Candidate{Value: net.Value(), Parts: set[:net.Size()]})
		}
		nets, slots = append(nets, list), append(slots, candidates)
	}
	return matchtest.Best(slots, p.Ranges, p.Response, p.Enough), nets
}

func comparePlan(t *testing.T, s *Stock, p Problem) {
	t.Helper()
	got, err := s.Plan(t.Context(), p)
	if err != nil || got.End != Exact || !got.Proven {
		t.Fatalf("%v, error %v", got.End, err)
	}
	checkPlan(t, s, p, got)
	want, nets := brutePlan(s, p)
	var costs []float64
	for _, e := range got.Errors {
		if !math.IsNaN(e) {
			costs = append(costs, math.Abs(e))
		}
	}
	slices.Sort(costs)
	slices.Reverse(costs)
	if !slices.EqualFunc(costs, want.Costs(), func(a, b float64) bool { return math.Abs(a-b) < 2e-9 }) {
		t.Fatalf("errors %v, want %v", costs, want.Costs())
	}
	for i, k := range want.Chosen {
		var parts []int
		if k >= 0 {
			parts = nets[i][k].Parts()
		}
		if got.Filled[i] != (k >= 0) || !slices.Equal(got.Networks[i].Parts(), parts) {
			t.Fatalf("position %d has parts %v, want %v", i, got.Networks[i].Parts(), parts)
		}
	}
	if got.Bound > got.Worst || p.Enough == 0 && got.Bound < got.Worst-1e-9 {
		t.Fatalf("bound %v, worst %v", got.Bound, got.Worst)
	}
}

func TestPlanAgainstBruteForce(t *testing.T) {
	for seed := range uint64(1000) {
		s, p := randomProblem(t, rand.New(rand.NewPCG(seed, 6)), seed%4 > 0)
		comparePlan(t, s, p)
		if t.Failed() {
			t.Fatal("seed", seed)
		}
	}
}

// Starting with very short lists must not change the answer.
func TestPlanGrowsItsLists(t *testing.T) {
	defer func(separate, coupled int) { listedFirst, coupledFirst = separate, coupled }(listedFirst, coupledFirst)
	listedFirst, coupledFirst = 1, 2
	TestPlanAgainstBruteForce(t)
	for _, name := range []string{"easy-40-6", "scarce-12-5", "scarce-20-9", "unfillable-12-7-three", "ring-12-3"} {
		t.Run(name, func(t *testing.T) { checkInstance(t, name) })
	}
}

// oneEdge is a response whose error grows quickly below the target and slowly
// above it: what is nearest in value is not what costs least.
type oneEdge struct{ linear }

func (o *oneEdge) Errors(dst, ohms []float64) {
	o.linear.Errors(dst, ohms)
	for r, e := range dst {
		if e < 0 {
			dst[r] = 40 * e
		}
	}
}

func TestPlanWithALopsidedResponse(t *testing.T) {
	defer func(n int) { listedFirst = n }(listedFirst)
	listedFirst = 2
	for seed := range uint64(200) {
		s, p := randomProblem(t, rand.New(rand.NewPCG(seed, 16)), true)
		p.Response = &oneEdge{*p.Response.(*linear)}
		comparePlan(t, s, p)
		if t.Failed() {
			t.Fatal("seed", seed)
		}
	}
}

func separateProblem(targets []float64, atMost int, within float64) Problem {
	r := &linear{targets: targets}
	p := Problem{Response: r, Ranges: len(targets)}
	for i, target := range targets {
		n := need(target, atMost)
		n.Within = within
		p.Needs = append(p.Needs, n)
		w := make([]float64, len(targets))
		w[i] = 1
		r.weights, r.offset = append(r.weights, w), append(r.offset, 0)
	}
	return p
}
