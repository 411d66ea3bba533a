package movement

import (
	"math"
	"math/rand/v2"
	"os"
	"testing"

	"shuntwright/cmd/shuntwright/internal/asbuilt"
	"shuntwright/cmd/shuntwright/internal/asbuilt/asbuilttest"
	"shuntwright/inventory"
	"shuntwright/match/matchtest"
	"shuntwright/meter"
	"shuntwright/meter/meterfile"
)

// standIn is a stand-in of movements that are known exactly, with a drawer.
func standIn(t *testing.T, drawer string, old, other terminals, atMost int) StandIn {
	t.Helper()
	b := asbuilttest.Bench(t, drawer, "{}")
	side := func(of terminals) Side { return SideOf(of.amperes, 0, inventory.Measured{Ohms: of.ohms}) }
	return StandIn{Old: side(old), New: side(other), Bench: b, Chosen: b.Free(nil, asbuilt.Wanted{}), AtMost: atMost, Within: 0.2, Derate: 0.5}
}

// The substitute of a radio hobbyist's workbench page
// (testdata/published/stand-ins.csv): 1800 ohm in series and 2800 ohm across.
func TestPublishedSubstitute(t *testing.T) {
	s := standIn(t, "id,ohms\nA,1800.0\nB,2800.0\nC,1000\n", terminals{200e-6, 1400}, terminals{100e-6, 1000}, 1)
	ways, err := s.ways(t.Context())
	if err != nil || len(ways) != 2 {
		t.Fatal(len(ways), err)
	}
	first := ways[0]
	if !first.filled || first.networks[series].String() != "A" || first.networks[parallel].String() != "B" || first.worst() > 1e-9 {
		t.Errorf("%v, %v, %g %%", first.networks[series], first.networks[parallel], first.worst())
	}
	if ways[1].filled || closer(ways) != 0 { // 900 and 1000 ohm, and there is one part for both
		t.Errorf("%+v is filled; %d comes closer", ways[1], closer(ways))
	}
	looks := first.looks(1800, 2800)
	near(t, "full scale", looks.amperes, 200e-6, 1e-12)
	near(t, "resistance", looks.ohms, 1400, 1e-12)
}

// With single parts no two of the drawer do better than those chosen, in either
// way: all are tried.
func TestStandInAgainstAllPairs(t *testing.T) {
	const drawer = "id,ohms\nA,44.1\nB,52.3\nC,186.5\nD,214\nE,139.7\nF,158.2\nG,22.9\nH,27.3\nI,203.1\n"
	s := standIn(t, drawer, terminals{1e-3, 100}, terminals{5e-4, 150}, 1)
	ways, err := s.ways(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	for _, w := range ways {
		best := math.Inf(1)
		for i, a := range s.Bench.Measured {
			for j, b := range s.Bench.Measured {
				within := math.Abs(a.Ohms/w.targets[series]-1) <= s.Within && math.Abs(b.Ohms/w.targets[parallel]-1) <= s.Within
				if i == j || !within {
					continue
				}
				errors := w.errors([2]float64{a.Ohms, b.Ohms})
				best = min(best, max(math.Abs(errors[0]), math.Abs(errors[1])))
			}
		}
		near(t, w.name, w.worst(), best, 1e-9)
		if !w.filled || !w.proven {
			t.Errorf("%s: filled %v, proven %v", w.name, w.filled, w.proven)
		}
	}
	if closer := ways[closer(ways)]; closer.worst() > min(ways[0].worst(), ways[1].worst()) || ways[0].worst() == ways[1].worst() {
		t.Errorf("%s comes closer with %g %%; %g %% and %g %%", closer.name, closer.worst(), ways[0].worst(), ways[1].worst())
	}
}

// The response keeps the contract that the search rests on.
func TestResponseContract(t *testing.T) {
	for _, shunted := range []bool{false, true} {
		for slots, at := range map[int][]int{2: {series, parallel}, 1: {parallel}} {
			w := &way{circuit: circuit{terminals{1e-3, 100}, terminals{5e-4, 150}, shunted}, targets: [2]float64{30, 160}}
			matchtest.Check(t, response{w, at}, 2, slots, func(rng *rand.Rand) []float64 {
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
		side := func(amperes float64) Side { return SideOf(amperes, 0, inventory.Measured{Ohms: mv.CoilOhms}) }
		s := StandIn{Old: side(mv.FullScaleAmperes), New: side(0.6 * mv.FullScaleAmperes)}
		ways, err := s.ways(t.Context())
		if err != nil {
			t.Fatal(err)
		}
		for _, w := range ways {
			w.targets = [2]float64{1.02 * w.targets[series], 0.97 * w.targets[parallel]}
			s.judge(&w)
			looks := w.looks(w.targets[series], w.targets[parallel])
			state := f.Meter.State(targets)
			state.FullScaleAmperes, state.Ohms[asbuilt.CoilOf(f.Meter)] = looks.amperes, looks.ohms
			errors := make([]float64, len(f.Meter.Ranges()))
			f.Meter.Errors(errors, state)
			for i, e := range errors {
				if !(math.Abs(e) <= w.worst()+1e-9) {
					t.Errorf("%s, %v: %s reads %g %%, and %g %% is said to be the most", name, w.name, f.Meter.Ranges()[i].Name, e, w.worst())
				}
			}
		}
	}
}

// A limit by hand, and what warmth does: a series resistor alone, the new coil
// known to 1 % and all else exact. The voltage for the last mark moves by 0.6
// of 98.6 ohm; 10 K make the coil 3.93 % larger (copper, IEC 60028).
func TestStandInLimitAndWarmth(t *testing.T) {
	s := standIn(t, "id,ohms,gain_percent,floor_ohms\nA,38.6,0,0\n", terminals{1e-3, 98.6}, terminals{1e-3, 60}, 1)
	s.New.Ohms.GainPercent = 1
	ways, err := s.ways(t.Context())
	if err != nil || len(ways) != 1 || !ways[0].filled {
		t.Fatal(ways, err)
	}
	w := ways[0]
	near(t, "limit", w.limits[byVoltage].Limit, 1.65*100*0.6/98.6/math.Sqrt(3), 1e-9)
	if w.limits[byCurrent].Limit != 0 || w.errs[byCurrent] != 0 {
		t.Errorf("current: %g ± %g", w.errs[byCurrent], w.limits[byCurrent].Limit)
	}
	warm := w.warmed(meter.CopperPerKelvin, 10)
	near(t, "warm", warm[byVoltage], 100*(98.6/(98.6+60*0.0393)-1), 1e-9)
	if warm[byCurrent] != 0 {
		t.Errorf("current moves by %g %% with the temperature", warm[byCurrent])
	}
	// The series resistor of the published substitute known to 1 %, 18 ohm: 1.8
	// mV of 280 mV, and 0.643 of 200 µA through 2800 ohm.
	s = standIn(t, "id,ohms,gain_percent,floor_ohms\nA,1800,1,0\nB,2800,0,0\n", terminals{200e-6, 1400}, terminals{100e-6, 1000}, 1)
	if ways, err = s.ways(t.Context()); err != nil {
		t.Fatal(err)
	}
	near(t, "limit of the voltage", ways[0].limits[byVoltage].Limit, 1.65*100*1.8/280/math.Sqrt(3), 1e-9)
	near(t, "limit of the current", ways[0].limits[byCurrent].Limit, 1.65*100*1.8/2800e-3/200e-3/1e3/math.Sqrt(3), 1e-9)
}

// A part too weak for the current is not taken, though it is nearer: at full
// scale 1 mA flows through a series resistor (39 µW, of which half may be
// used), and 0.6 mA through a parallel one (59 µW).
func TestStandInHoldsRatings(t *testing.T) {
	for drawer, other := range map[string]terminals{
		"id,ohms,watts\nA,38.6,0.000076\nB,38.9,0.000079\n":  {1e-3, 60},
		"id,ohms,watts\nA,164.33,0.00011\nB,165.1,0.00012\n": {0.4e-3, 246.5},
	} {
		s := standIn(t, drawer, terminals{1e-3, 98.6}, other, 1)
		ways, err := s.ways(t.Context())
		if err != nil || len(ways) != 1 || ways[0].networks[series].String()+ways[0].networks[parallel].String() != "B" {
			t.Errorf("%v, %v", ways[0].networks, err)
		}
	} // Behind a shunt the series resistor carries the old movement's current, 1 mA: 25 µW.
	s := standIn(t, "id,ohms,watts\nA,25,0.00004\nB,25.2,0.000051\nC,150,1\n", terminals{1e-3, 100}, terminals{5e-4, 150}, 1)
	if ways, err := s.ways(t.Context()); err != nil || ways[1].networks[series].String() != "B" {
		t.Errorf("%v, %v", ways[1].networks, err)
	}
}
