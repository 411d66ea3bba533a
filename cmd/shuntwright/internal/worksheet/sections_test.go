package worksheet

import (
	"math"
	"slices"
	"strings"
	"testing"

	"shuntwright/cmd/shuntwright/internal/check"
	"shuntwright/cmd/shuntwright/internal/readings"
	"shuntwright/cmd/shuntwright/internal/report/sheet"
	"shuntwright/meter/reading"
	"shuntwright/meter/wiring"
)

// said is all that stands in sections, cells divided by |.
func said(all ...sheet.Section) string {
	var out strings.Builder
	for _, s := range all {
		out.WriteString(s.Heading + "\n" + strings.Join(s.Before, "\n") + "\n")
		if s.Table != nil {
			for _, row := range s.Table.Rows {
				for _, cell := range row {
					for _, line := range cell.Lines {
						out.WriteString(line.Text + " ")
					}
					out.WriteString("| ")
				}
				out.WriteString("\n")
			}
		}
		out.WriteString(strings.Join(s.After, "\n") + "\n")
	}
	return strings.ReplaceAll(out.String(), "\u00a0", " ")
}

// want tells what a text lacks.
func want(t *testing.T, text string, all ...string) {
	t.Helper()
	for _, one := range all {
		if !strings.Contains(text, one) {
			t.Errorf("no %q in\n%s", one, text)
		}
	}
}

// What burns burns as drawn and with diodes by itself: a movement is not called
// safe because diodes that nobody fitted would save it.
func TestFaultTable(t *testing.T) {
	m := &maker{Job: &Job{Stands: 10, FaultSource: "fed by a test", Faults: []Fault{
		{Position: "shunt plate 250 mA", Range: "plate 250 mA", Fault: "open", Times: 464.2, WithDiodes: 8.75},
		{Position: "ring 10 mA", Range: "5 V", Fault: "open", Part: "", Times: 10, WithDiodes: 10.01},
		{Position: "multiplier 10 V", Range: "10 V", Fault: "short", Part: "R039", Times: 0.02, WithDiodes: math.NaN()}}}}
	want(t, said(m.faultTable()...), "shunt plate 250 mA opens | 464 × burns | 8.8 × survives |", "ring 10 mA opens, on 5 V | 10 × survives | 10 × burns |",
		"R039 of multiplier 10 V shorts | 0.02 × survives | - |", "fed by a test")
	if m.Faults = nil; m.faultTable() != nil {
		t.Error("a table of nothing")
	}
}

// A part that has too much is named above all, and marked in the list.
func TestTooMuch(t *testing.T) {
	const meter = `{"movement": {"full_scale": "1 mA", "coil": "100 ohm"}, "class": 2.5, "circuits": [
		{"circuit": "multiplier", "range": "300 V", "fitted": "R1"}, {"circuit": "multiplier", "range": "600 V", "fitted": "R2"}, {"circuit": "multiplier", "range": "200 V", "fitted": "R3"}, {"circuit": "multiplier", "range": "30 V", "fitted": "R4"}]}`
	m := jobOf(t, meter, "id,ohms,watts,volts\nR1,299900,0.25,350\nR2,599900,1,500\nR3,199900,0.25,250\nR4,29900,,\n", 2.5)
	want(t, strings.Join(m.marks(), "\n"), "Too much for its rating: R1 in multiplier 300 V has too many watts, R2 in multiplier 600 V has too many volts")
	text := said(m.pickList())
	want(t, text, "300 mW of 250 mW 300 V of 350 V TOO MANY WATTS |", "600 mW of 1 W 600 V of 500 V TOO MANY VOLTS |", "200 mW of 250 mW 200 V of 250 V |", "30 mW of ? 29.9 V of ? |", "?: the rating is not known")
	if strings.Count(text, "TOO MANY") != 2 || strings.Contains(strings.Join(m.marks(), ""), "R3") {
		t.Error(text)
	}
}

// A plan says what stays and what has to come out first.
func TestPlanMarks(t *testing.T) {
	const meter = `{"movement": {"full_scale": "1 mA", "coil": "99 ohm"}, "circuits": [
		{"circuit": "multiplier", "range": "1 V", "fitted": "R001 + R002"}, {"circuit": "multiplier", "range": "2 V", "fitted": "R003"}, {"circuit": "multiplier", "range": "3 V"}]}`
	m := jobOf(t, meter, parts(4), math.NaN())
	m.Planned = make([]wiring.Network, 3)
	want(t, strings.Join(m.marks(), "\n")+"\n", "A plan: nothing on this sheet is soldered yet\n")
	m.Planned = slices.Clone(m.Networks)
	for i, was := range []string{"R001 + 880 ohm", "R003 || 1.2 kohm"} {
		m.Planned[i], _ = wiring.Parse(was)
	}
	want(t, strings.Join(m.marks(), "\n"), "soldered yet, but what is there\nTake out: 880 ohm of multiplier 1 V, 1.2 kohm of multiplier 2 V\n")
}

// The sheet says what check says of the readings, without commands.
func TestVerdict(t *testing.T) {
	m := &maker{Job: &Job{As: readings.AsFound, Check: &check.Answer{Verdict: "fail"}, Said: []string{"outside: 10 V", "when it is done:\n  shuntwright fit"}}}
	var s sheet.Section
	m.verdict(&s)
	if s.Heading != "Readings, as found: FAIL" || len(s.Before) != 1 || s.Before[0] != "outside: 10 V" {
		t.Errorf("%q: %q", s.Heading, s.Before)
	}
}

// Wire has its length in the list, and below how it is cut; what a plan has
// nothing for is to be wound.
func TestWire(t *testing.T) {
	const meter = `{"movement": {"full_scale": "1 mA", "coil": "99 ohm"}, "circuits": [
		{"circuit": "shunt", "range": "100 mA", "fitted": "W1[500 mm]"}, {"circuit": "shunt", "range": "500 mA", "fitted": "0.1984 ohm"}]}`
	m := jobOf(t, meter, "id,ohms,metres,place\nW1,2 ohm/m,5,reel\n", math.NaN())
	m.Wind = []string{"wind it"}
	want(t, Wiring(m.Setup)[0].Words, "100 mA: across the movement W1 (1 Ω, 500 mm).")
	want(t, said(m.pickList()), "W1 500 mm 1 Ω | reel | shunt 100 mA |", "198.4 mΩ | in the set |", "Wind it.")
	m.Planned = make([]wiring.Network, 2)
	want(t, said(m.pickList()), "| to wind | shunt 500 mA |")
	m.Planned = m.Networks
	if text := said(m.pickList()); strings.Count(text, "there") != 2 {
		t.Error(text)
	}
}

// Of many visits the first and the last two stand in figures, all in the text of
// the picture; a range that was not read then has no figure.
func TestDriftTable(t *testing.T) {
	m := jobOf(t, everyKind, parts(20), 2.5)
	if m.driftTable() != nil {
		t.Error("drift without visits")
	}
	for i, percent := range []float64{0.1, 0.4, 0.9, 1.6} {
		v := &readings.Visit{Date: []string{"2020-01-01", "2021-01-01", "2022-01-01", "2023-01-01"}[i], As: readings.AsLeft}
		v.Ranges = []reading.RangeJudgement{{Range: 1, ErrorPercent: percent, LimitPercent: 0.2}}
		if i == 3 {
			v.Ranges = append(v.Ranges, reading.RangeJudgement{Range: 0, ErrorPercent: -0.3, LimitPercent: 0.2})
		}
		m.Visits = append(m.Visits, v)
	}
	table := m.driftTable()
	want(t, said(table...), "Worst error at each of 4 visits", "5 mA | +0.10 % | +0.90 % | +1.60 % |", "1 mA |  |  | -0.30 % |")
	columns := table[0].Table.Columns
	if len(columns) != 5 || columns[1].Title != "2020-01-01 left" || columns[2].Title != "2022-01-01 left" {
		t.Errorf("%+v", columns)
	}
	if said := table[0].Table.Rows[1][4].Drawing.Title; said != "2020-01-01 left: +0.10 %; 2021-01-01 left: +0.40 %; 2022-01-01 left: +0.90 %; 2023-01-01 left: +1.60 %" {
		t.Error(said)
	}
}

// A test point that was read falling says so; what nobody knows has no column.
func TestTestTable(t *testing.T) {
	const bare = `{"movement": {"full_scale": "1 mA", "coil": "98.6 ohm"}, "circuits": [{"circuit": "direct", "range": "1 mA"}, {"circuit": "multiplier", "range": "100 V", "fitted": "99.9 kohm"}]}`
	m := jobOf(t, bare, parts(1), math.NaN())
	m.tested[1].Direction = reading.Down
	table := m.testTable()
	want(t, said(table...), "1 mA | 200.0 µA | | |", "| 400.0 µA falling | | |", "100 V over 60 V | 50.00 V | | |")
	if n := len(table[0].Table.Columns); n != 4 || table[0].After != nil || table[0].Table.Rows[0][0].Rows != 5 {
		t.Errorf("%d columns, %q", n, table[0].After)
	}
	m = jobOf(t, everyKind, parts(20), 2.5)
	table = m.testTable()
	want(t, said(table...), "1 mA | 200.0 µA | 10.0 | 9.0 … 11.0 | | |", "Currents: ", "Voltages: ", "good to ±0.5 %")
}

// Warnings come first among what the figures rest on, not more than there is
// room for.
func TestWarnings(t *testing.T) {
	m := jobOf(t, everyKind, parts(20), 2.5)
	m.answer.Warnings = []string{"w1", "w2", "w3", "w4", "w5", "w6"}
	want(t, said(m.assumed()...), "Warning: w6.")
	m.answer.Warnings = append(m.answer.Warnings, "w7")
	text := said(m.assumed()...)
	want(t, text, "Warning: w5.", "And 2 warnings more, which shuntwright predict and check say.")
	if strings.Contains(text, "w6") {
		t.Error(text)
	}
}
