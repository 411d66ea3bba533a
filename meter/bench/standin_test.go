package bench_test

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"shuntwright/meter/bench"
	"shuntwright/meter/nodal"
)

// Every stand-in of testdata/published/stand-ins.csv, which names the sources.
func TestPublishedStandIns(t *testing.T) {
	for _, row := range rows(t, "stand-ins.csv", 4) {
		of := bench.StandIn{Old: bench.Terminals{Amperes: number(t, row["old_a"]), Ohms: number(t, row["old_ohms"])},
			New: bench.Terminals{Amperes: number(t, row["new_a"]), Ohms: number(t, row["new_ohms"])}}
		for _, of.Way = range bench.Ways {
			if of.Way.String() != row["way"] {
				continue
			}
			series, parallel, err := of.Resistors()
			if err != nil {
				t.Errorf("%s: %v", row["id"], err)
			}
			near(t, row["id"]+" series", series, number(t, row["series_ohms"]), 1e-12)
			near(t, row["id"]+" parallel", parallel, number(t, row["parallel_ohms"]), 1e-12)
		}
	}
}

// terminals solves the circuit of a stand-in: the current at the terminals that
// leaves the new movement at its last mark, and the resistance between them.
func terminals(t *testing.T, of bench.StandIn, series, parallel float64) bench.Terminals {
	t.Helper()
	var net nodal.Netlist
	net.CurrentSource(nodal.Ground, "in", 1)
	top := "in" // of the new movement
	if of.Way == bench.SeriesParallel {
		net.Resistor("in", nodal.Ground, parallel)
		net.Resistor("in", "movement", series)
		top = "movement"
	} else {
		net.Resistor("in", "movement", series)
		net.Resistor("movement", nodal.Ground, parallel)
		top = "movement"
	}
	coil := net.Resistor(top, nodal.Ground, of.New.Ohms)
	s, err := net.Solve()
	if err != nil {
		t.Fatal(err)
	}
	return bench.Terminals{Amperes: of.New.Amperes / s.Through(coil), Ohms: s.Volts("in")}
}

// draw is a stand-in that is possible, with a movement to replace that takes
// more current and voltage.
func draw(rng *rand.Rand) bench.StandIn {
	of := bench.StandIn{New: bench.Terminals{Amperes: 1e-5 * math.Exp(5*rng.Float64()), Ohms: 10 * math.Exp(6*rng.Float64())}, Way: bench.Ways[rng.IntN(2)]}
	of.Old.Amperes = of.New.Amperes * (1.01 + 9*rng.Float64())
	of.Old.Ohms = of.New.Volts() * (1.01 + 9*rng.Float64()) / of.Old.Amperes
	return of
}

// By the nodes of the circuit both full scale and terminal resistance are the
// old movement's, and with any other resistors they are as Looks says.
func TestStandInAgainstNodes(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 1))
	for range 200 {
		of := draw(rng)
		series, parallel, err := of.Resistors()
		if err != nil {
			t.Fatal(err)
		}
		got := terminals(t, of, series, parallel)
		near(t, of.Way.String()+" full scale", got.Amperes, of.Old.Amperes, 1e-9)
		near(t, of.Way.String()+" resistance", got.Ohms, of.Old.Ohms, 1e-9)
		series, parallel = series*(0.5+rng.Float64()), parallel*(0.5+rng.Float64())
		want, looks := terminals(t, of, series, parallel), of.Looks(series, parallel)
		near(t, of.Way.String()+" looks", looks.Amperes, want.Amperes, 1e-9)
		near(t, of.Way.String()+" looks", looks.Ohms, want.Ohms, 1e-9)
	}
}

// Errors go the way that Rising says, and Slopes are what a small step of each
// quantity does to them.
func TestSlopesOfStandIn(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 2))
	for range 100 {
		of := draw(rng)
		series, parallel, _ := of.Resistors()
		at := []float64{of.Old.Amperes, of.Old.Ohms, of.New.Amperes, of.New.Ohms, 1.1 * series, 0.8 * parallel}
		slopes := of.Slopes(at[4], at[5])
		for r := range slopes {
			failed := func(x []float64) float64 {
				dst := make([]float64, 2)
				bench.StandIn{Old: bench.Terminals{Amperes: x[0], Ohms: x[1]}, New: bench.Terminals{Amperes: x[2], Ohms: x[3]}, Way: of.Way}.Errors(dst, x[4:])
				return dst[r]
			}
			for i, slope := range slopes[r] {
				want := stepped(at, i, failed)
				if !(math.Abs(slope-want) <= 1e-6*(math.Abs(want)+100/at[i])) {
					t.Errorf("%v: error %d by quantity %d: %g, want %g", of.Way, r, i, slope, want)
				}
				if i < 4 {
					continue
				}
				if sign := of.Rising(r, i-4); float64(sign)*slope <= 0 && (sign != 0 || slope != 0) {
					t.Errorf("%v: error %d rising with slot %d: %d, and it moves by %g", of.Way, r, i-4, sign, slope)
				}
			}
		}
	}
}

// No range is further off than the worse of the two errors: here a shunt, a
// multiplier, a shunt in a lead and a shunt behind a multiplier.
func TestNoRangeIsFurtherOff(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 3))
	for range 200 {
		of := draw(rng)
		series, parallel, _ := of.Resistors()
		series, parallel = series*(0.9+0.2*rng.Float64()), parallel*(0.9+0.2*rng.Float64())
		errors := make([]float64, 2)
		of.Errors(errors, []float64{series, parallel})
		least, most := min(errors[0], errors[1]), max(errors[0], errors[1])
		looks := of.Looks(series, parallel)
		branch, across, lead := of.Old.Ohms*rng.Float64()*5, of.Old.Ohms*rng.Float64()*5, of.Old.Ohms*rng.Float64()*5
		for name, applied := range map[string]func(bench.Terminals) float64{
			"shunt":      func(m bench.Terminals) float64 { return m.Amperes + m.Volts()/across },
			"multiplier": func(m bench.Terminals) float64 { return m.Volts() + m.Amperes*branch },
			"in a lead":  func(m bench.Terminals) float64 { return m.Amperes + (m.Volts()+m.Amperes*branch)/across },
			"behind":     func(m bench.Terminals) float64 { return m.Volts() + (m.Amperes+m.Volts()/across)*lead },
		} {
			if off := 100 * (applied(of.Old)/applied(looks) - 1); off < least-1e-9 || off > most+1e-9 {
				t.Errorf("%s: %g %%, outside of %g to %g", name, off, least, most)
			}
		}
	}
}

// The same current takes a series resistor alone, the same voltage a parallel one.
func TestStandInWithOneResistor(t *testing.T) {
	for _, way := range bench.Ways {
		of := bench.StandIn{Old: bench.Terminals{Amperes: 1e-3, Ohms: 98.6}, New: bench.Terminals{Amperes: 1e-3, Ohms: 60}, Way: way}
		series, parallel, err := of.Resistors()
		if err != nil || !math.IsInf(parallel, 1) {
			t.Errorf("%v: parallel %g, %v", way, parallel, err)
		}
		near(t, "series", series, 38.6, 1e-12)
		near(t, "resistance", of.Looks(series, parallel).Ohms, 98.6, 1e-12)
		of.New = bench.Terminals{Amperes: 0.4e-3, Ohms: 246.5}
		if series, parallel, err = of.Resistors(); err != nil || series != 0 {
			t.Errorf("%v: series %g, %v", way, series, err)
		}
		near(t, "full scale", of.Looks(series, parallel).Amperes, 1e-3, 1e-12)
	}
}

// A movement that needs more than the old one cannot stand in for it.
func TestStandInRefused(t *testing.T) {
	old := bench.Terminals{Amperes: 1e-3, Ohms: 98.6}
	for want, other := range map[string]bench.Terminals{
		"needs 2.000 mA and the old one 1.000 mA":                                {Amperes: 2e-3, Ohms: 10},
		"needs 100.0 mV (500.0 µA through 200.0 Ω) and the old one 98.60 mV":     {Amperes: 5e-4, Ohms: 200},
		"is like the old one already, 1.000 mA and 98.60 Ω":                      old,
		"movements of 0.001 A, 98.6 ohm and 0.001 A, 0 ohm; all must be more th": {Amperes: 1e-3},
	} {
		for _, way := range bench.Ways {
			if _, _, err := (bench.StandIn{Old: old, New: other, Way: way}).Resistors(); err == nil || !strings.Contains(err.Error(), want) {
				t.Errorf("%v, want %q", err, want)
			}
		}
	}
}
