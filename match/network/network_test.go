package network

import (
	"fmt"
	"math"
	"math/big"
	"math/rand/v2"
	"slices"
	"testing"
)

// all builds every network of the labelled leaves in the set, by splitting the
// set into the operand with the smallest leaf and the rest, in every way.
func all(l *Leaves, set []int) map[Network]bool {
	out := map[Network]bool{}
	if len(set) == 1 {
		if set[0] == Kept {
			out[l.Kept()] = true
		} else {
			out[l.Part(set[0])] = true
		}
		return out
	}
	for mask := range 1<<(len(set)-1) - 1 {
		a, b := []int{set[0]}, []int{}
		for i, x := range set[1:] {
			if mask>>i&1 == 1 {
				a = append(a, x)
			} else {
				b = append(b, x)
			}
		}
		for x := range all(l, a) {
			for y := range all(l, b) {
				out[l.Join(Series, x, y)] = true
				out[l.Join(Parallel, y, x)] = true
			}
		}
	}
	return out
}

var leaves = &Leaves{Values: []float64{10, 22, 47, 3.3, 68}, Bears: []float64{1, 2, 3, 4, 5}, KeptValue: 5.6, KeptBearing: 7}

// Source: OEIS A006351: 1, 2, 8, 52, 472.
func TestNetworksPerSet(t *testing.T) {
	for n, want := range []int{1, 2, 8, 52} {
		set := []int{0, 1, 2, 3}[:n+1]
		if got := len(all(leaves, set)); got != want {
			t.Errorf("%d parts: %d networks, want %d", n+1, got, want)
		}
		if got := len(all(leaves, append([]int{Kept}, set...))); got != []int{2, 8, 52, 472}[n] {
			t.Errorf("kept value and %d parts: %d networks", n+1, got)
		}
	}
}

func TestCount(t *testing.T) {
	for _, c := range []struct {
		n, atMost int
		kept      bool
		want      string
	}{
		{0, 2, false, "0"}, {1, 4, false, "1"}, {200, 1, false, "200"},
		{200, 2, false, "40000"}, // command-line page: 200 parts singly and in pairs
		{1000, 3, false, "1330336000"}, {200, 4, false, "3374164600"}, {4, 9, false, "100"},
		{10000, 4, false, "21655002083230000"}, {-1, 2, false, "0"}, {5, -1, true, "0"},
		{0, 4, true, "1"}, {3, 0, true, "1"}, {3, 1, true, "7"}, {3, 2, true, "31"}, {4, 4, true, "737"},
		{1 << 40, 4, false, ""},
	} {
		got := Count(c.n, c.atMost, c.kept)
		if c.want != "" && got.String() != c.want {
			t.Errorf("Count(%d, %d, %v) = %v, want %s", c.n, c.atMost, c.kept, got, c.want)
		}
		if c.want == "" && got.Cmp(new(big.Int).Lsh(big.NewInt(2), 160)) < 0 {
			t.Errorf("Count(%d, %d, %v) = %v overflowed", c.n, c.atMost, c.kept, got)
		}
	}
}

// text writes a tree with brackets.
func text(t Tree) string {
	if t.Op == Leaf {
		return fmt.Sprint(t.Part)
	}
	s := "("
	for i, o := range t.Of {
		if i > 0 {
			s += map[Op]string{Series: "+", Parallel: "|"}[t.Op]
		}
		s += text(o)
	}
	return s + ")"
}

func (t Tree) eval(l *Leaves) (v, bears float64) {
	if t.Op == Leaf && t.Part == Kept {
		return l.KeptValue, l.KeptBearing
	}
	if t.Op == Leaf {
		return l.Values[t.Part], l.Bears[t.Part]
	}
	bears = math.Inf(1)
	for _, o := range t.Of {
		x, b := o.eval(l)
		if t.Op == Series {
			v, bears = v+x, min(bears, b)
		} else {
			v, bears = v+1/x, min(bears, b*x)
		}
	}
	if t.Op == Parallel {
		return 1 / v, bears * v
	}
	return v, bears
}

func (t Tree) canonical() error {
	last := Kept - 1
	for _, o := range t.Of {
		first := o
		for first.Op != Leaf {
			first = first.Of[0]
		}
		if o.Op == t.Op || first.Part <= last {
			return fmt.Errorf("operand %s of %s", text(o), text(t))
		}
		last = first.Part
		if err := o.canonical(); err != nil {
			return err
		}
	}
	return nil
}

func TestTreeIsCanonicalAndItsValueExact(t *testing.T) {
	for _, set := range [][]int{{0}, {1, 3}, {0, 2, 4}, {0, 1, 2, 3}, {Kept}, {Kept, 0, 1, 2, 3}} {
		seen := map[string]bool{}
		for n := range all(leaves, set) {
			tree := n.Tree()
			if err := tree.canonical(); err != nil {
				t.Error("not canonical:", err)
			}
			if v, b := tree.eval(leaves); v != n.Value() || b != n.Bears() {
				t.Errorf("%s: value %v bears %v, tree says %v and %v", text(tree), n.Value(), n.Bears(), v, b)
			}
			if seen[text(tree)] {
				t.Errorf("%s is two networks", text(tree))
			}
			seen[text(tree)] = true
			want := slices.DeleteFunc(slices.Clone(set), func(i int) bool { return i == Kept })
			if !slices.Equal(n.Parts(), want) || n.Size() != len(want) || n.HasKept() != (set[0] == Kept) {
				t.Errorf("%s has parts %v, size %d, kept %v; want %v", text(tree), n.Parts(), n.Size(), n.HasKept(), want)
			}
		}
	}
}

// Joining in any order and nesting gives the same network, to the last bit.
func TestJoinOrderDoesNotMatter(t *testing.T) {
	a, b, c, d := leaves.Part(3), leaves.Part(0), leaves.Part(2), leaves.Part(1)
	k := leaves.Kept()
	s, p := Series, Parallel
	for _, pair := range [][2]Network{
		{leaves.Join(s, leaves.Join(s, a, b), leaves.Join(s, c, d)), leaves.Join(s, d, leaves.Join(s, leaves.Join(s, b, c), a))},
		{leaves.Join(p, leaves.Join(s, a, b), c), leaves.Join(p, c, leaves.Join(s, b, a))},
		{leaves.Join(p, leaves.Join(s, a, b), leaves.Join(s, c, k)), leaves.Join(p, leaves.Join(s, k, c), leaves.Join(s, b, a))},
		{leaves.Join(s, Network{}, a), a}, {leaves.Join(p, a, Network{}), a},
	} {
		if pair[0] != pair[1] {
			t.Errorf("%s and %s differ", text(pair[0].Tree()), text(pair[1].Tree()))
		}
	}
}

func TestBears(t *testing.T) {
	// 10 (bears 1) in series with 22 (bears 2) bears 1; in parallel the drops are
	// 10 and 44, so 10 across 1/(1/10+1/22) = 6.875.
	if n := leaves.Join(Series, leaves.Part(0), leaves.Part(1)); n.Bears() != 1 || n.Value() != 32 {
		t.Errorf("series: bears %v at %v", n.Bears(), n.Value())
	}
	if n := leaves.Join(Parallel, leaves.Part(0), leaves.Part(1)); math.Abs(n.Bears()-10/6.875) > 1e-15 {
		t.Errorf("parallel: bears %v", n.Bears())
	}
}

func TestCompareIsATotalOrder(t *testing.T) {
	var nets []Network
	for _, set := range [][]int{{0}, {1}, {0, 1}, {0, 2}, {0, 1, 2}, {1, 2, 3}, {0, 1, 2, 3}} {
		for n := range all(leaves, set) {
			nets = append(nets, n)
		}
	}
	slices.SortFunc(nets, Compare)
	again := slices.Clone(nets)
	rand.Shuffle(len(again), func(i, j int) { again[i], again[j] = again[j], again[i] })
	slices.SortFunc(again, Compare)
	if !slices.Equal(nets, again) {
		t.Error("order depends on where sorting starts")
	}
	for i := 1; i < len(nets); i++ {
		a, b := nets[i-1], nets[i]
		if Compare(a, b) >= 0 {
			t.Errorf("%s and %s are not apart", text(a.Tree()), text(b.Tree()))
		}
		if a.Size() > b.Size() || a.Size() == b.Size() && slices.Compare(a.Parts(), b.Parts()) > 0 {
			t.Errorf("%s before %s", text(a.Tree()), text(b.Tree()))
		}
	}
	if Compare(nets[0], nets[0]) != 0 {
		t.Error("a network differs from itself")
	}
}

func TestZeroNetwork(t *testing.T) {
	var n Network
	if !n.IsZero() || n.Size() != 0 || n.HasKept() || len(n.Parts()) != 0 || n.Value() != 0 || n.Tree().Of != nil || leaves.Part(0).IsZero() {
		t.Error("the zero Network is not empty")
	}
}

func TestApart(t *testing.T) {
	p := func(i int) Network { return leaves.Part(i) }
	join := func(a, b int) Network { return leaves.Join(Series, p(a), p(b)) }
	nets := []Network{join(0, 1), join(1, 2), join(0, 2), p(3), join(2, 3), p(2), leaves.Kept(), p(4)}
	for wanted, at := range []int{0, 0, 3, 5, 6, 6} {
		if got := Apart(nets, wanted); got != at {
			t.Errorf("%d apart at %d, want %d", wanted, got, at)
		}
	}
	if got := Apart(nets[:6], 4); got != 6 {
		t.Errorf("4 of 6 apart at %d", got)
	}
}
