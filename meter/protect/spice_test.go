package protect_test

import (
	"math"
	"testing"

	"shuntwright/meter"
	"shuntwright/meter/meterfile"
	"shuntwright/meter/nodal"
	"shuntwright/meter/protect"
	"shuntwright/meter/quantity"
	"shuntwright/meter/spicetest"
)

// meterOf reads the meter of a point, and its state with the point's
// temperature and fault.
func meterOf(t *testing.T, c spicetest.Case, g spicetest.Given) (*meter.Meter, meter.State) {
	m, ohms := plainMeter(t, c, g)
	st := m.State(ohms)
	if c.TempcoPPM != nil {
		tempcos := m.Tempcos()
		for i, r := range m.Resistors() {
			word := map[string]string{"direct": "", "shunt": "shunt", "multiplier": "multiplier", "ring": "ring", "chain": "chain", "external-shunt": "shunt"}[g.Circuit]
			if r.Name[0] == 's' && r.Name[1] == 'e' {
				word = "series"
			}
			if r.Use == meter.Fitted || r.Use == meter.Given {
				tempcos[i].PPM = c.TempcoPPM[word]
			}
		}
		st = m.AtTemperature(st, c.TemperatureCelsius, tempcos)
	}
	for i, r := range m.Resistors() {
		if f := g.Fault; f != nil && f.Position == r.Name {
			st = st.With(i, map[string]float64{"open": math.Inf(1), "short": 0}[f.State])
		}
	}
	return m, st
}

// plainMeter is the meter as its file or its movement states it.
func plainMeter(t *testing.T, c spicetest.Case, g spicetest.Given) (*meter.Meter, []float64) {
	if mv := g.Movement; mv != nil {
		ohms := func(text string) float64 {
			v, _ := quantity.Parse(text, quantity.Ohm, quantity.Positive)
			return v.Base
		}
		full, _ := quantity.Parse(mv.FullScale, quantity.Ampere, quantity.Positive)
		movement := meter.NewMovement(full.Base, ohms(mv.Coil))
		movement.SwampOhms = ohms(mv.Swamp)
		r, err := meter.ParseRange(g.Range, math.NaN())
		if err != nil {
			t.Fatal(err)
		}
		direct, err := meter.NewCircuit("direct", meter.Spec{Ranges: []meter.Range{r}})
		if err != nil {
			t.Fatal(err)
		}
		m, err := meter.New("bare", movement, math.NaN(), []meter.Circuit{direct})
		if err != nil {
			t.Fatal(err)
		}
		return m, nil
	}
	data, err := c.MeterOf(g.Circuit)
	if err != nil {
		t.Fatal(err)
	}
	f, err := meterfile.Parse(c.Name, data)
	if err != nil {
		t.Fatal(err)
	}
	var fitted []float64
	for _, fit := range f.Fitted {
		fitted = append(fitted, fit.Network.Ohms.Base)
	}
	return f.Meter, fitted
}

// model is a parameter set of a case; it must be the one that is built in under
// the same number.
func model(t *testing.T, c spicetest.Case, key string) nodal.Model {
	for _, d := range c.Diodes {
		if d.ParameterSet != key {
			continue
		}
		m := nodal.Model{SaturationAmperes: d.IS, Emission: d.N, SeriesOhms: d.RS, SaturationPower: d.XTI, GapVolts: d.EG, NominalCelsius: d.TNOM}
		if known, err := protect.ParseModel(d.Part); err != nil || known != m {
			t.Errorf("%s: built in %+v, the decks have %+v (%v)", d.Part, known, m, err)
		}
		return m
	}
	t.Fatalf("%s: no parameter set %q", c.Name, key)
	return nodal.Model{}
}

func source(g spicetest.Given) protect.Source {
	switch {
	case g.AppliedAmperes != nil:
		return protect.Current(*g.AppliedAmperes)
	case g.AppliedVolts != nil:
		return protect.Supply(*g.AppliedVolts, 0)
	}
	return protect.Supply(*g.SupplyVolts, *g.SourceOhms)
}

var places = map[string]protect.Place{"movement": protect.AcrossMovement, "coil": protect.AcrossCoil, "terminals": protect.AcrossTerminals, "external shunt": protect.AcrossShunt}

// allowed is how far exact constants and the plain diode law may be from the
// simulator, by the README of testdata/spice: 1e-5 for what the movement
// carries, 5e-5 for diode currents and watts, 1 % in reverse.
func allowed(field string) float64 {
	switch field {
	case "diode_current_a", "diode_watts", "watts_per_diode":
		return 5e-5
	case "reverse_diode_current_a":
		return 1e-2
	}
	return 1e-5
}

func answer(t *testing.T, field string, g spicetest.Given, st meter.State, l protect.Load) float64 {
	switch field {
	case "movement_current_a":
		return l.MovementAmperes
	case "movement_times_full_scale":
		return l.MovementAmperes / st.FullScaleAmperes
	case "full_scale_error_percent":
		return 100 * (l.MovementAmperes/st.FullScaleAmperes - 1)
	case "drop_volts":
		return l.TerminalVolts
	case "supply_current_a":
		return l.TerminalAmperes
	case "coil_volts":
		return l.CoilVolts
	case "coil_watts":
		return l.CoilVolts * l.MovementAmperes
	case "clamp_volts":
		return l.ClampVolts
	case "diode_current_a":
		return l.DiodeAmperes
	case "reverse_diode_current_a":
		return l.ReverseAmperes
	case "diode_watts":
		return l.ClampVolts * l.DiodeAmperes
	case "watts_per_diode":
		return l.ClampVolts * l.DiodeAmperes / float64(g.DiodesPerDirection)
	}
	t.Fatalf("no answer for %q", field)
	return 0
}

// Every deck with diodes: clamps under faults, and leakage at full scale, on
// every kind of circuit.
func TestSimulatorDecks(t *testing.T) {
	cases, err := spicetest.Load("../../testdata/spice")
	if err != nil {
		t.Fatal(err)
	}
	points, decks := 0, map[string]bool{}
	for _, c := range cases {
		for _, p := range c.Points {
			g := p.Given
			if g.DiodesPerDirection == 0 || g.Range == "" {
				continue
			}
			points++
			decks[c.Name] = true
			m, st := meterOf(t, c, g)
			r, _ := m.FindRange(g.Range)
			clamp := protect.Clamp{Diode: nodal.Diode{Model: model(t, c, g.ParameterSet), InSeries: g.DiodesPerDirection, Celsius: c.TemperatureCelsius}, Across: places[g.DiodesAcross]}
			load, err := protect.Solve(m, st, r, source(g), clamp)
			if err != nil {
				t.Errorf("%s: %s: %v", c.Name, p.Point, err)
				continue
			}
			if g.DiodesAcross == "coil" {
				load.MovementAmperes += load.DiodeAmperes + load.ReverseAmperes // where these decks have their ammeter
				if coil := load.CoilVolts / m.Movement.CoilOhms; math.Abs(coil/(load.MovementAmperes-load.DiodeAmperes-load.ReverseAmperes)-1) > 1e-9 {
					t.Errorf("%s: %s: coil carries %v", c.Name, p.Point, coil)
				}
			}
			for field, want := range p.Answers {
				if off := spicetest.Off(field, answer(t, field, g, st, load), want); !(off <= allowed(field)) {
					t.Errorf("%s: %s: %s %.12g, want %.12g (off %.2g)", c.Name, p.Point, field, answer(t, field, g, st, load), want, off)
				}
			}
		}
	}
	if points < 400 || len(decks) < 14 {
		t.Errorf("%d points of %d decks held against the simulator, want 400 of 14", points, len(decks))
	}
}
