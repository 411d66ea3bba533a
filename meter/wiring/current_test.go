package wiring

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/diff/fd"
)

func parse(t *testing.T, text string) Network {
	t.Helper()
	n, err := Parse(text)
	if err != nil {
		t.Fatal(err)
	}
	return n
}

// U.A., A.V., K.A. Bakshi, Electronic Instrumentation and Measurements, 3rd
// ed., Ex 2.10 p 2.39: 100 ±0.1 Ω and 50 ±0.03 Ω, limits by root of squares.
// The book rounds to four figures.
func TestPublishedSlopes(t *testing.T) {
	for text, want := range map[string]struct{ ohms, u, printed float64 }{
		"R1 + R2":  {150, 0.1044030650891055, 0.1044},
		"R1 || R2": {100.0 / 3, 0.01735611039090368, 0.01736},
	} {
		n := parse(t, text)
		ohms := []float64{100, 50}
		slopes := n.Slopes(ohms)
		u := math.Hypot(slopes[0]*0.1, slopes[1]*0.03)
		if r := n.Resistance(ohms); math.Abs(r-want.ohms) > 1e-12 {
			t.Errorf("%s is %v Ω, want %v", text, r, want.ohms)
		}
		if math.Abs(u-want.u) > 1e-15 || math.Abs(u-want.printed) > 0.000005 {
			t.Errorf("%s: u = %v Ω, want %v (printed %v)", text, u, want.u, want.printed)
		}
	}
}

// GUM 5.2.2: ten resistors of 1000 Ω in series, each compared with the same
// standard of u = 100 mΩ, have u = 1 Ω together.
func TestPublishedTenResistors(t *testing.T) {
	var of []Network
	ohms := make([]float64, 10)
	for i := range ohms {
		of, ohms[i] = append(of, Network{ID: fmt.Sprint(i)}), 1000
	}
	u := 0.0
	n := Join(Series, of...)
	for _, slope := range n.Slopes(ohms) {
		u += slope * 0.1
	}
	if r := n.Resistance(ohms); r != 10000 || math.Abs(u-1) > 1e-15 {
		t.Errorf("%v Ω with u = %v Ω, want 10000 and 1", r, u)
	}
}

// random makes a network of any shape with so many leaves.
func random(r *rand.Rand, leaves int, op Op) Network {
	if leaves == 1 {
		return Network{ID: fmt.Sprint(r.Uint64())}
	}
	var of []Network
	for leaves > 0 {
		take := 1 + r.IntN(leaves)
		if len(of) == 0 && take == leaves {
			take--
		}
		of = append(of, random(r, take, Series+Parallel-op))
		leaves -= take
	}
	return Join(op, of...)
}

// The slopes are those that differences show, resistance is homogeneous of
// degree 1, and the powers in the leaves are the power in the network.
func TestSlopesAndShares(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	for trial := range 500 {
		n := random(r, 1+trial%7, Series+Op(trial%2))
		if again := parse(t, n.String()); again.String() != n.String() {
			t.Fatalf("%q is %q", n, again)
		}
		ohms := make([]float64, len(n.Leaves()))
		for i := range ohms {
			ohms[i] = math.Pow(10, 4*r.Float64()-1)
		}
		whole := n.Resistance(ohms)
		slopes := n.Slopes(ohms)
		amperes, volts := n.Shares(ohms)
		sum, power := 0.0, 0.0
		for i, slope := range slopes {
			sum += slope * ohms[i]
			power += amperes[i] * volts[i]
			// Each leaf obeys Ohm's law with its shares.
			if got := volts[i] * whole / amperes[i]; math.Abs(got/ohms[i]-1) > 1e-9 {
				t.Fatalf("%q: leaf %d has %v Ω by its shares, want %v", n, i, got, ohms[i])
			}
		}
		if math.Abs(sum/whole-1) > 1e-9 || math.Abs(power-1) > 1e-9 {
			t.Fatalf("%q: Σ slope·R = %v, R = %v; power %v", n, sum, whole, power)
		}
		scaled := make([]float64, len(ohms)) // steps are of the size of each leaf
		for i := range scaled {
			scaled[i] = 1
		}
		f := func(x []float64) float64 {
			at := make([]float64, len(x))
			for i := range at {
				at[i] = x[i] * ohms[i]
			}
			return n.Resistance(at)
		}
		for i, want := range fd.Gradient(nil, f, scaled, &fd.Settings{Formula: fd.Central}) {
			if math.Abs(slopes[i]*ohms[i]-want) > 1e-7*whole {
				t.Fatalf("%q at %v: slope %d is %v, want %v", n, ohms, i, slopes[i], want/ohms[i])
			}
		}
	}
}

func TestResistanceOutsideItsDomain(t *testing.T) {
	n := parse(t, "R1 + (R2 || R3)")
	inf, nan := math.Inf(1), math.NaN()
	if r := n.Resistance([]float64{1, 2, inf}); r != 3 {
		t.Errorf("an open leaf in parallel: %v, want 3", r)
	}
	if r := n.Resistance([]float64{inf, 2, 2}); r != inf {
		t.Errorf("an open leaf in series: %v, want +Inf", r)
	}
	for _, ohms := range [][]float64{nil, {1}, {1, 2}, {1, 2, 3, 4}, {1, 2, nan}} {
		if r := n.Resistance(ohms); !math.IsNaN(r) {
			t.Errorf("Resistance(%v) = %v, want NaN", ohms, r)
		}
		amperes, volts := n.Shares(ohms)
		slopes := n.Slopes(ohms)
		for _, got := range [][]float64{amperes, volts, slopes} {
			if len(got) != 3 || !math.IsNaN(got[0]+got[1]+got[2]) {
				t.Errorf("with %v: %v, want three NaN", ohms, got)
			}
		}
	}
}
