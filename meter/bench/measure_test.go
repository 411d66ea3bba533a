package bench_test

import (
	"math"
	"strings"
	"testing"

	"shuntwright/meter/bench"
	"shuntwright/meter/nodal"
	"shuntwright/meter/quantity"
	"shuntwright/meter/spicetest"
)

// Every worked example of testdata/published/movements.csv, which names the
// sources.
func TestPublishedMeasurements(t *testing.T) {
	for _, row := range rows(t, "movements.csv", 8) {
		var got bench.Figure
		var err error
		switch row["method"] {
		case "drop":
			got, err = bench.Drop{Volts: number(t, row["volts"]), Amperes: number(t, row["amperes"])}.CoilOhms()
		case "half":
			d := numbers(t, row["reads"])
			got, err = bench.Half{SeriesOhms: number(t, row["series_ohms"]), ShuntOhms: number(t, row["shunt_ohms"]), Before: d[0], After: d[1]}.CoilOhms()
		case "compare":
			c := bench.Compare{SeriesOhms: [2]float64(numbers(t, row["series_ohms"])), Reads: [2]float64(numbers(t, row["reads"]))}
			if got, err = c.CoilOhms(); row["volts"] != "" {
				full, err := c.FullScaleAmperes(number(t, row["volts"]), c.Reads[0])
				near(t, row["id"]+" full scale", full.Value, number(t, row["amperes"]), 1e-12)
				if err != nil {
					t.Error(err)
				}
			}
		}
		if err != nil {
			t.Errorf("%s: %v", row["id"], err)
			continue
		}
		near(t, row["id"], got.Value, number(t, row["exact_ohms"]), 1e-12)
		if printed := row["printed_ohms"]; printed != "" {
			near(t, row["id"]+" as printed", got.Value, number(t, printed), 2e-3)
		}
	}
}

// The simulator's decks of half deflection: the shunt that it halves the
// movement's current with gives the coil back, and so do shunts that are 1 %
// off with the currents that it found.
func TestHalfAgainstSimulator(t *testing.T) {
	cases, err := spicetest.Load("../../testdata/spice")
	if err != nil {
		t.Fatal(err)
	}
	n := 0
	for _, c := range cases {
		if !strings.HasPrefix(c.Name, "half-deflection") {
			continue
		}
		coil, err := quantity.Parse(c.Movement.Coil, quantity.Ohm, quantity.Positive)
		if err != nil {
			t.Fatal(err)
		}
		before := map[float64]float64{}
		for _, p := range c.Points {
			series := *p.Given.SeriesOhms + c.BatteryOhms
			if p.Given.ShuntOhms == nil {
				before[series] = p.Answers["movement_current_a"]
				continue
			}
			if before[series] == 0 {
				continue // the total current set again: another method
			}
			h := bench.Half{SeriesOhms: series, ShuntOhms: *p.Given.ShuntOhms, Before: before[series], After: p.Answers["movement_current_a"]}
			got, err := h.CoilOhms()
			if err != nil {
				t.Fatal(err)
			}
			near(t, c.Name+" "+p.Point, got.Value, coil.Base, 2e-9) // ten digits of two currents
			full, err := h.FullScaleAmperes(*p.Given.BatteryVolts, before[series])
			if err != nil {
				t.Fatal(err)
			}
			near(t, c.Name+" "+p.Point+" current", full.Value, before[series], 2e-9)
			n++
		}
	}
	if n < 15 {
		t.Errorf("only %d points", n)
	}
}

// deflection is the current in a coil behind a battery and a series resistor,
// with a shunt across it unless that is infinite.
func deflection(t *testing.T, volts, series, shunt, coil float64) float64 {
	t.Helper()
	var net nodal.Netlist
	net.VoltSource("emf", nodal.Ground, volts)
	net.Resistor("emf", "meter", series)
	net.Resistor("meter", nodal.Ground, shunt)
	e := net.Resistor("meter", nodal.Ground, coil)
	s, err := net.Solve()
	if err != nil {
		t.Fatal(err)
	}
	return s.Through(e)
}

// What the nodes of a circuit say the pointer shows gives the coil back,
// whatever the movement, the battery and the resistors.
func TestMeasurementsAgainstNodes(t *testing.T) {
	for _, coil := range []float64{0.5, 98.6, 2150, 1e5} {
		for _, times := range []float64{1.7, 12, 300} {
			series, volts, off := coil*times, 1.5, math.Inf(1)
			full := volts / (series + coil) / 0.9 // so the first reading stands at 90 % of 50 divisions
			read := func(series, shunt float64) float64 { return 50 / full * deflection(t, volts, series, shunt, coil) }
			for _, shunt := range []float64{coil / 3, coil, 5 * coil} {
				h := bench.Half{SeriesOhms: series, ShuntOhms: shunt, Before: read(series, off), After: read(series, shunt)}
				got, err := h.CoilOhms()
				if err != nil {
					t.Fatal(err)
				}
				near(t, "half", got.Value, coil, 1e-9)
				amperes, err := h.FullScaleAmperes(volts, 50)
				if err != nil {
					t.Fatal(err)
				}
				near(t, "half, full scale", amperes.Value, full, 1e-9)
			}
			for _, other := range []float64{0.4, 2, 7} {
				c := bench.Compare{SeriesOhms: [2]float64{series, series * other}, Reads: [2]float64{read(series, off), read(series*other, off)}}
				got, err := c.CoilOhms()
				if err != nil {
					t.Fatal(err)
				}
				near(t, "compare", got.Value, coil, 1e-8)
				amperes, err := c.FullScaleAmperes(volts, 50)
				if err != nil {
					t.Fatal(err)
				}
				near(t, "compare, full scale", amperes.Value, full, 1e-9)
			}
		}
	}
}

// Every slope is what a small step of its quantity does.
func TestSlopesOfMeasurements(t *testing.T) {
	slopes := func(name string, at []float64, figure func(x []float64) (bench.Figure, error)) {
		t.Helper()
		f, err := figure(at)
		if err != nil {
			t.Fatal(err)
		}
		if len(f.Slopes) != len(at) {
			t.Fatalf("%s: %d slopes for %d quantities", name, len(f.Slopes), len(at))
		}
		for i := range at {
			near(t, name, f.Slopes[i], stepped(at, i, func(x []float64) float64 { f, _ := figure(x); return f.Value }), 1e-6)
		}
	}
	slopes("drop", []float64{0.0986, 1e-3}, func(x []float64) (bench.Figure, error) { return bench.Drop{Volts: x[0], Amperes: x[1]}.CoilOhms() })
	slopes("drop, full scale", []float64{0.0986, 0.6e-3, 30, 50}, func(x []float64) (bench.Figure, error) {
		return bench.Drop{Volts: x[0], Amperes: x[1]}.FullScaleAmperes(x[2], x[3])
	})
	half := func(x []float64) bench.Half {
		return bench.Half{SeriesOhms: x[0], ShuntOhms: x[1], Before: x[2], After: x[3]}
	}
	slopes("half", []float64{1400, 80, 48, 22}, func(x []float64) (bench.Figure, error) { return half(x).CoilOhms() })
	slopes("half, full scale", []float64{1400, 80, 48, 22, 1.5, 50}, func(x []float64) (bench.Figure, error) { return half(x).FullScaleAmperes(x[4], x[5]) })
	compare := func(x []float64) bench.Compare {
		return bench.Compare{SeriesOhms: [2]float64{x[0], x[1]}, Reads: [2]float64{x[2], x[3]}}
	}
	slopes("compare", []float64{1400, 2900, 49, 24.5}, func(x []float64) (bench.Figure, error) { return compare(x).CoilOhms() })
	slopes("compare, full scale", []float64{1400, 2900, 49, 24.5, 1.5, 50}, func(x []float64) (bench.Figure, error) {
		return compare(x).FullScaleAmperes(x[4], x[5])
	})
}

// What no coil gives is refused, and says what would be right.
func TestMeasurementsRefused(t *testing.T) {
	coil := func(f bench.Figure, err error) error { return err }
	for want, err := range map[string]error{
		"a reading of 0 of 50 marks at 0.1 A; all must":  coil(bench.Drop{Volts: 1, Amperes: 0.1}.FullScaleAmperes(0, 50)),
		"both must be more than zero":                    coil(bench.Drop{Volts: 0.1}.CoilOhms()),
		"must be less than 100.0 Ω: else no coil":        coil(bench.Half{SeriesOhms: 100, ShuntOhms: 100, Before: 1, After: 0.5}.CoilOhms()),
		"must be less than 50.00 Ω: else no coil":        coil(bench.Half{SeriesOhms: 50, ShuntOhms: 60, Before: 1, After: 0.5}.CoilOhms()),
		"series 0 ohm, shunt 60 ohm; both must":          coil(bench.Half{ShuntOhms: 60, Before: 1, After: 0.5}.CoilOhms()),
		"50 without the shunt and 50 with it":            coil(bench.Half{SeriesOhms: 500, ShuntOhms: 60, Before: 50, After: 50}.CoilOhms()),
		"both readings are 25":                           coil(bench.Compare{SeriesOhms: [2]float64{1, 2}, Reads: [2]float64{25, 25}}.CoilOhms()),
		"would make the coil -3.000 kΩ":                  coil(bench.Compare{SeriesOhms: [2]float64{1e3, 2e3}, Reads: [2]float64{25, 50}}.CoilOhms()),
		"neither may be less than zero":                  coil(bench.Compare{SeriesOhms: [2]float64{-1, 2}, Reads: [2]float64{25, 50}}.CoilOhms()),
		"readings 0 and 50; both must be more":           coil(bench.Compare{SeriesOhms: [2]float64{1, 2}, Reads: [2]float64{0, 50}}.CoilOhms()),
		"a battery of 0 V, 50 marks":                     coil(bench.Half{SeriesOhms: 500, ShuntOhms: 60, Before: 50, After: 25}.FullScaleAmperes(0, 50)),
		"a battery of 1.5 V, NaN marks; both must be mo": coil(bench.Compare{SeriesOhms: [2]float64{1400, 2900}, Reads: [2]float64{50, 25}}.FullScaleAmperes(1.5, math.NaN())),
	} {
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%v, want %q", err, want)
		}
	}
}
