package sat

import (
	"context"
	"math/rand/v2"
	"slices"
	"testing"
)

// brute tells whether there is a choice, by trying all.
func brute(p Problem, allowed [][]bool) bool {
	room := slices.Clone(p.Room)
	var fill func(g int) bool
	fill = func(g int) bool {
		if g == len(p.Groups) {
			return true
		}
		for j, item := range p.Groups[g] {
			if allowed != nil && !allowed[g][j] {
				continue
			}
			for _, r := range item {
				room[r]--
			}
			if slices.Min(room) >= 0 && fill(g+1) {
				return true
			}
			for _, r := range item {
				room[r]++
			}
		}
		return false
	}
	return fill(0)
}

func check(t *testing.T, p Problem, allowed [][]bool, picks []int) {
	t.Helper()
	room := slices.Clone(p.Room)
	for g, j := range picks {
		if allowed != nil && !allowed[g][j] {
			t.Errorf("group %d took item %d, which is not allowed", g, j)
		}
		for _, r := range p.Groups[g][j] {
			room[r]--
		}
	}
	if slices.Min(room) < 0 {
		t.Errorf("%v leaves %v of %v", picks, room, p.Room)
	}
}

// drawn makes a problem whose resources are just about enough.
func drawn(rng *rand.Rand, groups, items, resources, most int) Problem {
	p := Problem{Room: make([]int32, resources)}
	for r := range p.Room {
		p.Room[r] = int32(1 + rng.IntN(most))
	}
	for range groups {
		group := make([]Item, 1+rng.IntN(items))
		for j := range group {
			for range rng.IntN(4) {
				group[j] = append(group[j], int32(rng.IntN(resources)))
			}
			if len(group[j]) == 0 && rng.IntN(4) > 0 {
				group[j] = Item{int32(rng.IntN(resources)), int32(rng.IntN(resources))}
			}
		}
		p.Groups = append(p.Groups, group)
	}
	return p
}

// ask is Find, or with steps what it is made of; there what Round offers is
// checked on the way.
func ask(t *testing.T, s *Solver, p Problem, allowed [][]bool, steps bool) ([]int, error) {
	t.Helper()
	if !steps {
		return s.Find(t.Context(), allowed)
	}
	if !s.Start(t.Context(), allowed) {
		return nil, nil
	}
	rounded := s.Round()
	if rounded == nil {
		return nil, nil
	}
	room := slices.Clone(p.Room)
	for g, j := range rounded {
		if j >= 0 && allowed != nil && !allowed[g][j] {
			t.Errorf("group %d is rounded to item %d, which is not allowed", g, j)
		}
		if j >= 0 {
			for _, r := range p.Groups[g][j] {
				room[r]--
			}
		}
	}
	if slices.Min(room) < 0 {
		t.Errorf("%v leaves %v of %v", rounded, room, p.Room)
	}
	return s.Search()
}

// TestFindAgainstBruteForce asks each solver several questions, so that what it
// keeps from one to the next is tested too.
func TestFindAgainstBruteForce(t *testing.T) {
	yes, no := 0, 0
	for seed := range uint64(800) {
		rng := rand.New(rand.NewPCG(seed, 7))
		p := drawn(rng, 2+rng.IntN(7), 2+rng.IntN(7), 3+rng.IntN(9), 1+int(seed%3))
		s := New(p)
		s.search.memory = 3 // forget early
		for question := range 4 {
			var allowed [][]bool
			if question > 0 {
				for _, group := range p.Groups {
					some := make([]bool, len(group))
					for j := range some {
						some[j] = rng.IntN(5) > 0
					}
					allowed = append(allowed, some)
				}
			}
			picks, err := ask(t, s, p, allowed, question%2 == 0)
			if err != nil {
				t.Fatal(err)
			}
			if want := brute(p, allowed); want != (picks != nil) {
				t.Fatalf("seed %d, question %d: found %v, brute force says %v", seed, question, picks, want)
			}
			if picks != nil {
				check(t, p, allowed, picks)
				yes++
			} else {
				no++
			}
		}
	}
	if yes < 500 || no < 500 {
		t.Errorf("%d yes, %d no: the draw is lopsided", yes, no)
	}
}

// TestScarce has pairs out of hardly more resources than are needed, on the
// edge between yes and no, where failures teach.
func TestScarce(t *testing.T) {
	yes, failures, restarts := 0, 0, 0
	for seed := range uint64(80) {
		rng := rand.New(rand.NewPCG(seed, 8))
		groups := 14 + int(seed%3)
		p := Problem{Room: slices.Repeat([]int32{1}, 2*groups)}
		for range groups {
			var group []Item
			for range 6 {
				pair := rng.Perm(2 * groups)
				group = append(group, Item{int32(pair[0]), int32(pair[1])})
			}
			p.Groups = append(p.Groups, group)
		}
		s := New(p)
		s.search.memory = 4
		picks, err := s.Find(t.Context(), nil)
		if err != nil {
			t.Fatal(err)
		}
		failures, restarts = failures+s.search.failures, restarts+s.search.restarts
		if want := scarcest(p); want != (picks != nil) {
			t.Fatalf("seed %d: found %v, plain search says %v", seed, picks, want)
		}
		if picks != nil {
			check(t, p, nil, picks)
			yes++
		}
	}
	t.Logf("%d yes, %d failures, %d restarts", yes, failures, restarts)
	if yes < 15 || yes > 65 {
		t.Errorf("%d of 80 yes: the draw is lopsided", yes)
	}
}

// scarcest tells whether there is a choice, by filling the group with the
// fewest items left first.
func scarcest(p Problem) bool {
	room := slices.Clone(p.Room)
	filled := make([]bool, len(p.Groups))
	fits := func(item Item) bool { return room[item[0]] > 0 && room[item[1]] > 0 }
	var fill func(left int) bool
	fill = func(left int) bool {
		best, fewest := -1, 0
		for g, group := range p.Groups {
			n := 0
			for _, item := range group {
				if fits(item) {
					n++
				}
			}
			if !filled[g] && (best < 0 || n < fewest) {
				best, fewest = g, n
			}
		}
		if left == 0 || fewest == 0 {
			return left == 0
		}
		filled[best] = true
		for _, item := range p.Groups[best] {
			if !fits(item) {
				continue
			}
			room[item[0]]--
			room[item[1]]--
			if fill(left - 1) {
				return true
			}
			room[item[0]]++
			room[item[1]]++
		}
		filled[best] = false
		return false
	}
	return fill(len(p.Groups))
}

// TestPigeonhole has one group more than there is room for, which clauses alone
// take exponentially long to see.
func TestPigeonhole(t *testing.T) {
	const n = 60
	p := Problem{Room: slices.Repeat([]int32{1}, n)}
	for range n + 1 {
		group := make([]Item, n)
		for r := range group {
			group[r] = Item{int32(r)}
		}
		p.Groups = append(p.Groups, group)
	}
	if picks, err := New(p).Find(t.Context(), nil); picks != nil || err != nil {
		t.Errorf("found %v, %v", picks, err)
	}
}

func TestFindHeedsTheContext(t *testing.T) {
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	p := drawn(rand.New(rand.NewPCG(1, 1)), 5, 5, 10, 1)
	if picks, err := New(p).Find(ctx, nil); picks != nil || err != context.Canceled {
		t.Errorf("got %v, %v", picks, err)
	}
}

func TestEdges(t *testing.T) {
	for _, c := range []struct {
		name string
		p    Problem
		want []int
	}{
		{"no groups", Problem{}, []int{}},
		{"a group without items", Problem{Groups: [][]Item{{{}}, {}}}, nil},
		{"an item that takes nothing", Problem{Groups: [][]Item{{{0}, {}}}, Room: []int32{0}}, []int{1}},
		{"two units where there is one", Problem{Groups: [][]Item{{{0, 0}}}, Room: []int32{1}}, nil},
		{"two units where there are two", Problem{Groups: [][]Item{{{0, 0}}}, Room: []int32{2}}, []int{0}},
	} {
		if picks, err := New(c.p).Find(t.Context(), nil); err != nil || !slices.Equal(picks, c.want) || (picks == nil) != (c.want == nil) {
			t.Errorf("%s: got %v, %v; want %v", c.name, picks, err, c.want)
		}
	}
}

// TestLuby checks the first terms; source: Luby, Sinclair and Zuckerman, Inf.
// Proc. Letters 47, 1993 (from memory).
func TestLuby(t *testing.T) {
	for i, want := range []int{1, 1, 2, 1, 1, 2, 4, 1, 1, 2, 1, 1, 2, 4, 8, 1} {
		if got := luby(i + 1); got != want {
			t.Errorf("term %d is %d, want %d", i+1, got, want)
		}
	}
}
