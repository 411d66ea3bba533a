package protect_test

import (
	"math"
	"testing"

	"shuntwright/meter"
	"shuntwright/meter/metertest"
	"shuntwright/meter/nodal"
	"shuntwright/meter/protect"
)

// model is a parameter set of a case; it must be the one that is built in under
// the same number.
func model(t *testing.T, c metertest.Case, key string) nodal.Model {
	m, part := c.Model(t, key)
	if known, err := protect.ParseModel(part); err != nil || known != m {
		t.Errorf("%s: built in %+v, the decks have %+v (%v)", part, known, m, err)
	}
	return m
}

func source(g metertest.Given) protect.Source {
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

func answer(t *testing.T, field string, g metertest.Given, st meter.State, l protect.Load) float64 {
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
	points, decks := 0, map[string]bool{}
	for _, c := range metertest.Load(t, "../../testdata/spice") {
		for _, p := range c.Points {
			g := p.Given
			if g.DiodesPerDirection == 0 || g.Range == "" {
				continue
			}
			points++
			decks[c.Name] = true
			m, st := c.At(t, g)
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
				if off := metertest.Off(field, answer(t, field, g, st, load), want); !(off <= allowed(field)) {
					t.Errorf("%s: %s: %s %.12g, want %.12g (off %.2g)", c.Name, p.Point, field, answer(t, field, g, st, load), want, off)
				}
			}
		}
	}
	if points < 400 || len(decks) < 14 {
		t.Errorf("%d points of %d decks held against the simulator, want 400 of 14", points, len(decks))
	}
}
