package node

import "math"

// Attributes holds the traits of the candidates of one slot.
type Attributes struct {
	traits int
	of     []float64 // one candidate after the other
}

// NewAttributes returns a table without candidates.
func NewAttributes(traits int) Attributes { return Attributes{traits: traits} }

// Add appends a candidate; it has as many traits as the table says.
func (t *Attributes) Add(traits []float64) { t.of = append(t.of, traits...) }

// Of returns trait k of candidate c.
func (t *Attributes) Of(c int32, k int) float64 { return t.of[int(c)*t.traits+k] }

// Span puts the least and the greatest of every trait of the listed candidates into least and most; of none these are +Inf and -Inf.
func (t *Attributes) Span(least, most []float64, list []int32) {
	for k := range t.traits {
		lo, hi := math.Inf(1), math.Inf(-1)
		for _, c := range list {
			v := t.of[int(c)*t.traits+k]
			lo, hi = min(lo, v), max(hi, v)
		}
		least[k], most[k] = lo, hi
	}
}
