package matchtest

import (
	"math"
	"math/rand/v2"

	"shuntwright/match"
	"shuntwright/match/network"
)

// Doubts are limits that grow with what is not known of a network's parts; some
// parts are known well, others badly. They are a match.LimitFloor, and one that
// is exact for a box of one choice.
type Doubts struct {
	percent  []float64 // of each part
	response match.Response
}

// DrawDoubts draws those of so many parts.
func DrawDoubts(rng *rand.Rand, parts int, response match.Response) Doubts {
	d := Doubts{response: response}
	for range parts {
		d.percent = append(d.percent, []float64{0.1, 1, 5}[rng.IntN(3)])
	}
	return d
}

// Limit puts into dst what every range is in doubt by, as match.Problem.Limit does.
func (d Doubts) Limit(nets []network.Network, dst []float64) {
	for r := range dst {
		dst[r] = 0.1
		for s, n := range nets {
			dst[r] += d.size(n) * d.weight(r, s)
		}
	}
}

// weight tells how much a slot counts in a range.
func (d Doubts) weight(r, s int) float64 {
	return math.Abs(float64(d.response.Rising(r, s))) / float64(1+s)
}

func (d Doubts) size(n network.Network) float64 {
	sum := 0.0
	for _, part := range n.Parts() {
		sum += d.percent[part]
	}
	return sum
}

// Attributes implements match.LimitFloor.
func (d Doubts) Attributes(dst []float64, _ int, n network.Network) []float64 {
	return append(dst, d.size(n))
}

// Floor implements match.LimitFloor.
func (d Doubts) Floor(r int, box *match.Box) float64 {
	floor := 0.1
	for s := range box.Least {
		floor += box.Least[s][0] * d.weight(r, s)
	}
	return floor
}
