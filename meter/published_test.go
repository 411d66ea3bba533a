package meter_test

import (
	"math"
	"strconv"
	"strings"
	"testing"

	"shuntwright/meter"
	"shuntwright/meter/metertest"
	"shuntwright/meter/quantity"
)

// rows reads one table of published examples.
func rows(t *testing.T, name string, atLeast int) []metertest.Row {
	return metertest.Rows(t, "../testdata/published/"+name, atLeast)
}

// build makes a meter of one circuit.
func build(t testing.TB, mv meter.Movement, kind string, given map[string]float64, unit quantity.Unit, fullScales ...float64) *meter.Meter {
	t.Helper()
	spec := meter.Spec{Given: given}
	for _, x := range fullScales {
		spec.Ranges = append(spec.Ranges, meter.Range{Name: strconv.FormatFloat(x, 'g', -1, 64) + " " + string(unit), FullScale: x, Unit: unit, CircuitVolts: math.NaN()})
	}
	c, err := meter.NewCircuit(kind, spec)
	if err != nil {
		t.Fatal(err)
	}
	m, err := meter.New("test", mv, math.NaN(), []meter.Circuit{c})
	if err != nil {
		t.Fatal(err)
	}
	return m
}

func movement(t *testing.T, row metertest.Row) meter.Movement {
	return meter.NewMovement(row.Number(t, "full_scale_a"), row.Number(t, "coil_ohms"))
}

func targets(t testing.TB, m *meter.Meter) []float64 {
	t.Helper()
	out, err := m.Targets()
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// exactly compares to 1e-12 of the exact value.
func exactly(t *testing.T, id string, got, want float64) {
	t.Helper()
	if !(math.Abs(got-want) <= 1e-12*math.Abs(want)) {
		t.Errorf("%s: %v, exactly %v", id, got, want)
	}
}

// asPrinted compares with what the source prints, and with traps the other way
// round: the program must not say that.
func asPrinted(t *testing.T, row metertest.Row, got float64, column string) {
	t.Helper()
	if row[column] == "" {
		return
	}
	printed := row.Number(t, column)
	off := math.Abs(got-printed) / math.Abs(got)
	digit := math.Pow(10, float64(-significant(row[column])+1)) // one unit of the last digit, of the leading one
	switch row["verdict"] {
	case "disagrees", "nominal":
		if off < 1e-4 {
			t.Errorf("%s: %v is what the source prints, and it is wrong (%s)", row["id"], got, row["source"])
		}
	case "exact":
		exactly(t, row["id"]+" as printed", got, printed)
	default:
		within := digit
		if row["tolerance"] != "" {
			within = 1.01*row.Number(t, "tolerance") + 1e-12
		}
		if off > within {
			t.Errorf("%s: %v, printed %v (%s)", row["id"], got, printed, row["source"])
		}
	}
}

// significant counts the digits of a number from the first that is not zero.
func significant(text string) int {
	mantissa, _, _ := strings.Cut(text, "e")
	return len(strings.TrimLeft(strings.NewReplacer(".", "", "-", "").Replace(mantissa), "0"))
}

func TestPublishedShunts(t *testing.T) {
	for _, row := range rows(t, "shunts.csv", 54) {
		m := build(t, movement(t, row), "shunt", nil, quantity.Ampere, row.Number(t, "range_a"))
		got := targets(t, m)[0]
		exactly(t, row["id"], got, row.Number(t, "exact_ohms"))
		asPrinted(t, row, got, "printed_ohms")
	}
}

// What range does a given shunt make? It is what brings the pointer to the last
// mark, whatever the range is called.
func TestPublishedShuntRanges(t *testing.T) {
	for _, row := range rows(t, "shunt-ranges.csv", 7) {
		mv := movement(t, row)
		m := build(t, mv, "shunt", nil, quantity.Ampere, 3*mv.FullScaleAmperes)
		got := m.Predict([]float64{row.Number(t, "shunt_ohms")}).Ranges[0].LastMark
		exactly(t, row["id"], got, row.Number(t, "exact_range_a"))
		asPrinted(t, row, got, "printed_a")
	}
}

// byID groups rows that follow one another.
func byID(rows []metertest.Row) [][]metertest.Row {
	var out [][]metertest.Row
	for i, row := range rows {
		if i == 0 || rows[i-1]["id"] != row["id"] {
			out = append(out, nil)
		}
		out[len(out)-1] = append(out[len(out)-1], row)
	}
	return out
}

func column(t *testing.T, rows []metertest.Row, name string) []float64 {
	var out []float64
	for _, row := range rows {
		out = append(out, row.Number(t, name))
	}
	return out
}

func TestPublishedRings(t *testing.T) {
	for _, group := range byID(rows(t, "rings.csv", 19)) {
		m := build(t, movement(t, group[0]), "ring", nil, quantity.Ampere, column(t, group, "range_a")...)
		tap, sections := 0.0, targets(t, m)
		for i := len(group) - 1; i >= 0; i-- {
			tap += sections[i]
			exactly(t, group[i]["id"]+" section", sections[i], group[i].Number(t, "exact_section_ohms"))
			exactly(t, group[i]["id"]+" tap", tap, group[i].Number(t, "exact_tap_ohms"))
			asPrinted(t, group[i], sections[i], "printed_ohms")
		}
	}
}

// Rings built from the printed sections, of which two books compute with I in
// place of I − Im.
func TestPublishedRingTraps(t *testing.T) {
	for _, group := range byID(rows(t, "ring-traps.csv", 9)) {
		nominal := column(t, group, "nominal_a")
		m := build(t, movement(t, group[0]), "ring", nil, quantity.Ampere, nominal...)
		p := m.Predict(group[0].Numbers(t, "printed_sections_ohms"))
		worst := 0.0
		for i, row := range group {
			want := row.Number(t, "exact_range_a")
			exactly(t, row["id"], p.Ranges[i].LastMark, want)
			if got := p.Ranges[i].ErrorPercent; math.Abs(got-100*(nominal[i]/want-1)) > 1e-10 {
				t.Errorf("%s: error %v %%", row["id"], got)
			}
			worst = math.Max(worst, math.Abs(p.Ranges[i].ErrorPercent))
		}
		if wrong := group[0]["verdict"] == "disagrees"; wrong != (worst > 0.1) {
			t.Errorf("%s: worst error %v %%, verdict %s", group[0]["id"], worst, group[0]["verdict"])
		}
	}
}

// The approximate ring equations make the range I + Im on every tap (an
// identity of theirs). Our targets must not: this is the test that fails if the
// design were done with them.
func TestApproximateRingFails(t *testing.T) {
	im, rm := 5e-3, 20.0
	currents := []float64{0.1, 1, 10}
	m := build(t, meter.NewMovement(im, rm), "ring", nil, quantity.Ampere, currents...)
	loop := rm + im*rm/currents[0]
	approximate := make([]float64, 3)
	below := 0.0
	for i := 2; i >= 0; i-- { // I·tap = Im·(Rm + the rest above) instead of (I − Im)·tap
		tap := im * loop / (currents[i] + im)
		approximate[i], below = tap-below, tap
	}
	for i, r := range m.Predict(approximate).Ranges {
		if math.Abs(r.LastMark-(currents[i]+im)) > 1e-9 {
			t.Errorf("range %v: the approximate ring reaches the last mark at %v", currents[i], r.LastMark)
		}
	}
	for i, r := range m.Predict(targets(t, m)).Ranges {
		if math.Abs(r.LastMark-currents[i]) > 1e-12*currents[i] || math.Abs(r.ErrorPercent) > 1e-11 {
			t.Errorf("range %v: the ring on target reaches the last mark at %v", currents[i], r.LastMark)
		}
	}
}

func TestPublishedRingRanges(t *testing.T) {
	for _, group := range byID(rows(t, "ring-ranges.csv", 16)) {
		mv := movement(t, group[0])
		given := map[string]float64{"swamp": group[0].Number(t, "swamp_ohms")}
		m := build(t, mv, "ring", given, quantity.Ampere, column(t, group, "printed_a")...)
		p := m.Predict(group[0].Numbers(t, "sections_ohms"))
		for i, row := range group {
			exactly(t, row["id"], p.Ranges[i].LastMark, row.Number(t, "exact_range_a"))
			asPrinted(t, row, p.Ranges[i].LastMark, "printed_a")
			if row["verdict"] == "nominal" && math.Abs(p.Ranges[i].ErrorPercent+0.4975124378109453) > 1e-11 { // every range of these rings is the same 0.5 % wide
				t.Errorf("%s: error %v %%", row["id"], p.Ranges[i].ErrorPercent)
			}
		}
	}
}

func TestPublishedMultipliers(t *testing.T) {
	for _, row := range rows(t, "multipliers.csv", 52) {
		m := build(t, movement(t, row), "multiplier", nil, quantity.Volt, row.Number(t, "range_v"))
		got := targets(t, m)[0]
		exactly(t, row["id"], got, row.Number(t, "exact_ohms"))
		asPrinted(t, row, got, "printed_ohms")
	}
}

func TestPublishedChains(t *testing.T) {
	for _, row := range rows(t, "chains.csv", 8) {
		m := build(t, movement(t, row), "chain", nil, quantity.Volt, row.Numbers(t, "ranges_v")...)
		printed := row.Numbers(t, "printed_sections_ohms")
		for i, want := range row.Numbers(t, "exact_sections_ohms") {
			exactly(t, row["id"], targets(t, m)[i], want)
			exactly(t, row["id"]+" as printed", targets(t, m)[i], printed[i])
		}
	}
}
