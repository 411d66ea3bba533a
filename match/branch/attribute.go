package branch

import "math"

// attributeTable holds the attributes of the candidates of one slot.
type attributeTable struct {
	attributes int
	of         []float64 // one candidate after the other
}

// newAttributes returns a table without candidates.
func newAttributes(attributes int) attributeTable { return attributeTable{attributes: attributes} }

// add appends a candidate; it has as many attributes as the table says.
func (t *attributeTable) add(attributes []float64) { t.of = append(t.of, attributes...) }

// at returns attribute k of candidate c.
func (t *attributeTable) at(c int32, k int) float64 { return t.of[int(c)*t.attributes+k] }

// span puts the least and the greatest of every attribute of the listed
// candidates into least and most; of none these are +Inf and -Inf.
func (t *attributeTable) span(least, most []float64, list []int32) {
	for k := range t.attributes {
		lo, hi := math.Inf(1), math.Inf(-1)
		for _, c := range list {
			v := t.of[int(c)*t.attributes+k]
			lo, hi = min(lo, v), max(hi, v)
		}
		least[k], most[k] = lo, hi
	}
}
