package node

import "math"

// Attributes holds the attributes of the candidates of one slot.
type Attributes struct {
	attributes int
	of         []float64 // one candidate after the other
}

// newAttributes returns a table without candidates.
func newAttributes(attributes int) Attributes { return Attributes{attributes: attributes} }

// Add appends a candidate; it has as many attributes as the table says.
func (t *Attributes) Add(attributes []float64) { t.of = append(t.of, attributes...) }

// Of returns attribute k of candidate c.
func (t *Attributes) Of(c int32, k int) float64 { return t.of[int(c)*t.attributes+k] }

// Span puts the least and the greatest of every attribute of the listed
// candidates into least and most; of none these are +Inf and -Inf.
func (t *Attributes) Span(least, most []float64, list []int32) {
	for k := range t.attributes {
		lo, hi := math.Inf(1), math.Inf(-1)
		for _, c := range list {
			v := t.of[int(c)*t.attributes+k]
			lo, hi = min(lo, v), max(hi, v)
		}
		least[k], most[k] = lo, hi
	}
}
