package reading_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"shuntwright/meter"
	"shuntwright/meter/quantity"
	"shuntwright/meter/reading"
)

// transmitter is a meter of three shunts that stay in their leads and three
// multipliers, all invented, and what it really is: its figures are off within
// what they are trusted to. What it shows is reckoned by hand, not by the meter.
type transmitter struct {
	m      *meter.Meter
	file   meter.State
	doubts [][]float64
	truth  meter.State
}

func newTransmitter(t *testing.T, r *rand.Rand) transmitter {
	t.Helper()
	var circuits []meter.Circuit
	for i, full := range []float64{10e-3, 100e-3, 250e-3, 10, 400, 2000} {
		one := meter.Range{FullScale: full, Unit: quantity.Ampere, CircuitVolts: math.NaN()}
		kind, given := "external-shunt", map[string]float64{"series": 0}
		if i > 2 {
			one.Unit, kind, given = quantity.Volt, "multiplier", nil
		}
		one.Name = quantity.Format(full, one.Unit, 3)
		c, err := meter.NewCircuit(kind, meter.Spec{Ranges: []meter.Range{one}, Given: given})
		if err != nil {
			t.Fatal(err)
		}
		circuits = append(circuits, c)
	}
	m, err := meter.New("transmitter", meter.NewMovement(1.013e-3, 86.97), 2.5, circuits)
	if err != nil {
		t.Fatal(err)
	}
	targets, err := m.Targets()
	if err != nil {
		t.Fatal(err)
	}
	x := transmitter{m: m, file: m.State(targets)}
	x.truth, x.doubts = doubtful(r, m, x.file)
	return x
}

// drifted is the meter with its coil so many kelvin warmer, copper being 0.393 %/K
// (IEC 60028), and some positions off by so many percent.
func (x transmitter) drifted(kelvin float64, percent map[int]float64) transmitter {
	x.truth = x.truth.With(0, x.truth.Ohms[0]*(1+0.00393*kelvin))
	for i, off := range percent {
		p := x.m.Positions()[i].Resistor
		x.truth = x.truth.With(p, x.truth.Ohms[p]*(1+off/100))
	}
	return x
}

// read reads some ranges, half way and at full scale, to a tenth of a division.
func (x transmitter) read(r *rand.Rand, ranges ...int) []reading.Reading {
	var out []reading.Reading
	for _, k := range ranges {
		full, coil, part := x.m.Ranges()[k].FullScale, x.truth.Ohms[0], x.truth.Ohms[x.m.Positions()[k].Resistor]
		through := full * part / (part + coil)
		if k > 2 {
			through = full / (part + coil)
		}
		for _, share := range []float64{0, 0.5, 1} {
			shown := math.Round(500*share*through/x.truth.FullScaleAmperes+1.4*r.Float64()-0.7) / 500
			out = append(out, reading.Reading{Range: k, Reference: share * full, ReferenceLimit: 0.003 * share * full, Indicated: shown * full, IndicatedLimit: limit * full})
		}
	}
	return out
}

func (x transmitter) diagnose(rds []reading.Reading) reading.Diagnosis {
	j := reading.Judge(x.m.Ranges(), rds, x.m.Class, false)
	return reading.Diagnose(reading.Case{Meter: x.m, State: x.file, Readings: rds, Doubts: x.doubts, Divisions: divisions, Verdict: j.Verdict})
}

// blames reports whether just these causes are in the first explanation, each by
// name or as one that cannot be told from what is named.
func blames(d reading.Diagnosis, names ...string) bool {
	if len(d.Explanations) == 0 || !d.Explanations[0].Explains || len(d.Explanations[0].Amounts) != len(names) {
		return false
	}
	return !slices.ContainsFunc(names, func(name string) bool {
		return !slices.ContainsFunc(d.Explanations[0].Amounts, func(a reading.Amount) bool { return a.Cause.Name == name || slices.Contains(a.SameAs, name) })
	})
}

var everyRange = []int{0, 1, 2, 3, 4, 5}

// A warm coil and a multiplier that has drifted: the larger of the two alone comes
// within what limits allow all readings together, and leaves three shunts off
// together. Both are to be named.
func TestWarmCoilBesideAFault(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 1))
	n, right := 40, 0
	for range n {
		x := newTransmitter(t, r)
		p := 3 + r.IntN(3)
		off := 3 + 3*r.Float64()
		rds := x.drifted(8, map[int]float64{p: off}).read(r, everyRange...)
		if d := x.diagnose(rds); blames(d, "coil", x.m.Positions()[p].Name) {
			right++
		}
	}
	t.Logf("both named in %.1f %% of %d", percent(right, n), n)
	if percent(right, n) < 80 {
		t.Errorf("both named in only %.1f %%", percent(right, n))
	}
}
