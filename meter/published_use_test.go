package meter_test

import (
	"math"
	"strings"
	"testing"

	"shuntwright/meter"
	"shuntwright/meter/quantity"
)

func TestPublishedTemperature(t *testing.T) {
	for _, row := range rows(t, "temperature.csv", 13) {
		mv := movement(t, row)
		mv.SwampOhms = row.Number(t, "swamp_ohms")
		m := build(t, mv, "direct", nil, quantity.Volt, mv.FullScaleAmperes*mv.Ohms())
		var fitted []float64
		if row["range_a"] != "" {
			m = build(t, mv, "shunt", nil, quantity.Ampere, row.Number(t, "range_a"))
			fitted = targets(t, m)
			if row["shunt_ohms"] != "" {
				fitted[0] = row.Number(t, "shunt_ohms")
			}
		}
		tempcos := m.Tempcos()
		for i, r := range m.Resistors() {
			field := map[meter.Use]string{meter.Coil: "coil_per_k", meter.Swamp: "swamp_per_k", meter.Fitted: "shunt_per_k"}[r.Use]
			if field != "" {
				tempcos[i].PPM = 1e6 * row.Number(t, field)
			}
		}
		band := m.AtTemperatureBands(m.State(fitted), mv.ReferenceCelsius+row.Number(t, "kelvin"), tempcos)[0]
		want := row.Number(t, "exact_percent")
		within := 1e-11
		if row["verdict"] == "computed" && row["id"] != "GUPT-68x" {
			within = 5e-7 * math.Pow(100, float64(strings.Count(row["source"]+row["id"], "SWAMP"))) // six decimals, or four
		}
		if math.Abs(band.ErrorPercent-want) > within || band.LowPercent != band.ErrorPercent || band.HighPercent != band.ErrorPercent {
			t.Errorf("%s: %+v, exactly %v", row["id"], band, want)
		}
		if row["verdict"] == "rounded" {
			asPrinted(t, row, band.ErrorPercent, "printed_percent")
		}
	}
}

func TestPublishedLoading(t *testing.T) {
	for _, row := range rows(t, "loading.csv", 43) {
		ohms, without, source := row.Number(t, "meter_ohms"), row.Number(t, "without"), row.Number(t, "source_ohms")
		m := build(t, meter.NewMovement(without, ohms), "direct", nil, quantity.Ampere, without)
		var fitted []float64
		if row["unit"] == "V" { // a 1 kV range, so that the meter's resistance does not depend on the value
			m = build(t, meter.NewMovement(1000/ohms, ohms/10), "multiplier", nil, quantity.Volt, 1000)
			fitted = targets(t, m)
		}
		l := m.Loading(m.State(fitted), 0, without, source)
		got := map[string]float64{"with": l.With, "error": l.LoadingPercent, "watts": l.With * l.With * ohms}[row["field"]]
		if row["unit"] == "V" && row["field"] == "watts" {
			got = l.With * l.With / ohms
		}
		exactly(t, row["id"], got, row.Number(t, "exact"))
		asPrinted(t, row, got, "printed")
		if math.Abs(l.Indicated-l.With) > 1e-12*l.With {
			t.Errorf("%s: a meter that reads true shows %v of %v", row["id"], l.Indicated, l.With)
		}
	}
}

// Published ranges that no shunt makes, and a formula page that puts the
// brackets wrong.
func TestPublishedImpossible(t *testing.T) {
	m := build(t, meter.NewMovement(25e-6, 40), "shunt", nil, quantity.Ampere, 10e-6) // OS-C § 21.4: the book's −66.7 Ω, "unreasonable"
	if _, err := m.Targets(); err == nil || !strings.Contains(err.Error(), `range "1e-05 A": the movement alone takes 25.00 µA`) {
		t.Errorf("a 10 µA range of a 25 µA movement: %v", err)
	}
	if p := m.Predict([]float64{1}); !math.IsNaN(p.Positions[0].TargetOhms) || math.IsNaN(p.Ranges[0].ErrorPercent) {
		t.Errorf("its prediction: %+v", p)
	}
	m = build(t, meter.NewMovement(1, 50), "shunt", nil, quantity.Ampere, 300) // "Rm/N − 1" for Rm/(N − 1) is −0.83 Ω
	exactly(t, "brackets", targets(t, m)[0], 0.16722408026755853)
}

// Copper over temperature (NBS Handbook 100; the other reference temperatures
// by 1/(1/α20 + t − 20)).
func TestCopper(t *testing.T) {
	for celsius, want := range map[float64]float64{0: 0.0042652485, 15: 0.0040087724, 20: 0.00393, 25: 0.0038542637} {
		if got := meter.CopperAt(celsius); math.Abs(got-want) > 5e-11 {
			t.Errorf("at %v °C: %v, want %v", celsius, got, want)
		}
	}
}
