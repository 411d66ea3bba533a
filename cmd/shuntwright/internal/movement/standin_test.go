package movement

import (
	"context"
	"math"
	"math/rand/v2"
	"os"
	"strings"
	"testing"

	"shuntwright/cmd/shuntwright/internal/asbuilt"
	"shuntwright/inventory"
	"shuntwright/match/matchtest"
	"shuntwright/meter"
	"shuntwright/meter/bench"
	"shuntwright/meter/meterfile"
)

// standIn is a stand-in of movements that are known exactly, with a drawer.
func standIn(t *testing.T, drawer string, old, other bench.Terminals, atMost int) StandIn {
	t.Helper()
	d, err := inventory.ParseDrawer("drawer.csv", strings.NewReader(drawer))
	if err != nil {
		t.Fatal(err)
	}
	b, err := asbuilt.Measure(d, inventory.Instruments{})
	if err != nil {
		t.Fatal(err)
	}
	side := func(of bench.Terminals) Side { return SideOf(of.Amperes, 0, inventory.Measured{Ohms: of.Ohms}) }
	return StandIn{Old: side(old), New: side(other), Bench: b, Chosen: b.Free(nil, asbuilt.Wanted{}), AtMost: atMost, Within: 0.2, Derate: 0.5}
}

// The substitute of a radio hobbyist's workbench page
// (testdata/published/stand-ins.csv): 1800 ohm in series and 2800 ohm across.
func TestPublishedSubstitute(t *testing.T) {
	s := standIn(t, "id,ohms\nA,1800.0\nB,2800.0\nC,1000\n", bench.Terminals{Amperes: 200e-6, Ohms: 1400}, bench.Terminals{Amperes: 100e-6, Ohms: 1000}, 1)
	ways, err := s.Ways(context.Background())
	if err != nil || len(ways) != 2 {
		t.Fatal(len(ways), err)
	}
	first := ways[0]
	if !first.Filled || first.Networks[series].String() != "A" || first.Networks[parallel].String() != "B" || first.worst() > 1e-9 {
		t.Errorf("%v, %v, %g %%", first.Networks[series], first.Networks[parallel], first.worst())
	}
	if ways[1].Filled || closer(ways) != 0 { // 900 and 1000 ohm, and there is one part for both
		t.Errorf("%+v is filled; %d comes closer", ways[1], closer(ways))
	}
	looks := first.Looks(1800, 2800)
	near(t, "full scale", looks.Amperes, 200e-6, 1e-12)
	near(t, "resistance", looks.Ohms, 1400, 1e-12)
}

// With single parts no two of the drawer do better than those chosen, in either
// way: all are tried.
func TestStandInAgainstAllPairs(t *testing.T) {
	const drawer = "id,ohms\nA,44.1\nB,52.3\nC,186.5\nD,214\nE,139.7\nF,158.2\nG,22.9\nH,27.3\nI,203.1\n"
	s := standIn(t, drawer, bench.Terminals{Amperes: 1e-3, Ohms: 100}, bench.Terminals{Amperes: 5e-4, Ohms: 150}, 1)
	ways, err := s.Ways(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	for _, w := range ways {
		best := math.Inf(1)
		for i, a := range s.Bench.Measured {
			for j, b := range s.Bench.Measured {
				within := math.Abs(a.Ohms/w.Targets[series]-1) <= s.Within && math.Abs(b.Ohms/w.Targets[parallel]-1) <= s.Within
				if i == j || !within {
					continue
				}
				errors := make([]float64, 2)
				w.StandIn.Errors(errors, []float64{a.Ohms, b.Ohms})
				best = min(best, max(math.Abs(errors[0]), math.Abs(errors[1])))
			}
		}
		near(t, w.Name, w.worst(), best, 1e-9)
		if !w.Filled || !w.Proven {
			t.Errorf("%s: filled %v, proven %v", w.Name, w.Filled, w.Proven)
		}
	}
	if closer := ways[closer(ways)]; closer.worst() > min(ways[0].worst(), ways[1].worst()) || ways[0].worst() == ways[1].worst() {
		t.Errorf("%s comes closer with %g %%; %g %% and %g %%", closer.Name, closer.worst(), ways[0].worst(), ways[1].worst())
	}
}

// The response keeps the contract that the search rests on.
func TestResponseContract(t *testing.T) {
	s := bench.StandIn{Old: bench.Terminals{Amperes: 1e-3, Ohms: 100}, New: bench.Terminals{Amperes: 5e-4, Ohms: 150}}
	for _, s.Way = range bench.Ways {
		for slots, at := range map[int][]int{2: {series, parallel}, 1: {parallel}} {
			matchtest.Check(t, response{s, [2]float64{30, 160}, at}, 2, slots, func(rng *rand.Rand) []float64 {
				out := make([]float64, slots)
				for i := range out {
					out[i] = math.Exp(3 + 4*rng.Float64())
				}
				return out
			}, 300)
		}
	}
}

// Every range of meters of the trade reads within what is said, with a stand-in
// in place of their movement.
func TestStandInInMeters(t *testing.T) {
	for _, name := range []string{"universal-shunt-exercise", "amplifier-meter", "kit-transmitter-meter", "teaching-multimeter"} {
		data, err := os.ReadFile("../../../../testdata/circuits/" + name + ".json")
		if err != nil {
			t.Fatal(err)
		}
		f, err := meterfile.Parse(name, data)
		if err != nil {
			t.Fatal(err)
		}
		mv := f.Meter.Movement
		targets, err := f.Meter.Targets()
		if err != nil {
			t.Fatal(err)
		}
		s := bench.StandIn{Old: bench.Terminals{Amperes: mv.FullScaleAmperes, Ohms: mv.CoilOhms}, New: bench.Terminals{Amperes: 0.6 * mv.FullScaleAmperes, Ohms: mv.CoilOhms}}
		for _, s.Way = range bench.Ways {
			r, p, err := s.Resistors()
			if err != nil {
				t.Fatal(err)
			}
			w := Way{StandIn: s, Targets: [2]float64{1.02 * r, 0.97 * p}}
			StandIn{Old: SideOf(s.Old.Amperes, 0, inventory.Measured{Ohms: s.Old.Ohms}), New: SideOf(s.New.Amperes, 0, inventory.Measured{Ohms: s.New.Ohms})}.judge(&w)
			looks := s.Looks(w.Targets[0], w.Targets[1])
			state := f.Meter.State(targets)
			state.FullScaleAmperes, state.Ohms[asbuilt.CoilOf(f.Meter)] = looks.Amperes, looks.Ohms
			errors := make([]float64, len(f.Meter.Ranges()))
			f.Meter.Errors(errors, state)
			for i, e := range errors {
				if !(math.Abs(e) <= w.worst()+1e-9) {
					t.Errorf("%s, %v: %s reads %g %%, and %g %% is said to be the most", name, s.Way, f.Meter.Ranges()[i].Name, e, w.worst())
				}
			}
		}
	}
}

// A limit by hand, and what warmth does: a series resistor alone, the new coil
// known to 1 % and all else exact. The voltage for the last mark moves by 0.6
// of 98.6 ohm; 10 K make the coil 3.93 % larger (copper, IEC 60028).
func TestStandInLimitAndWarmth(t *testing.T) {
	s := standIn(t, "id,ohms,gain_percent,floor_ohms\nA,38.6,0,0\n", bench.Terminals{Amperes: 1e-3, Ohms: 98.6}, bench.Terminals{Amperes: 1e-3, Ohms: 60}, 1)
	s.New.Ohms.GainPercent = 1
	ways, err := s.Ways(context.Background())
	if err != nil || len(ways) != 1 || !ways[0].Filled {
		t.Fatal(ways, err)
	}
	w := ways[0]
	near(t, "limit", w.Limits[bench.ByVoltage].Limit, 1.65*100*0.6/98.6/math.Sqrt(3), 1e-9)
	if w.Limits[bench.ByCurrent].Limit != 0 || w.Errors[bench.ByCurrent] != 0 {
		t.Errorf("current: %g ± %g", w.Errors[bench.ByCurrent], w.Limits[bench.ByCurrent].Limit)
	}
	warm := w.warmed(meter.CopperPerKelvin, 10)
	near(t, "warm", warm[bench.ByVoltage], 100*(98.6/(98.6+60*0.0393)-1), 1e-9)
	if warm[bench.ByCurrent] != 0 {
		t.Errorf("current moves by %g %% with the temperature", warm[bench.ByCurrent])
	}
	// The series resistor of the published substitute known to 1 %, 18 ohm: 1.8
	// mV of 280 mV, and 0.643 of 200 µA through 2800 ohm.
	s = standIn(t, "id,ohms,gain_percent,floor_ohms\nA,1800,1,0\nB,2800,0,0\n", bench.Terminals{Amperes: 200e-6, Ohms: 1400}, bench.Terminals{Amperes: 100e-6, Ohms: 1000}, 1)
	if ways, err = s.Ways(context.Background()); err != nil {
		t.Fatal(err)
	}
	near(t, "limit of the voltage", ways[0].Limits[bench.ByVoltage].Limit, 1.65*100*1.8/280/math.Sqrt(3), 1e-9)
	near(t, "limit of the current", ways[0].Limits[bench.ByCurrent].Limit, 1.65*100*1.8/2800e-3/200e-3/1e3/math.Sqrt(3), 1e-9)
}

// A part too weak for the current is not taken, though it is nearer: at full
// scale 1 mA flows through a series resistor (39 µW, of which half may be
// used), and 0.6 mA through a parallel one (59 µW).
func TestStandInHoldsRatings(t *testing.T) {
	for drawer, other := range map[string]bench.Terminals{
		"id,ohms,watts\nA,38.6,0.000076\nB,38.9,0.000079\n":  {Amperes: 1e-3, Ohms: 60},
		"id,ohms,watts\nA,164.33,0.00011\nB,165.1,0.00012\n": {Amperes: 0.4e-3, Ohms: 246.5},
	} {
		s := standIn(t, drawer, bench.Terminals{Amperes: 1e-3, Ohms: 98.6}, other, 1)
		ways, err := s.Ways(context.Background())
		if err != nil || len(ways) != 1 || ways[0].Networks[series].String()+ways[0].Networks[parallel].String() != "B" {
			t.Errorf("%v, %v", ways[0].Networks, err)
		}
	} // Behind a shunt the series resistor carries the old movement's current, 1 mA: 25 µW.
	s := standIn(t, "id,ohms,watts\nA,25,0.00004\nB,25.2,0.000051\nC,150,1\n", bench.Terminals{Amperes: 1e-3, Ohms: 100}, bench.Terminals{Amperes: 5e-4, Ohms: 150}, 1)
	if ways, err := s.Ways(context.Background()); err != nil || ways[1].Networks[series].String() != "B" {
		t.Errorf("%v, %v", ways[1].Networks, err)
	}
}
