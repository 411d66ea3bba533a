package movement

import (
	"fmt"
	"math"

	"shuntwright/meter/quantity"
)

// terminals are a movement as its circuits see it: the current for the last mark,
// and the resistance between its terminals.
type terminals struct{ amperes, ohms float64 }

// volts is the drop across the terminals at the last mark.
func (t terminals) volts() float64 { return t.amperes * t.ohms }

// circuit is a new movement that takes the place of an old one behind two
// resistors, so that scale, shunts and multipliers stay: one in series with the
// new movement and one across both; or, shunted, one across it and one in series
// with both.
type circuit struct {
	old, new terminals
	shunted  bool
}

// same is how close two currents or voltages are taken for equal, relative:
// they come from sums and products of typed numbers.
const same = 1e-9

// resistors are the two resistances in ohms that make both full scale and
// terminal resistance the old movement's. For currents Io and In, resistances
// Ro and Rn, series then parallel: r = Io·Ro/In − Rn, p = Io·Ro/(Io − In);
// shunted: p = In·Rn/(Io − In), r = Ro − In·Rn/Io. Where both movements take the
// same current, parallel is +Inf, nothing there; where they take the same voltage,
// series is zero. The error says that a quantity is not positive, that the new
// movement needs more current or more voltage than the old one, or that it needs
// nothing, being alike.
func (c circuit) resistors() (series, parallel float64, err error) {
	o, n := c.old, c.new
	if err := c.possible(); err != nil {
		return 0, 0, err
	}
	spare := o.amperes - n.amperes
	parallel = math.Inf(1)
	if spare > same*o.amperes {
		parallel = o.volts() / spare
		if c.shunted {
			parallel = n.volts() / spare
		}
	}
	if o.volts()-n.volts() > same*o.volts() {
		series = o.volts()/n.amperes - n.ohms
		if c.shunted {
			series = o.ohms - n.volts()/o.amperes
		}
	}
	return series, parallel, nil
}

// possible tells why no resistors make the new movement look like the old one.
func (c circuit) possible() error {
	o, n := c.old, c.new
	if !positive(o.amperes) || !positive(o.ohms) || !positive(n.amperes) || !positive(n.ohms) {
		return fmt.Errorf("movements of %g A, %g ohm and %g A, %g ohm; all must be more than zero", o.amperes, o.ohms, n.amperes, n.ohms)
	}
	inAmperes := func(x float64) string { return quantity.Format(x, quantity.Ampere, 4) }
	inVolts := func(x float64) string { return quantity.Format(x, quantity.Volt, 4) }
	current, voltage := n.amperes/o.amperes-1, n.volts()/o.volts()-1
	switch {
	case current > same:
		return fmt.Errorf("the new movement needs %s and the old one %s; resistors take current away and add none: a stand-in must need no more current than the old one",
			inAmperes(n.amperes), inAmperes(o.amperes))
	case voltage > same:
		return fmt.Errorf("the new movement needs %s (%s through %s) and the old one %s; resistors take voltage away and add none: a stand-in must need no more voltage than the old one",
			inVolts(n.volts()), inAmperes(n.amperes), inOhms(n.ohms), inVolts(o.volts()))
	case current > -same && voltage > -same:
		return fmt.Errorf("the new movement is like the old one already, %s and %s; it needs no resistors", inAmperes(n.amperes), inOhms(n.ohms))
	}
	return nil
}

// looks is what the new movement looks like behind two resistors; parallel may
// be +Inf and series zero, for nothing there.
func (c circuit) looks(series, parallel float64) terminals {
	amperes, volts := c.fullScale(series, parallel)
	return terminals{amperes, volts / amperes}
}

// fullScale is what leaves the new movement at its last mark. Each depends on
// those resistances only that rising says, rounding included.
func (c circuit) fullScale(series, parallel float64) (amperes, volts float64) {
	n := c.new
	if c.shunted {
		amperes = n.amperes + n.volts()/parallel
		return amperes, n.volts() + float64(amperes*series)
	}
	volts = n.amperes * (n.ohms + series)
	return n.amperes + volts/parallel, volts
}

// The ranges of a stand-in's errors: what a range reads that goes by the
// current alone, as a high multiplier does, and one that goes by the voltage
// alone, as a low shunt does. Every circuit of resistors takes a mean of these
// two, weighted with positive weights: applied to it at full scale is a sum of
// the movement's current and voltage. So no range of the meter is further off
// than the worse of them.
const (
	byCurrent = iota
	byVoltage
)

// The slots of its resistors.
const (
	series = iota
	parallel
)

// errors tells how far the stand-in reads off, in percent of full scale where the
// old movement stood at the last mark, byCurrent and byVoltage, with so many ohms
// in series and parallel. Each is monotone in each resistance.
func (c circuit) errors(ohms [2]float64) [2]float64 {
	amperes, volts := c.fullScale(ohms[series], ohms[parallel])
	return [2]float64{byCurrent: 100 * (c.old.amperes/amperes - 1), byVoltage: 100 * (c.old.volts()/volts - 1)}
}

// rising reports how error r moves when the resistance in a slot grows: +1, −1, or
// 0 where it does not depend on it.
func (c circuit) rising(r, slot int) int {
	if c.shunted {
		return [][]int{{0, 1}, {-1, 1}}[r][slot]
	}
	return [][]int{{-1, 1}, {-1, 0}}[r][slot]
}

// slopes are how the two errors move with everything that they are computed from:
// percent for each ampere and ohm of the old movement, ampere and ohm of the new
// one, and ohm of the series and the parallel resistance, in this order.
func (c circuit) slopes(series, parallel float64) [2][6]float64 {
	o, n, as := c.old, c.new, c.looks(series, parallel)
	// Of the current and the voltage of the stand-in, by the new movement's
	// amperes and ohms, series and parallel.
	amperes := [4]float64{as.amperes / n.amperes, n.amperes / parallel, n.amperes / parallel, -as.volts() / parallel / parallel}
	volts := [4]float64{as.volts() / n.amperes, n.amperes, n.amperes, 0}
	if c.shunted {
		amperes[2], amperes[3] = 0, -n.volts()/parallel/parallel
		volts = [4]float64{as.volts() / n.amperes, n.amperes + series*amperes[1], as.amperes, series * amperes[3]}
	}
	out := [2][6]float64{{100 / as.amperes}, {100 * o.ohms / as.volts(), 100 * o.amperes / as.volts()}}
	for i := range amperes {
		out[byCurrent][i+2] = -100 * o.amperes / as.amperes * amperes[i] / as.amperes
		out[byVoltage][i+2] = -100 * o.volts() / as.volts() * volts[i] / as.volts()
	}
	return out
}
