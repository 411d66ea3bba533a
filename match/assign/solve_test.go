package assign

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"time"

	"shuntwright/match/matchtest"
)

// drawn makes a problem too big for brute: every position has that many
// candidates of at most size parts. With levels > 0 costs are whole numbers
// below it.
func drawn(rng *rand.Rand, parts, positions, candidates, size, levels int) Problem {
	p := Problem{Parts: parts, Positions: make([][]Candidate, positions)}
	for i := range p.Positions {
		for range candidates {
			c := Candidate{Cost: rng.Float64() * 20}
			if levels > 0 {
				c.Cost = float64(rng.IntN(levels))
			}
			for range 1 + rng.IntN(size) {
				if part := int32(rng.IntN(parts)); !slices.Contains(c.Parts, part) {
					c.Parts = append(c.Parts, part)
				}
			}
			slices.Sort(c.Parts)
			p.Positions[i] = append(p.Positions[i], c)
		}
	}
	return p
}

func solve(t testing.TB, p Problem) Answer {
	t.Helper()
	a, err := Solve(t.Context(), p)
	if err != nil {
		t.Fatal(err)
	}
	return a
}

// said is an answer without regard to the order of candidates.
func said(p Problem, a Answer) string {
	text := fmt.Sprint(a.Filled, a.Worst, a.Bound, a.Proven, a.Exact)
	for i, j := range a.Chosen {
		if j >= 0 {
			text += fmt.Sprint(" ", p.Positions[i][j])
		} else {
			text += " open"
		}
	}
	return text
}

func TestSameAnswerWhateverTheOrder(t *testing.T) {
	for seed := range uint64(30) {
		rng := rand.New(rand.NewPCG(seed, 2))
		p := drawn(rng, 16, 9, 40, 2, []int{0, 3, 12}[seed%3])
		p.Enough = float64(seed % 2)
		want := said(p, solve(t, p))
		q := Problem{Parts: p.Parts, Enough: p.Enough}
		for _, list := range p.Positions {
			list = slices.Clone(list)
			rng.Shuffle(len(list), func(a, b int) { list[a], list[b] = list[b], list[a] })
			q.Positions = append(q.Positions, list)
		}
		if got := said(q, solve(t, q)); got != want {
			t.Errorf("seed %d:\n got %s\nwant %s", seed, got, want)
		}
	}
}

func TestSolveLeavesTheProblemAlone(t *testing.T) {
	p := drawn(rand.New(rand.NewPCG(1, 3)), 12, 6, 30, 3, 4)
	before := fmt.Sprint(p.Positions)
	solve(t, p)
	if fmt.Sprint(p.Positions) != before {
		t.Error("the candidates were changed")
	}
}

func TestBadInput(t *testing.T) {
	for want, c := range map[string]Candidate{
		"position 1, candidate 1: cost -0.5": {Cost: -0.5},
		"cost NaN":                           {Cost: math.NaN()},
		"cost +Inf":                          {Cost: math.Inf(1)},
		"at most 1024 points":                {Points: 1025},
	} {
		if _, err := Solve(t.Context(), Problem{Positions: [][]Candidate{{}, {{}, c}}}); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("error %v, want one with %q", err, want)
		}
	}
}

func TestNothingToFill(t *testing.T) {
	for _, p := range []Problem{{}, {Parts: 5}, {Positions: [][]Candidate{{}, nil}}, {Enough: 1, Positions: [][]Candidate{nil}}} {
		a := solve(t, p)
		if a.Filled != 0 || !math.IsNaN(a.Worst) || a.Bound != 0 || !a.Proven || !a.Exact || len(a.Chosen) != len(p.Positions) {
			t.Errorf("%+v: %+v", p, a)
		}
	}
}

// TestLargeSets has candidates of more parts than are looked up one subset at a
// time.
func TestLargeSets(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 5))
	for range matchtest.Seeds(200) {
		p := Problem{Parts: 14, Positions: make([][]Candidate, 3)}
		for i := range p.Positions {
			for range 6 {
				c := Candidate{Cost: float64(rng.IntN(4))}
				for part := range int32(14) {
					if rng.IntN(2) == 0 {
						c.Parts = append(c.Parts, part)
					}
				}
				p.Positions[i] = append(p.Positions[i], c)
			}
		}
		checkAgainstBrute(t, p)
	}
}

// TestLimit ends the search of a hard problem early: the answer must keep the
// rules, claim nothing, and its bound must hold.
func TestLimit(t *testing.T) {
	p, want := instance(t, "scarce-50-25")
	for _, limit := range []time.Duration{0, 5 * time.Millisecond, 50 * time.Millisecond} {
		ctx, cancel := context.WithTimeout(t.Context(), limit)
		start := time.Now()
		a, err := Solve(ctx, p)
		cancel()
		if err != nil {
			t.Fatal(err)
		}
		if took := time.Since(start); took > limit+10*time.Second {
			t.Errorf("limit %v: took %v", limit, took)
		}
		if a.Exact && limit == 0 {
			t.Error("exact without any time")
		}
		if !disjointParts(p, a.Chosen) || a.Filled != count(a.Chosen) || a.Filled > 0 && a.Worst != costs(p, a.Chosen, any)[0] {
			t.Errorf("limit %v: %+v", limit, a)
		}
		if a.Bound > want.Worst+1e-9 || a.Filled == len(p.Positions) && a.Bound > a.Worst || a.Proven && a.Bound != a.Worst {
			t.Errorf("limit %v: bound %v, worst %v; the smallest is %v", limit, a.Bound, a.Worst, want.Worst)
		}
	}
}

func TestProgress(t *testing.T) {
	p, _ := instance(t, "scarce-24-11")
	told, last := 0, Progress{Worst: math.Inf(1)}
	p.Step = func(x Progress) {
		if x.Bound > x.Worst || x.Filled < last.Filled || x.Bound < last.Bound || !disjointParts(p, x.Chosen) {
			t.Errorf("%+v after %+v", x, last)
		}
		told, last = told+1, x
	}
	if a := solve(t, p); told == 0 || last.Worst != a.Worst || last.Bound != a.Bound {
		t.Errorf("ended with %+v, answer %+v", last, a)
	}
}

// TestBigAndEasy has lists that are long but leave hardly anything to ask.
func TestBigAndEasy(t *testing.T) {
	for _, c := range []struct{ parts, positions, candidates, size, levels int }{
		{200, 8, 40000, 4, 0}, // candidates nobody needs
		{200, 8, 3000, 4, 1},  // all the same cost
		{60, 25, 500, 2, 5},   // many ties
		{30, 40, 300, 2, 0},   // more positions than parts
		{60, 60, 60, 1, 0},    // an assignment problem
	} {
		p := drawn(rand.New(rand.NewPCG(9, 9)), c.parts, c.positions, c.candidates, c.size, c.levels)
		start := time.Now()
		a := solve(t, p)
		if took := time.Since(start); !a.Exact || took > 30*time.Second || a.Filled != min(c.positions, c.parts) {
			t.Errorf("%+v: %v, %d filled, exact %v", c, took, a.Filled, a.Exact)
		}
	}
}

// FuzzSolve reads a small problem from bytes and compares with brute force.
func FuzzSolve(f *testing.F) {
	f.Add([]byte{0})
	f.Add([]byte("5 positions and a few parts that clash"))
	f.Add([]byte{7, 3, 2, 1, 9, 2, 3, 1, 9, 4, 3, 2, 9, 4, 255, 1, 1, 8, 1, 3, 2, 3, 1, 1, 9, 2})
	f.Fuzz(func(t *testing.T, data []byte) {
		next := func(n int) int {
			if len(data) == 0 {
				return 0
			}
			b := int(data[0])
			data = data[1:]
			return b % n
		}
		p := Problem{Parts: 1 + next(8), Positions: make([][]Candidate, 1+next(4)), Enough: float64(next(4)) / 2}
		for i := range p.Positions {
			for range next(8) {
				c := Candidate{Cost: float64(next(6)) + float64(next(4))*0.6e-9}
				mask := next(256)
				for part := range min(p.Parts, 8) {
					if mask>>part&1 != 0 {
						c.Parts = append(c.Parts, int32(part))
					}
				}
				p.Positions[i] = append(p.Positions[i], c)
			}
		}
		checkAgainstBrute(t, p)
	})
}
