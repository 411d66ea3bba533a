package wiring

import "math"

// Resistance returns the network's resistance in ohms. leafOhms holds those of
// the leaves, in the order of Leaves, each positive; +Inf is a leaf that is
// open, zero one that is shorted. If their number is wrong, or one is NaN, the
// result is NaN.
func (n Network) Resistance(leafOhms []float64) float64 {
	r, rest := n.resistance(leafOhms)
	if len(rest) > 0 {
		return math.NaN()
	}
	return r
}

// resistance returns the leaves left over as well; of too few it makes NaN.
func (n Network) resistance(leafOhms []float64) (ohms float64, rest []float64) {
	if n.Op == Leaf {
		if len(leafOhms) == 0 {
			return math.NaN(), nil
		}
		return leafOhms[0], leafOhms[1:]
	}
	sum := 0.0
	for _, o := range n.Of {
		var r float64
		if r, leafOhms = o.resistance(leafOhms); n.Op == Parallel {
			r = 1 / r
		}
		sum += r
	}
	if n.Op == Parallel {
		sum = 1 / sum
	}
	return sum, leafOhms
}

// Shares returns, leaf by leaf, the share of the network's current that flows
// through the leaf and the share of the network's voltage that stands across
// it: current and voltage divider, applied from the outside in. What is
// required of leafOhms is as in Resistance, but that all must be finite;
// otherwise the shares are NaN.
func (n Network) Shares(leafOhms []float64) (amperesPerAmpere, voltsPerVolt []float64) {
	amperes := make([]float64, 0, len(leafOhms))
	volts := make([]float64, 0, len(leafOhms))
	whole := n.Resistance(leafOhms)
	rest := leafOhms
	var walk func(n Network, ohms, a, v float64)
	walk = func(n Network, ohms, a, v float64) {
		if n.Op == Leaf {
			amperes, volts, rest = append(amperes, a), append(volts, v), rest[1:]
			return
		}
		for _, o := range n.Of {
			r, _ := o.resistance(rest)
			if n.Op == Series {
				walk(o, r, a, v*(r/ohms))
			} else {
				walk(o, r, a*(ohms/r), v)
			}
		}
	}
	if math.IsNaN(whole) {
		return unknown(len(n.Leaves())), unknown(len(n.Leaves()))
	}
	walk(n, whole, 1, 1)
	return amperes, volts
}

// Slopes returns how far the network's resistance moves per ohm of each leaf,
// dR/dR_i. It is the square of the leaf's share of the current: 1 in series,
// (R/R_i)² in parallel, the product of them along the way to the leaf where
// the network is nested (GUM 5.1.2 takes them as sensitivity coefficients).
// What is required of leafOhms is as in Shares.
func (n Network) Slopes(leafOhms []float64) []float64 {
	slopes, _ := n.Shares(leafOhms)
	for i, a := range slopes {
		slopes[i] = a * a
	}
	return slopes
}

// unknown returns so many NaNs.
func unknown(count int) []float64 {
	nans := make([]float64, count)
	for i := range nans {
		nans[i] = math.NaN()
	}
	return nans
}
