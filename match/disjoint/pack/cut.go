package pack

import (
	"cmp"
	"slices"
)

// cut is an odd set of rows, each with room for one: no choice can take more than half of them, rounded down, in items that take
// two of them.
type cut struct {
	row   int32 // in the system
	room  int32
	items []use // item (in place of the resource) and what it takes of room
}

const (
	cutRound = 10 // cuts added at a time
	cutMax   = 30
	cutLeast = 0.02 // what a cut must be violated by
)

// addCuts adds some cuts that the fractions violate, and tells whether there were any.
func (x *relaxation) addCuts() bool {
	if len(x.cuts) >= cutMax {
		return false
	}
	m := newMesh(x)
	found := m.triples()
	slices.SortStableFunc(found, func(a, b oddSet) int { return cmp.Compare(b.excess, a.excess) })
	added := 0
	for _, set := range found {
		if added >= cutRound {
			break
		}
		x.add(set.rows)
		added++
	}
	x.Cuts += added
	return added > 0
}

func (x *relaxation) add(rows []int32) {
	c := cut{row: int32(x.system.Rows()), room: int32(len(rows) / 2)}
	for item, own := range x.unitRows {
		n := int32(0)
		for _, r := range own {
			if slices.Contains(rows, r) {
				n++
			}
		}
		if n >= 2 {
			c.items = append(c.items, use{int32(item), n / 2})
		}
	}
	x.cuts = append(x.cuts, c)
	k := 0
	x.system.AddRow(func(j int) float64 {
		if k < len(c.items) && c.items[k].resource == int32(j) {
			k++
			return float64(c.items[k-1].units)
		}
		return 0
	}, float64(c.room))
}

type oddSet struct {
	rows   []int32
	excess float64
}

// mesh holds, for every two rows of room one, what items that take both have together.
type mesh struct {
	x       *relaxation
	support []int32
	rows    int
	pair    []float64
	next    [][]int32 // rows that share an item
}

func newMesh(x *relaxation) *mesh {
	m := &mesh{x: x, rows: x.system.Rows()}
	m.pair = make([]float64, m.rows*m.rows)
	m.next = make([][]int32, m.rows)
	for item := range x.group {
		v := x.system.Value(item)
		if v < 1e-6 {
			continue
		}
		m.support = append(m.support, int32(item))
		own := x.unitRows[item]
		for _, a := range own {
			for _, b := range own {
				if a != b {
					if m.pair[int(a)*m.rows+int(b)] == 0 {
						m.next[a] = append(m.next[a], b)
					}
					m.pair[int(a)*m.rows+int(b)] += v
				}
			}
		}
	}
	return m
}

// triples lists the sets of three rows of which items that take two have more than one together.
func (m *mesh) triples() []oddSet {
	var found []oddSet
	for a := range int32(m.rows) {
		for i, b := range m.next[a] {
			for _, c := range m.next[a][:i] {
				w := m.pair[int(b)*m.rows+int(c)]
				if w > 0 && (b < a || c < a) {
					continue
				}
				if m.pair[int(a)*m.rows+int(b)]+m.pair[int(a)*m.rows+int(c)]+w < 1+cutLeast {
					continue
				}
				set := []int32{a, b, c}
				if e := m.excess(set); e > cutLeast {
					found = append(found, oddSet{set, e})
				}
			}
		}
	}
	return found
}

func (m *mesh) excess(rows []int32) float64 {
	sum := -float64(len(rows) / 2)
	for _, item := range m.support {
		n := 0
		for _, r := range m.x.unitRows[item] {
			if slices.Contains(rows, r) {
				n++
			}
		}
		sum += float64(n/2) * m.x.system.Value(int(item))
	}
	return sum
}
