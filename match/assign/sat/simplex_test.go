package sat

import (
	"math"
	"math/rand/v2"
	"testing"
)

// problem is a system as the test sees it.
type problem struct {
	columns   [][]entry
	bound     []float64
	equal     []bool
	forbidden []bool
}

func drawnRelaxed(rng *rand.Rand) problem {
	m, n := 1+rng.IntN(12), 1+rng.IntN(30)
	p := problem{columns: make([][]entry, n), forbidden: make([]bool, n)}
	for range m {
		p.bound = append(p.bound, float64(1+rng.IntN(3)))
		p.equal = append(p.equal, rng.IntN(2) == 0)
	}
	for j := range p.columns {
		for i := range m {
			if rng.IntN(4) == 0 {
				p.columns[j] = append(p.columns[j], entry{int32(i), float64(1 + rng.IntN(2))})
			}
		}
	}
	return p
}

func (p problem) system() *system { return newSystem(p.columns, p.bound, p.equal) }

// holds checks the solution that s offers.
func (p problem) holds(t *testing.T, s *system) {
	t.Helper()
	sum := make([]float64, len(p.bound))
	for j, c := range p.columns {
		v := s.share(int32(j))
		if v < -1e-6 || p.forbidden[j] && v > 1e-6 {
			t.Errorf("column %d is %v, forbidden %v", j, v, p.forbidden[j])
		}
		for _, e := range c {
			sum[e.row] += e.value * v
		}
	}
	for i, b := range p.bound {
		if sum[i] > b+1e-6 || p.equal[i] && sum[i] < b-1e-6 {
			t.Errorf("row %d is %v, bound %v, equal %v", i, sum[i], b, p.equal[i])
		}
	}
}

// refutes checks the proof that there is no solution.
func (p problem) refutes(t *testing.T, s *system) {
	t.Helper()
	right := 0.0
	for i, b := range p.bound {
		if !p.equal[i] && s.ray[i] < -1e-6 {
			t.Errorf("inequality %d has the factor %v", i, s.ray[i])
		}
		right += s.ray[i] * b
	}
	if right > -1e-9 {
		t.Errorf("the sum of the right-hand sides is %v", right)
	}
	for j, c := range p.columns {
		sum := 0.0
		for _, e := range c {
			sum += s.ray[e.row] * e.value
		}
		if !p.forbidden[j] && sum < -1e-6 {
			t.Errorf("column %d has the coefficient %v", j, sum)
		}
	}
}

// TestProofs asks systems again and again with other columns forbidden; each
// answer carries its own proof.
func TestProofs(t *testing.T) {
	count := map[result]int{}
	for seed := range uint64(400) {
		rng := rand.New(rand.NewPCG(seed, 1))
		p := drawnRelaxed(rng)
		s := p.system()
		for step := range 40 {
			for range 3 {
				j := rng.IntN(len(p.columns))
				p.forbidden[j] = !p.forbidden[j]
				s.forbidden[j] = p.forbidden[j]
			}
			result := s.solve(func() bool { return false })
			count[result]++
			switch result {
			case feasible:
				p.holds(t, s)
			case infeasible:
				p.refutes(t, s)
			}
			if t.Failed() {
				t.Fatalf("seed %d, step %d", seed, step)
			}
		}
	}
	if count[lost] > 0 || count[feasible] < 1000 || count[infeasible] < 1000 {
		t.Errorf("feasible, infeasible, lost: %d, %d, %d", count[feasible], count[infeasible], count[lost])
	}
}

// TestInvert spoils the numbers on purpose: the next answer must come from a
// fresh inverse.
func TestInvert(t *testing.T) {
	for seed := range uint64(200) {
		rng := rand.New(rand.NewPCG(seed, 2))
		p := drawnRelaxed(rng)
		s := p.system()
		never := func() bool { return false }
		before := s.solve(never)
		for i := range s.value {
			s.value[i] += rng.Float64() + 0.1
			for k := range s.inverse[i] {
				s.inverse[i][k] += 0.1 * rng.Float64()
			}
		}
		if after := s.solve(never); after != before {
			t.Fatalf("seed %d: %v became %v", seed, before, after)
		} else if after == feasible {
			p.holds(t, s)
		} else {
			p.refutes(t, s)
		}
	}
}

// TestCareful follows the rule that cannot go round in circles all the way.
func TestCareful(t *testing.T) {
	for seed := range uint64(200) {
		p := drawnRelaxed(rand.New(rand.NewPCG(seed, 3)))
		s := p.system()
		want := p.system().solve(func() bool { return false })
		s.solve(func() bool { return true }) // knows what is free
		s.reset()
		got := lost
		for range 10000 {
			r, up := s.leaving(true)
			if r < 0 {
				got = feasible
				break
			}
			j := s.entering(r, up, true)
			if j < 0 {
				got = infeasible
				break
			}
			s.pivot(r, j)
		}
		if got != want {
			t.Fatalf("seed %d: %v, want %v", seed, got, want)
		}
	}
}

func TestStop(t *testing.T) {
	n := 60
	p := problem{columns: make([][]entry, n), forbidden: make([]bool, n)}
	for i := range n {
		p.bound, p.equal = append(p.bound, 1), append(p.equal, true)
		p.columns[i] = []entry{{int32(i), 1}, {int32((i + 1) % n), math.Sqrt2}}
	}
	if got := p.system().solve(func() bool { return true }); got != lost {
		t.Errorf("got %v although told to stop", got)
	}
}
