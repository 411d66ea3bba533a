package bench

import (
	"fmt"
	"math"
)

// Terminals is a movement as its circuits see it: the current for the last
// mark, and the resistance between its terminals.
type Terminals struct{ Amperes, Ohms float64 }

// Volts is the drop across the terminals at the last mark.
func (t Terminals) Volts() float64 { return t.Amperes * t.Ohms }

// Way is where the two resistors of a stand-in go.
type Way int

// The ways: a resistor in series with the new movement and one across both; or
// one across it and one in series with both.
const (
	SeriesParallel Way = iota
	parallelSeries
)

// Ways are all of them.
var Ways = []Way{SeriesParallel, parallelSeries}

// String is the way's name in answers.
func (w Way) String() string { return [...]string{"series-parallel", "parallel-series"}[w] }

// StandIn is a new movement that takes the place of an old one behind two
// resistors, so that scale, shunts and multipliers stay.
type StandIn struct {
	Old, New Terminals
	Way      Way
}

// same is how close two currents or voltages are taken for equal, relative:
// they come from sums and products of typed numbers.
const same = 1e-9

// Resistors are the two resistances in ohms that make both full scale and
// terminal resistance the old movement's. For currents Io and In, resistances
// Ro and Rn, series then parallel: r = Io·Ro/In − Rn, p = Io·Ro/(Io − In);
// parallel then series: p = In·Rn/(Io − In), r = Ro − In·Rn/Io. Where both
// movements take the same current, parallel is +Inf, nothing there; where they
// take the same voltage, series is zero. The error says that a quantity is not
// positive, that the new movement needs more current or more voltage than the
// old one, or that it needs nothing, being alike.
func (s StandIn) Resistors() (series, parallel float64, err error) {
	o, n := s.Old, s.New
	if err := s.possible(); err != nil {
		return 0, 0, err
	}
	spare := o.Amperes - n.Amperes
	parallel = math.Inf(1)
	if spare > same*o.Amperes {
		parallel = o.Volts() / spare
		if s.Way == parallelSeries {
			parallel = n.Volts() / spare
		}
	}
	if o.Volts()-n.Volts() > same*o.Volts() {
		series = o.Volts()/n.Amperes - n.Ohms
		if s.Way == parallelSeries {
			series = o.Ohms - n.Volts()/o.Amperes
		}
	}
	return series, parallel, nil
}

// possible tells why no resistors make the new movement look like the old one.
func (s StandIn) possible() error {
	o, n := s.Old, s.New
	for _, x := range []float64{o.Amperes, o.Ohms, n.Amperes, n.Ohms} {
		if !positive(x) {
			return fmt.Errorf("movements of %g A, %g ohm and %g A, %g ohm; all must be more than zero", o.Amperes, o.Ohms, n.Amperes, n.Ohms)
		}
	}
	current, voltage := n.Amperes/o.Amperes-1, n.Volts()/o.Volts()-1
	switch {
	case current > same:
		return fmt.Errorf("the new movement needs %s and the old one %s; resistors take current away and add none: a stand-in must need no more current than the old one",
			inAmperes(n.Amperes), inAmperes(o.Amperes))
	case voltage > same:
		return fmt.Errorf("the new movement needs %s (%s through %s) and the old one %s; resistors take voltage away and add none: a stand-in must need no more voltage than the old one",
			inVolts(n.Volts()), inAmperes(n.Amperes), inOhms(n.Ohms), inVolts(o.Volts()))
	case current > -same && voltage > -same:
		return fmt.Errorf("the new movement is like the old one already, %s and %s; it needs no resistors", inAmperes(n.Amperes), inOhms(n.Ohms))
	}
	return nil
}

// Looks is what the new movement looks like behind two resistors; parallel may
// be +Inf and series zero, for nothing there.
func (s StandIn) Looks(series, parallel float64) Terminals {
	amperes, volts := s.fullScale(series, parallel)
	return Terminals{amperes, volts / amperes}
}

// fullScale is what leaves the new movement at its last mark. Each depends on
// those resistances only that Rising says, rounding included.
func (s StandIn) fullScale(series, parallel float64) (amperes, volts float64) {
	n := s.New
	if s.Way == SeriesParallel {
		volts = n.Amperes * (n.Ohms + series)
		return n.Amperes + volts/parallel, volts
	}
	amperes = n.Amperes + n.Volts()/parallel
	return amperes, n.Volts() + float64(amperes*series)
}

// The ranges of a stand-in's errors: what a range reads that goes by the
// current alone, as a high multiplier does, and one that goes by the voltage
// alone, as a low shunt does. Every circuit of resistors takes a mean of these
// two, weighted with positive weights: applied to it at full scale is a sum of
// the movement's current and voltage. So no range of the meter is further off
// than the worse of them.
const (
	ByCurrent = iota
	ByVoltage
)

// Errors puts how far the stand-in reads off, in percent of full scale where
// the old movement stood at the last mark, into dst, by ByCurrent and
// ByVoltage. ohms are the series and the parallel resistance. Each is monotone
// in each resistance.
func (s StandIn) Errors(dst, ohms []float64) {
	amperes, volts := s.fullScale(ohms[0], ohms[1])
	dst[ByCurrent] = 100 * (s.Old.Amperes/amperes - 1)
	dst[ByVoltage] = 100 * (s.Old.Volts()/volts - 1)
}

// Rising reports how an error moves when the series (slot 0) or the parallel
// resistance (slot 1) grows: +1, −1, or 0 where it does not depend on it.
func (s StandIn) Rising(r, slot int) int {
	if s.Way == SeriesParallel {
		return [][]int{{-1, 1}, {-1, 0}}[r][slot]
	}
	return [][]int{{0, 1}, {-1, 1}}[r][slot]
}

// Slopes are how the two errors, by ByCurrent and ByVoltage, move with
// everything that they are computed from: percent for each ampere and ohm of
// the old movement, ampere and ohm of the new one, and ohm of the series and
// the parallel resistance, in this order.
func (s StandIn) Slopes(series, parallel float64) [2][6]float64 {
	o, n, as := s.Old, s.New, s.Looks(series, parallel)
	// Of the current and the voltage of the stand-in, by the new movement's
	// amperes and ohms, series and parallel.
	var amperes, volts [4]float64
	if s.Way == SeriesParallel {
		amperes = [4]float64{as.Amperes / n.Amperes, n.Amperes / parallel, n.Amperes / parallel, -as.Volts() / parallel / parallel}
		volts = [4]float64{as.Volts() / n.Amperes, n.Amperes, n.Amperes, 0}
	} else {
		amperes = [4]float64{as.Amperes / n.Amperes, n.Amperes / parallel, 0, -n.Volts() / parallel / parallel}
		volts = [4]float64{as.Volts() / n.Amperes, n.Amperes + series*amperes[1], as.Amperes, series * amperes[3]}
	}
	out := [2][6]float64{{100 / as.Amperes}, {100 * o.Ohms / as.Volts(), 100 * o.Amperes / as.Volts()}}
	for i := range amperes {
		out[ByCurrent][i+2] = -100 * o.Amperes / as.Amperes * amperes[i] / as.Amperes
		out[ByVoltage][i+2] = -100 * o.Volts() / as.Volts() * volts[i] / as.Volts()
	}
	return out
}
