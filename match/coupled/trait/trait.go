// Package trait holds what candidates are like beside their values: a few numbers each, on which the limits of the ranges depend. A
// search knows them by ranges, as it knows values: the least and the greatest of the candidates that are left.
package trait

import "math"

// Box is a set of choices: slot i takes a candidate whose value lies from Lo[i] to Hi[i] and whose k-th trait from Least[i][k] to
// Most[i][k]. A slot that stays open holds anything.
type Box struct {
	Lo, Hi      []float64
	Least, Most [][]float64
}

// NewBox returns a box of so many slots with so many traits each, all zero.
func NewBox(slots, traits int) Box {
	return Box{make([]float64, slots), make([]float64, slots), matrix(slots, traits), matrix(slots, traits)}
}

// matrix is made of one piece, so that Copy moves little.
func matrix(rows, columns int) [][]float64 {
	m, all := make([][]float64, rows), make([]float64, rows*columns)
	for i := range m {
		m[i] = all[i*columns : (i+1)*columns : (i+1)*columns]
	}
	return m
}

// Copy makes b the same as another box of as many slots and traits.
func (b Box) Copy(from Box) {
	copy(b.Lo, from.Lo)
	copy(b.Hi, from.Hi)
	for i := range from.Least {
		copy(b.Least[i], from.Least[i])
		copy(b.Most[i], from.Most[i])
	}
}

// Table holds the traits of the candidates of one slot.
type Table struct {
	traits int
	of     []float64 // one candidate after the other
}

// NewTable returns a table without candidates.
func NewTable(traits int) Table { return Table{traits: traits} }

// Add appends a candidate; it has as many traits as the table says.
func (t *Table) Add(traits []float64) { t.of = append(t.of, traits...) }

// Of returns trait k of candidate c.
func (t *Table) Of(c int32, k int) float64 { return t.of[int(c)*t.traits+k] }

// Span puts the least and the greatest of every trait of the listed candidates into least and most; of none these are +Inf and -Inf.
func (t *Table) Span(least, most []float64, list []int32) {
	for k := range t.traits {
		lo, hi := math.Inf(1), math.Inf(-1)
		for _, c := range list {
			v := t.of[int(c)*t.traits+k]
			lo, hi = min(lo, v), max(hi, v)
		}
		least[k], most[k] = lo, hi
	}
}
