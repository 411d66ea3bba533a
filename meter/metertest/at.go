package metertest

import (
	"math"
	"strings"
	"testing"

	"shuntwright/meter"
	"shuntwright/meter/meterfile"
	"shuntwright/meter/nodal"
	"shuntwright/meter/quantity"
)

// At is the meter of a point, by its file or by its movement alone, and its state
// there: warm, and with its fault.
func (c Case) At(t testing.TB, g Given) (*meter.Meter, meter.State) {
	t.Helper()
	m, ohms := c.meter(t, g)
	st := m.State(ohms)
	if c.TempcoPPM != nil {
		celsius := c.TemperatureCelsius
		if g.TemperatureCelsius != nil {
			celsius = *g.TemperatureCelsius
		}
		tempcos := m.Tempcos()
		for i, r := range m.Resistors() {
			for word, ppm := range c.TempcoPPM {
				if r.Name == word || strings.HasPrefix(strings.TrimPrefix(r.Name, "external "), word+" ") {
					tempcos[i].PPM = ppm
				}
			}
		}
		st = m.AtTemperature(st, celsius, tempcos)
	}
	switch f := g.Fault; {
	case f == nil:
	case f.Contact != "":
		st = st.With(Resistor(t, m, "contact of shunt "+g.Range), Ohms(t, f.Contact))
	case f.State == "open":
		st = st.With(Resistor(t, m, f.Position), math.Inf(1))
	case f.State == "short":
		st = st.With(Resistor(t, m, f.Position), 0)
	case f.ChangePercent != nil:
		at := Resistor(t, m, f.Position)
		st = st.With(at, st.Ohms[at]*(1+*f.ChangePercent/100))
	default:
		t.Fatalf("fault %+v", f)
	}
	return m, st
}

// meter is the meter as it is stated, and what is in its positions.
func (c Case) meter(t testing.TB, g Given) (*meter.Meter, []float64) {
	t.Helper()
	if mv := g.Movement; mv != nil {
		full, err := quantity.Parse(mv.FullScale, quantity.Ampere, quantity.Positive)
		if err != nil {
			t.Fatal(err)
		}
		movement := meter.NewMovement(full.Base, Ohms(t, mv.Coil))
		if mv.Swamp != "" {
			movement.SwampOhms = Ohms(t, mv.Swamp)
		}
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
	data, err := c.meterOf(g.Circuit)
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

// Resistor is the index of the resistor of that name.
func Resistor(t testing.TB, m *meter.Meter, name string) int {
	t.Helper()
	for i, r := range m.Resistors() {
		if r.Name == name {
			return i
		}
	}
	t.Fatalf("no resistor %q", name)
	return -1
}

// Ohms reads a resistance of zero or more.
func Ohms(t testing.TB, text string) float64 {
	t.Helper()
	v, err := quantity.Parse(text, quantity.Ohm, quantity.NotNegative)
	if err != nil {
		t.Fatal(err)
	}
	return v.Base
}

// Model is a parameter set of a case.
func (c Case) Model(t testing.TB, key string) (m nodal.Model, part string) {
	t.Helper()
	for _, d := range c.Diodes {
		if d.ParameterSet == key {
			return nodal.Model{SaturationAmperes: d.IS, Emission: d.N, SeriesOhms: d.RS, SaturationPower: d.XTI, GapVolts: d.EG, NominalCelsius: d.TNOM}, d.Part
		}
	}
	t.Fatalf("%s: no parameter set %q", c.Name, key)
	return m, ""
}
