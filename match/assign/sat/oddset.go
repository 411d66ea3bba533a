package sat

import (
	"cmp"
	"slices"
)

// oddSet is three rows, each with room for one. Whatever takes two of them
// excludes all else that does. So in a choice of whole items, those that take
// at least two of the three count one at most together; fractions of items can
// count up to one and a half. (The inequality is half the sum of the three
// rows, rounded down: a Chvátal-Gomory cut.)
type oddSet [3]int32

// takes is how many of the set's rows are among an item's.
func (s oddSet) takes(rows []int32) int {
	n := 0
	for _, r := range rows {
		if r == s[0] || r == s[1] || r == s[2] {
			n++
		}
	}
	return n
}

// findOddSets returns the sets of which the items that take two rows count more
// than 1+least together, the fullest first. items lists the rows of every item,
// distinct and below rows; share is the fraction that is chosen of each, such
// that no row has more than one.
func findOddSets(rows int, items [][]int32, share []float64, least float64) []oddSet {
	m := newMesh(rows, items, share)
	found := m.sets(least)
	slices.SortStableFunc(found, func(a, b counted) int { return cmp.Compare(b.count, a.count) })
	sets := make([]oddSet, len(found))
	for k, f := range found {
		sets[k] = f.set
	}
	return sets
}

type counted struct {
	set   oddSet
	count float64
}

// negligible is a share that is not looked at.
const negligible = 1e-6

// mesh holds, for every two rows, what items that take both have together. A
// share is chosen of few items, so it knows only the rows of these, by places.
type mesh struct {
	items   [][]int32
	share   []float64
	support []int32 // items of some share
	rows    []int32 // that these take, ascending
	pair    []float64
	next    [][]int32 // places of rows that share an item with a row
}

func newMesh(rows int, items [][]int32, share []float64) *mesh {
	m := &mesh{items: items, share: share}
	place := make([]int32, rows)
	for item, v := range share {
		if v < negligible {
			continue
		}
		m.support = append(m.support, int32(item))
		for _, r := range items[item] {
			place[r] = 1
		}
	}
	for r, used := range place {
		if used > 0 {
			place[r] = int32(len(m.rows))
			m.rows = append(m.rows, int32(r))
		}
	}
	m.pair, m.next = make([]float64, len(m.rows)*len(m.rows)), make([][]int32, len(m.rows))
	for _, item := range m.support {
		m.tie(items[item], place, share[item])
	}
	return m
}

// tie adds an item that takes so many rows.
func (m *mesh) tie(rows, place []int32, share float64) {
	for _, r := range rows {
		for _, q := range rows {
			if r == q {
				continue
			}
			a, b := place[r], place[q]
			if m.of(a, b) == 0 {
				m.next[a] = append(m.next[a], b)
			}
			m.pair[int(a)*len(m.rows)+int(b)] += share
		}
	}
}

func (m *mesh) of(a, b int32) float64 { return m.pair[int(a)*len(m.rows)+int(b)] }

// sets looks at each path of three rows: two pairs of the three must have a
// share for the set to be overfull.
func (m *mesh) sets(least float64) []counted {
	var found []counted
	for a := range int32(len(m.rows)) {
		for i, b := range m.next[a] {
			for _, c := range m.next[a][:i] {
				w := m.of(b, c)
				if w > 0 && (b < a || c < a) {
					continue // found from the smallest of the three
				}
				if m.of(a, b)+m.of(a, c)+w <= 1+least {
					continue // an item that takes all three counts thrice here, which is too much
				}
				set := oddSet{m.rows[a], m.rows[b], m.rows[c]}
				if n := m.count(set); n > 1+least {
					found = append(found, counted{set, n})
				}
			}
		}
	}
	return found
}

func (m *mesh) count(set oddSet) float64 {
	sum := 0.0
	for _, item := range m.support {
		if set.takes(m.items[item]) >= 2 {
			sum += m.share[item]
		}
	}
	return sum
}
