package branch_test

import (
	"context"
	"math"
	"math/rand/v2"
	"runtime"
	"slices"
	"strings"
	"testing"

	"shuntwright/match"
	"shuntwright/match/branch"
	"shuntwright/match/matchtest"
)

func solve(t testing.TB, p branch.Problem) branch.Answer {
	t.Helper()
	a, err := branch.Solve(context.Background(), p)
	if err != nil {
		t.Fatal(err)
	}
	return a
}

// ringOf8 has neighbours so close that windows hardly cut one another: slow to
// prove. ringOf6 is quicker.
var (
	ringOf8 = circuits{amperes: 1e-3, ohms: 100, ring: []float64{2e-3, 4e-3, 8e-3, 16e-3, 32e-3, 64e-3, 128e-3, 256e-3}}
	ringOf6 = circuits{amperes: 1e-3, ohms: 100, ring: []float64{2e-3, 5e-3, 10e-3, 20e-3, 50e-3, 100e-3}}
)

// drawerFor draws values within a factor of 10^spread of the targets, to four
// digits.
func drawerFor(c circuits, seed uint64, parts int, spread float64) []float64 {
	rng := rand.New(rand.NewPCG(seed, 3))
	var values []float64
	for i := range parts {
		targets := c.targets()
		v := targets[i%len(targets)] * math.Pow(10, spread*(2*rng.Float64()-1))
		digits := math.Pow(10, 3-math.Floor(math.Log10(v)))
		values = append(values, math.Round(v*digits)/digits)
	}
	return values
}

func TestNothingToChoose(t *testing.T) {
	a := solve(t, branch.Problem{Budget: 1})
	if !a.Proven || !a.Exact || !math.IsNaN(a.Worst) || !math.IsNaN(a.Bound) {
		t.Errorf("no slots, no ranges: %+v", a)
	}
	a = solve(t, branch.Problem{Parts: 2, Slots: [][]branch.Candidate{{}, {{Value: 3, Parts: []int32{1}}}}, Budget: 1})
	if a.Filled != 1 || !slices.Equal(a.Chosen, []int{-1, 0}) || !a.Exact {
		t.Errorf("slots without ranges: %+v", a)
	}
}

// fixed adds a range that no slot moves.
type fixed struct {
	*matchtest.Meter
	error float64
}

func (f fixed) Errors(dst, ohms []float64) {
	f.Meter.Errors(dst, ohms)
	dst[len(f.Targets)] = f.error
}

func (f fixed) ErrorOf(r int, ohms []float64) float64 {
	if r == len(f.Targets) {
		return f.error
	}
	return f.Meter.ErrorOf(r, ohms)
}

func (f fixed) Rising(r, s int) int {
	if r == len(f.Targets) {
		return 0
	}
	return f.Meter.Rising(r, s)
}

func TestRangeThatNothingMoves(t *testing.T) {
	c := circuits{amperes: 1e-3, ohms: 100, ring: []float64{2e-3, 10e-3, 50e-3}}
	for _, e := range []float64{-80, -3, 0.001} {
		p, lists := c.problem(drawerFor(c, 1, 7, 0.3), 2, 60)
		p.Ranges, p.Response = 4, fixed{c.meter(), e}
		compare(t, p, lists)
	}
}

// TestOrderOfParts shuffles the drawer: errors and the number of parts must
// stay, though other indexes come first.
func TestOrderOfParts(t *testing.T) {
	c := circuits{amperes: 1e-3, ohms: 100, ring: []float64{3e-3, 10e-3, 30e-3}, chain: []float64{1, 5}, shunts: []float64{7e-3}}
	values := drawerFor(c, 5, 16, 0.3)
	copy(values[3:6], values[:3]) // equal parts
	p, _ := c.problem(values, 2, 60)
	want := solve(t, p)
	for seed := range uint64(5) {
		shuffled := slices.Clone(values)
		rand.New(rand.NewPCG(seed, 0)).Shuffle(len(shuffled), func(i, j int) { shuffled[i], shuffled[j] = shuffled[j], shuffled[i] })
		p, _ := c.problem(shuffled, 2, 60)
		got := solve(t, p)
		if a, b := magnitudes(got), magnitudes(want); !got.Exact || slices.CompareFunc(a, b, func(x, y float64) int { return int((x - y) / 1e-8) }) != 0 {
			t.Errorf("shuffle %d: errors %v; want %v", seed, a, b)
		}
	}
}

func magnitudes(a branch.Answer) []float64 {
	var list []float64
	for _, e := range a.Errors {
		list = append(list, math.Abs(e))
	}
	slices.Sort(list)
	return list
}

func TestSameAnswerOnAnyNumberOfCores(t *testing.T) {
	p, _ := ringOf8.problem(drawerFor(ringOf8, 2, 24, 0.4), 2, 60)
	p.Budget, p.Gap = 50_000, 100
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(1))
	one := solve(t, p)
	runtime.GOMAXPROCS(2)
	if two := solve(t, p); !slices.Equal(one.Chosen, two.Chosen) || one.Work != two.Work || one.Bound != two.Bound {
		t.Errorf("one core %+v, two cores %+v", one, two)
	}
}

// limited is a context that ends once it has been looked at so often.
type limited struct {
	context.Context
	looks int
}

func (l *limited) Err() error {
	if l.looks--; l.looks < 0 {
		return context.Canceled
	}
	return nil
}

func TestContextEnds(t *testing.T) {
	for seed := range uint64(4) {
		p, _ := ringOf6.problem(drawerFor(ringOf6, seed, 14, 0.4), 2, 60)
		full := solve(t, p)
		last := branch.Answer{Worst: math.Inf(1)}
		for looks := 0; !last.Proven; looks += 15 {
			a, err := branch.Solve(&limited{context.Background(), looks}, p)
			if err != nil {
				t.Fatal(err)
			}
			if a.Proven && a.Whole != 6 || a.Filled < max(5, last.Filled) || a.Proven != (a.Bound == a.Worst) || a.Exact && !a.Proven {
				t.Errorf("%d looks: %+v", looks, a)
			}
			if a.Bound > full.Worst || a.Worst < full.Worst || a.Worst > last.Worst || a.Bound < last.Bound {
				t.Errorf("%d looks: worst %v, bound %v after %v, %v; optimum %v", looks, a.Worst, a.Bound, last.Worst, last.Bound, full.Worst)
			}
			if looks > 10_000 {
				t.Fatal("never proven")
			}
			last = a
		}
	}
}

// TestContextEndsSoon counts evaluations after the end: a limit looked at too
// seldom is no limit.
func TestContextEndsSoon(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	p, _ := ringOf8.problem(drawerFor(ringOf8, 1, 20, 0.4), 2, 60)
	counted := &counter{Response: p.Response, at: 100_000, end: cancel}
	p.Response = counted
	if _, err := branch.Solve(ctx, p); err != nil {
		t.Fatal(err)
	}
	if over := counted.calls - counted.at; over < 0 || over > 300 {
		t.Errorf("%d evaluations after the context ended", over)
	}
}

// counter counts calls and does something at one of them.
type counter struct {
	match.Response
	calls, at int
	end       func()
}

func (c *counter) Errors(dst, ohms []float64) {
	if c.calls++; c.calls == c.at {
		c.end()
	}
	c.Response.Errors(dst, ohms)
}

func TestBudgetAndGap(t *testing.T) {
	p, _ := ringOf6.problem(drawerFor(ringOf6, 2, 24, 0.4), 2, 60)
	full := solve(t, p)
	p.Budget = 1000
	proven := solve(t, p)
	if !proven.Proven || proven.Exact || proven.Worst != full.Worst || proven.Work >= full.Work {
		t.Errorf("without a gap: worst %v, proven %v, exact %v after %d; want %v proven alone", proven.Worst, proven.Proven, proven.Exact, proven.Work, full.Worst)
	}
	p.Gap = full.Worst * 20
	gap := solve(t, p)
	if gap.Proven || gap.Worst-gap.Bound > p.Gap || gap.Bound > full.Worst || gap.Work >= proven.Work {
		t.Errorf("gap %v: worst %v, bound %v, proven %v after %d", p.Gap, gap.Worst, gap.Bound, gap.Proven, gap.Work)
	}
}

func TestProgress(t *testing.T) {
	p, _ := ringOf8.problem(drawerFor(ringOf8, 2, 56, 0.4), 2, 60)
	p.Budget = 1 // the worst error alone
	var seen []match.Progress
	p.Step = func(g match.Progress) { seen = append(seen, g) }
	a := solve(t, p)
	for i, g := range seen {
		if g.Bound > a.Worst || g.Worst < a.Worst-match.Equal || i > 0 && g.Bound < seen[i-1].Bound {
			t.Errorf("progress %+v after %+v; answer %v", g, seen[max(i-1, 0)], a.Worst)
		}
	}
	if len(seen) < 5 || seen[len(seen)-1].Bound != a.Worst {
		t.Errorf("%d reports, the last %+v", len(seen), seen[len(seen)-1])
	}
}

func TestRefused(t *testing.T) {
	c := circuits{amperes: 1e-3, ohms: 100, shunts: []float64{2e-3}}
	slot := func(list ...branch.Candidate) [][]branch.Candidate { return [][]branch.Candidate{list} }
	for want, change := range map[string]func(p *branch.Problem){
		"slot 0, candidate 0: value +Inf": func(p *branch.Problem) { p.Slots = slot(branch.Candidate{Value: math.Inf(1)}) },
		"attributes [NaN]":                func(p *branch.Problem) { p.Slots = slot(branch.Candidate{Attributes: []float64{math.NaN()}}) },
		"gives NaN % for range 0":         func(p *branch.Problem) { p.Response = fixed{circuits{}.meter(), math.NaN()} },
	} {
		p, _ := c.problem([]float64{90, 100}, 1, 60)
		change(&p)
		if _, err := branch.Solve(context.Background(), p); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("error %v; want %q", err, want)
		}
	}
}

// TestProblemIsLeftAlone holds the promise not to change what the caller owns.
func TestProblemIsLeftAlone(t *testing.T) {
	c := circuits{amperes: 1e-3, ohms: 100, ring: []float64{3e-3, 10e-3, 30e-3}}
	p, lists := c.problem(drawerFor(c, 5, 9, 0.3), 2, 60)
	solve(t, p)
	for s, slot := range p.Slots {
		for i, got := range slot {
			if got.Value != lists[s][i].Value || !slices.Equal(got.Parts, lists[s][i].Parts) {
				t.Fatalf("slot %d, candidate %d: %v; was %v", s, i, got, lists[s][i])
			}
		}
	}
}
