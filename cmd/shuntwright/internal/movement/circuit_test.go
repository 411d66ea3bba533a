package movement

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"shuntwright/meter/metertest"
	"shuntwright/meter/nodal"
)

// Every stand-in of testdata/published/stand-ins.csv, which names the sources.
func TestPublishedStandIns(t *testing.T) {
	for _, row := range metertest.Rows(t, "../../../../testdata/published/stand-ins.csv", 4) {
		c := circuit{terminals{row.Number(t, "old_a"), row.Number(t, "old_ohms")}, terminals{row.Number(t, "new_a"), row.Number(t, "new_ohms")}, row["way"] == "parallel-series"}
		r, p, err := c.resistors()
		if err != nil {
			t.Errorf("%s: %v", row["id"], err)
		}
		near(t, row["id"]+" series", r, row.Number(t, "series_ohms"), 1e-12)
		near(t, row["id"]+" parallel", p, row.Number(t, "parallel_ohms"), 1e-12)
	}
}

// solved solves a circuit by its nodes: the current at the terminals that leaves
// the new movement at its last mark, and the resistance between them.
func (c circuit) solved(t *testing.T, series, parallel float64) terminals {
	t.Helper()
	var net nodal.Netlist
	net.CurrentSource(nodal.Ground, "in", 1)
	net.Resistor("in", "movement", series)
	across := "in"
	if c.shunted {
		across = "movement"
	}
	net.Resistor(across, nodal.Ground, parallel)
	coil := net.Resistor("movement", nodal.Ground, c.new.ohms)
	s, err := net.Solve()
	if err != nil {
		t.Fatal(err)
	}
	return terminals{c.new.amperes / s.Through(coil), s.Volts("in")}
}

// draw is a circuit that is possible, with a movement to replace that takes more
// current and voltage, and its resistors.
func draw(rng *rand.Rand) (c circuit, series, parallel float64) {
	c = circuit{new: terminals{1e-5 * math.Exp(5*rng.Float64()), 10 * math.Exp(6*rng.Float64())}, shunted: rng.IntN(2) == 1}
	c.old.amperes = c.new.amperes * (1.01 + 9*rng.Float64())
	c.old.ohms = c.new.volts() * (1.01 + 9*rng.Float64()) / c.old.amperes
	series, parallel, _ = c.resistors()
	return c, series, parallel
}

// By the nodes of the circuit both full scale and terminal resistance are the
// old movement's, and with any other resistors they are as looks says.
func TestStandInAgainstNodes(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 1))
	for range 200 {
		c, series, parallel := draw(rng)
		got := c.solved(t, series, parallel)
		near(t, "full scale", got.amperes, c.old.amperes, 1e-9)
		near(t, "resistance", got.ohms, c.old.ohms, 1e-9)
		series, parallel = series*(0.5+rng.Float64()), parallel*(0.5+rng.Float64())
		want, looks := c.solved(t, series, parallel), c.looks(series, parallel)
		near(t, "looks", looks.amperes, want.amperes, 1e-9)
		near(t, "looks", looks.ohms, want.ohms, 1e-9)
	}
}

// Errors go the way that rising says, and slopes are what a small step of each
// quantity does to them.
func TestSlopesOfStandIn(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 2))
	for range 100 {
		c, series, parallel := draw(rng)
		at := []float64{c.old.amperes, c.old.ohms, c.new.amperes, c.new.ohms, 1.1 * series, 0.8 * parallel}
		for r, slopes := range c.slopes(at[4], at[5]) {
			for i, slope := range slopes {
				want := stepped(at, i, func(x []float64) float64 {
					return circuit{terminals{x[0], x[1]}, terminals{x[2], x[3]}, c.shunted}.errors([2]float64(x[4:]))[r]
				})
				if !(math.Abs(slope-want) <= 1e-6*(math.Abs(want)+100/at[i])) {
					t.Errorf("shunted %v: error %d by quantity %d: %g, want %g", c.shunted, r, i, slope, want)
				}
				if i < 4 {
					continue
				}
				if sign := c.rising(r, i-4); float64(sign)*slope <= 0 && (sign != 0 || slope != 0) {
					t.Errorf("shunted %v: error %d rising with slot %d: %d, and it moves by %g", c.shunted, r, i-4, sign, slope)
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
		c, series, parallel := draw(rng)
		series, parallel = series*(0.9+0.2*rng.Float64()), parallel*(0.9+0.2*rng.Float64())
		errors, looks := c.errors([2]float64{series, parallel}), c.looks(series, parallel)
		least, most := min(errors[0], errors[1]), max(errors[0], errors[1])
		branch, across, lead := c.old.ohms*rng.Float64()*5, c.old.ohms*rng.Float64()*5, c.old.ohms*rng.Float64()*5
		for name, applied := range map[string]func(terminals) float64{
			"shunt":      func(m terminals) float64 { return m.amperes + m.volts()/across },
			"multiplier": func(m terminals) float64 { return m.volts() + m.amperes*branch },
			"in a lead":  func(m terminals) float64 { return m.amperes + (m.volts()+m.amperes*branch)/across },
			"behind":     func(m terminals) float64 { return m.volts() + (m.amperes+m.volts()/across)*lead },
		} {
			if off := 100 * (applied(c.old)/applied(looks) - 1); off < least-1e-9 || off > most+1e-9 {
				t.Errorf("%s: %g %%, outside of %g to %g", name, off, least, most)
			}
		}
	}
}

// The same current takes a series resistor alone, the same voltage a parallel
// one; a movement that needs more than the old one cannot stand in for it.
func TestOneResistorOrNone(t *testing.T) {
	for _, shunted := range []bool{false, true} {
		c := circuit{terminals{1e-3, 98.6}, terminals{1e-3, 60}, shunted}
		r, p, err := c.resistors()
		if err != nil || !math.IsInf(p, 1) {
			t.Errorf("shunted %v: parallel %g, %v", shunted, p, err)
		}
		near(t, "series", r, 38.6, 1e-12)
		near(t, "resistance", c.looks(r, p).ohms, 98.6, 1e-12)
		c.new = terminals{0.4e-3, 246.5}
		if r, p, err = c.resistors(); err != nil || r != 0 {
			t.Errorf("shunted %v: series %g, %v", shunted, r, err)
		}
		near(t, "full scale", c.looks(r, p).amperes, 1e-3, 1e-12)
		for want, other := range map[string]terminals{
			"needs 2.000 mA and the old one 1.000 mA":                                {2e-3, 10},
			"needs 100.0 mV (500.0 µA through 200.0 Ω) and the old one 98.60 mV":     {5e-4, 200},
			"is like the old one already, 1.000 mA and 98.60 Ω":                      c.old,
			"movements of 0.001 A, 98.6 ohm and 0.001 A, 0 ohm; all must be more th": {1e-3, 0},
		} {
			c.new = other
			if _, _, err := c.resistors(); err == nil || !strings.Contains(err.Error(), want) {
				t.Errorf("%v, want %q", err, want)
			}
		}
	}
}
