package matchtest_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"shuntwright/match"
	"shuntwright/match/matchtest"
	"shuntwright/match/network"
)

// divider is a sound response: two ranges that share slot 0, and one of slot 2
// alone.
type divider struct{}

func (divider) Errors(dst, ohms []float64) {
	dst[0] = (2*ohms[0]/(ohms[0]+ohms[1]) - 1) * 100
	dst[1] = (10/(ohms[0]+ohms[1]) - 1) * 100
	dst[2] = (ohms[2] - 1) * 100
}

func (divider) Rising(r, s int) int {
	return [3][3]int{{1, -1, 0}, {-1, -1, 0}, {0, 0, 1}}[r][s]
}

func sample(rng *rand.Rand) []float64 {
	return []float64{1 + rng.Float64(), 1 + rng.Float64(), 1 + rng.Float64()}
}

// broken changes a sound response in one way.
type broken struct {
	divider
	errors func(dst, ohms []float64)
	rising func(r, s int) int
}

func (b broken) Errors(dst, ohms []float64) {
	b.divider.Errors(dst, ohms)
	if b.errors != nil {
		b.errors(dst, ohms)
	}
}

func (b broken) Rising(r, s int) int {
	if b.rising != nil {
		return b.rising(r, s)
	}
	return b.divider.Rising(r, s)
}

// forgetful tells another error alone than among others.
type forgetful struct{ divider }

func (forgetful) ErrorOf(int, []float64) float64 { return 0 }

// recorder keeps what Check says.
type recorder struct{ said []string }

func (r *recorder) Helper() {}

func (r *recorder) Errorf(format string, args ...any) {
	r.said = append(r.said, fmt.Sprintf(format, args...))
}

func TestCheckTakesWhatIsSound(t *testing.T) {
	matchtest.Check(t, divider{}, 3, 3, sample, 500)
	matchtest.Check(t, plain{}, 0, 0, func(*rand.Rand) []float64 { return nil }, 3)
}

func TestCheckCatches(t *testing.T) {
	calls := 0.0
	for name, test := range map[string]struct {
		broken
		want string
	}{
		"a range left out":     {broken{errors: func(dst, _ []float64) { dst[1] = math.NaN() }}, "want it finite"},
		"infinity":             {broken{errors: func(dst, _ []float64) { dst[2] = math.Inf(-1) }}, "want it finite"},
		"a memory":             {broken{errors: func(dst, _ []float64) { calls++; dst[0] += calls }}, "at first and"},
		"ohms changed":         {broken{errors: func(_, ohms []float64) { ohms[1]++ }}, "ohms are changed"},
		"the wrong way":        {broken{rising: func(r, s int) int { return -divider{}.Rising(r, s) }}, "as the slot grows"},
		"moves though 0":       {broken{rising: func(r, s int) int { return 0 }}, "where Rising is 0"},
		"not monotone":         {broken{errors: func(dst, ohms []float64) { dst[2] = (ohms[2] - 1.5) * (ohms[2] - 1.5) }}, "as the slot grows"},
		"hardly but still":     {broken{errors: func(dst, ohms []float64) { dst[2] += 1e-7 * ohms[0] }}, "where Rising is 0"},
		"no sign":              {broken{rising: func(r, s int) int { return 2 }}, "want -1, 0 or +1"},
		"another range's dst":  {broken{errors: func(dst, _ []float64) { dst[0], dst[2] = dst[2], dst[0] }}, "moves by"},
		"not filled: last dst": {broken{errors: func(dst, _ []float64) { dst[0] = math.NaN() }}, "range 0"},
	} {
		var r recorder
		matchtest.Check(&r, test.broken, 3, 3, sample, 500)
		if len(r.said) != 1 || !strings.Contains(r.said[0], test.want) {
			t.Errorf("%s: said %q; want %q", name, r.said, test.want)
		}
	}
	var r recorder
	matchtest.Check(&r, forgetful{}, 3, 3, sample, 5)
	if len(r.said) != 1 || !strings.Contains(r.said[0], "among others and 0 alone") {
		t.Errorf("another error alone: said %q", r.said)
	}
	r = recorder{}
	matchtest.Check(&r, divider{}, 3, 2, sample, 1)
	if len(r.said) != 1 || !strings.Contains(r.said[0], "want 2") {
		t.Errorf("a sample that is too long: said %q", r.said)
	}
}

// TestNetworks counts networks: 1, 2, 8 and 52 a set of 1 to 4 labelled parts.
// Source: OEIS A006351.
func TestNetworks(t *testing.T) {
	values := []float64{1, 2, 5, 11, 23}
	for most, want := range []int{0, 5, 5 + 10*2, 5 + 10*2 + 10*8, 5 + 10*2 + 10*8 + 5*52} {
		if list := matchtest.Networks(values, most); len(list) != want {
			t.Errorf("%d networks of at most %d of 5 parts; want %d", len(list), most, want)
		}
	}
	list := matchtest.Networks([]float64{3, 6}, 2)
	want := []matchtest.Candidate{{Value: 2, Parts: []int32{0, 1}}, {Value: 3, Parts: []int32{0}}, {Value: 6, Parts: []int32{1}}, {Value: 9, Parts: []int32{0, 1}}}
	if fmt.Sprint(list) != fmt.Sprint(want) {
		t.Errorf("networks %v; want %v", list, want)
	}
	var three []float64
	for _, c := range matchtest.Networks([]float64{1, 2, 4}, 3) {
		if len(c.Parts) == 3 {
			three = append(three, c.Value)
		}
	}
	by := []float64{4.0 / 7, 6.0 / 7, 10.0 / 7, 12.0 / 7, 7.0 / 3, 14.0 / 3, 2.8, 7} // by hand: a||b||c, (a+b)||c three ways, a||b + c three ways, a+b+c
	slices.Sort(by)
	if !slices.EqualFunc(three, by, func(a, b float64) bool { return math.Abs(a-b) < 1e-12 }) {
		t.Errorf("three parts: %v; want %v", three, by)
	}
	if got := matchtest.Within(list, 4, 50); len(got) != 3 {
		t.Errorf("within 50 %% of 4: %v; want 2, 3 and 6", got)
	}
	if got := len(matchtest.Networks(make([]float64, 100), 2)); got != 100+2*4950 {
		t.Errorf("%d networks of at most two of 100 parts", got)
	}
}

// TestRound: a kept value is one more labelled leaf that every network has.
func TestRound(t *testing.T) {
	for most, want := range []int{1, 1 + 3*2, 1 + 3*2 + 3*8, 1 + 3*2 + 3*8 + 52} {
		if list := matchtest.Round([]float64{1, 2, 5}, 7, most); len(list) != want {
			t.Errorf("%d networks of at most %d of 3 parts round a value; want %d", len(list), most, want)
		}
	}
	list := matchtest.Round([]float64{3}, 6, 1)
	want := []matchtest.Candidate{{Value: 2, Parts: []int32{0}}, {Value: 6, Parts: []int32{}}, {Value: 9, Parts: []int32{0}}}
	if fmt.Sprint(list) != fmt.Sprint(want) {
		t.Errorf("networks %v; want %v", list, want)
	}
}

// TestCheckPlan: what is wrong with a plan is said.
func TestCheckPlan(t *testing.T) {
	p := match.Problem{Response: plain{}, Needs: []match.Need{matchtest.Need(10, 2), matchtest.Need(10, 2)}}
	l := network.Leaves{Values: []float64{11, 4, 5, 11}, Bears: []float64{1, 1, 1, 1}}
	nine, open := l.Join(network.Series, l.Part(1), l.Part(2)), network.Network{}
	off := func(v float64) float64 { return (v/10 - 1) * 100 }
	for _, test := range []struct {
		nets []network.Network
		errs []float64
		want int
	}{
		{[]network.Network{l.Part(0), nine}, []float64{off(11), off(9)}, 0},
		{[]network.Network{l.Part(0), open}, []float64{off(11), math.NaN()}, 0},
		{[]network.Network{l.Part(0), l.Part(0)}, []float64{off(11), off(11)}, 1},
		{[]network.Network{l.Part(3), open}, []float64{off(11), math.NaN()}, 1},
		{[]network.Network{l.Part(0), open}, []float64{10.5, math.NaN()}, 1},
	} {
		var r recorder
		worst := matchtest.CheckPlan(&r, p, 3, test.nets, test.errs)
		if len(r.said) != test.want {
			t.Errorf("%+v: said %q", test, r.said)
		}
		if test.want == 0 && math.Abs(worst-10) > 1e-9 {
			t.Errorf("%+v: worst %v", test, worst)
		}
	}
}

// TestDraw: separate problems have one slot a range, the others may not.
func TestDraw(t *testing.T) {
	for seed := range uint64(50) {
		_, p := matchtest.Draw(rand.New(rand.NewPCG(seed, 1)), true)
		matchtest.Check(t, p.Response, p.Ranges, len(p.Needs), func(rng *rand.Rand) []float64 {
			out := make([]float64, len(p.Needs))
			for i := range out {
				out[i] = 100 * (0.1 + rng.Float64())
			}
			return out
		}, 20)
		for r, w := range p.Response.(*matchtest.Linear).Weights {
			for s, x := range w {
				if x != 0 && r != s {
					t.Errorf("seed %d: range %d depends on slot %d", seed, r, s)
				}
			}
		}
	}
}

// plain is a response of separate slots: the error is what the value is off
// from 10, in percent of it.
type plain struct{}

func (plain) Errors(dst, ohms []float64) {
	for i, v := range ohms {
		dst[i] = (v/10 - 1) * 100
	}
}

func (plain) Rising(r, s int) int {
	if r == s {
		return 1
	}
	return 0
}

// TestBest has the order's rules one by one, each settled by hand.
func TestBest(t *testing.T) {
	c := func(value float64, parts ...int32) matchtest.Candidate {
		return matchtest.Candidate{Value: value, Parts: parts}
	}
	for _, test := range []struct {
		rule   string
		slots  [][]matchtest.Candidate
		enough float64
		want   []int
	}{
		{"filled before error", [][]matchtest.Candidate{{c(9, 1), c(10, 0)}, {c(11, 0)}}, 0, []int{0, 0}},
		{"worst before others", [][]matchtest.Candidate{{c(10, 0), c(11, 1)}, {c(11, 1), c(13, 0)}, {c(12, 2), c(14, 3)}}, 0, []int{0, 0, 0}},
		{"next worst", [][]matchtest.Candidate{{c(15, 0)}, {c(11, 2), c(12, 1)}}, 0, []int{0, 0}},
		{"equal within 1e-9, fewer parts", [][]matchtest.Candidate{{c(10.1, 0, 1), c(10.1+5e-11, 2)}}, 0, []int{1}},
		{"drawer order", [][]matchtest.Candidate{{c(9, 3), c(11, 1)}}, 0, []int{1}},
		{"open last", [][]matchtest.Candidate{{c(11, 0)}, {c(11, 0)}}, 0, []int{0, -1}},
		{"enough: fewer parts", [][]matchtest.Candidate{{c(10, 0, 1), c(10.2, 2)}}, 3, []int{1}},
		{"not enough", [][]matchtest.Candidate{{c(10, 0, 1), c(10.2, 2)}}, 1, []int{0}},
	} {
		got := matchtest.Best(test.slots, len(test.slots), plain{}, nil, match.Order{Enough: test.enough})
		if !slices.Equal(got.Chosen, test.want) {
			t.Errorf("%s: %v, errors %v; want %v", test.rule, got.Chosen, got.Errors, test.want)
		}
	}
}
