package match

// Box is a set of choices: slot i takes a candidate whose value lies from Lo[i]
// to Hi[i] and whose k-th attribute from Least[i][k] to Most[i][k]. A slot that
// stays open holds anything.
type Box struct {
	Lo, Hi      []float64
	Least, Most [][]float64
}

// NewBox returns a box of so many slots with so many attributes each, all zero.
func NewBox(slots, attributes int) Box {
	return Box{make([]float64, slots), make([]float64, slots), matrix(slots, attributes), matrix(slots, attributes)}
}

// matrix is made of one piece, so that Copy moves little.
func matrix(rows, columns int) [][]float64 {
	m, all := make([][]float64, rows), make([]float64, rows*columns)
	for i := range m {
		m[i] = all[i*columns : (i+1)*columns : (i+1)*columns]
	}
	return m
}

// Copy makes b the same as another box of as many slots and attributes.
func (b Box) Copy(from Box) {
	copy(b.Lo, from.Lo)
	copy(b.Hi, from.Hi)
	for i := range from.Least {
		copy(b.Least[i], from.Least[i])
		copy(b.Most[i], from.Most[i])
	}
}
