package worksheet

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"shuntwright/cmd/shuntwright/internal/asbuilt"
	"shuntwright/cmd/shuntwright/internal/asbuilt/asbuilttest"
	"shuntwright/cmd/shuntwright/internal/report/sheet"
	"shuntwright/meter"
)

// parts is a drawer of so many, each of another value.
func parts(n int) string {
	out := "id,ohms,watts,volts,place\n"
	for i := range n {
		out += fmt.Sprintf("R%03d,%d.5,0.5,350,tin %c\n", i+1, 10+i, 'A'+i%3)
	}
	return out
}

// everyKind is a meter with every kind of circuit, invented.
const everyKind = `{"name": "every kind", "movement": {"full_scale": "1 mA", "coil": "98.6 ohm", "swamp": "20 ohm", "divisions": 50}, "class": 2.5, "circuits": [
 {"circuit": "direct", "range": "1 mA"},
 {"circuit": "shunt", "range": "5 mA", "fitted": "R001"},
 {"circuit": "shunt", "range": "grid 50 mA", "fitted": "R002 || (R003 + R004)", "contact": "5 mohm", "circuit_volts": "300 V"},
 {"circuit": "multiplier", "range": "15 V", "fitted": "R005 + 24.6 ohm"},
 {"circuit": "multiplier", "range": "150 V"},
 {"circuit": "multiplier", "range": "through 20 V", "fitted": "R006", "with_ring": "10 mA"},
 {"circuit": "ring", "ranges": ["10 mA", "100 mA", "1 A"], "swamp": "30 ohm", "fitted": {"10 mA": "R007", "100 mA": "R008 + R009", "1 A": "R010"}},
 {"circuit": "chain", "ranges": ["3 V", "30 V", "300 V"], "fitted": {"3 V": "R011", "30 V": "R012", "300 V": "R013 || R014"}},
 {"circuit": "chain", "ranges": ["ring 4 V", "ring 40 V"], "with_ring": "100 mA", "fitted": {"ring 4 V": "R015", "ring 40 V": "R016"}},
 {"circuit": "external-shunt", "range": "plate 200 mA", "shunt": "0.5 ohm", "fitted": "R017"},
 {"circuit": "external-shunt", "range": "screen 20 mA", "series": "900 ohm", "fitted": "R018"},
 {"circuit": "external-shunt", "range": "500 mA", "drop": "150 mV", "fitted": {"shunt": "R019", "series": "R020"}}
]}`

// path is what a drawing shows for a range, by the ids of parts.
type path struct{ lead, branch, across []string }

// drawnPath follows the wires of a drawing for one of its ranges.
func drawnPath(c sheet.Circuit, name string) (p path, found bool) {
	ids := func(of []sheet.Place) (out []string) {
		for _, place := range of {
			for _, word := range strings.FieldsFunc(place.Words(), func(r rune) bool { return strings.ContainsRune(" []():", r) }) {
				if len(word) == 4 && word[0] == 'R' {
					out = append(out, word)
				}
			}
		}
		return out
	}
	for i, r := range c.Lead.Rows {
		if r.Range == name {
			found = true
			for _, on := range c.Lead.Rows[i:] {
				if c.Lead.Chain || on.Range == name {
					p.lead = append(p.lead, ids(on.Of)...)
				}
			}
		}
	}
	p.branch = ids(c.Between)
	for i, r := range c.Across.Rows {
		switch {
		case r.Range == name:
			found = true
			for k, on := range c.Across.Rows {
				if c.Across.Chain && k < i {
					p.branch = append(ids(on.Of), p.branch...)
				} else if k == i || c.Across.Chain {
					p.across = append(p.across, ids(on.Of)...)
				}
			}
		case r.Range == "":
			p.across = append(p.across, ids(r.Of)...)
		}
	}
	return p, found
}

// meterPath is what the meter has for a range, by the ids of parts.
func meterPath(s *asbuilt.Setup, r int) path {
	ids := func(resistors []int) (out []string) {
		for _, i := range resistors {
			at := slices.IndexFunc(s.Positions, func(p meter.Position) bool { return p.Resistor == i })
			if at >= 0 && (s.Positions[at].Circuit == s.Ranges[r].Circuit) {
				out = append(out, s.Networks[at].IDs()...)
			}
		}
		return out
	}
	p := s.Meter.Path(r)
	return path{ids(p.Lead), ids(p.Branch), ids(p.Across)}
}

// Every range stands in one drawing, and the wires lead through the parts that
// the meter has on it in the order in which the current meets them, whatever
// kind of circuit it is.
func TestDrawnAsWired(t *testing.T) {
	s := asbuilttest.Open(t, everyKind, parts(20), "{}")
	d := newDrafter(s)
	var all []sheet.Circuit
	for _, ranges := range d.groups() {
		all = append(all, d.circuits(ranges)...)
	}
	for r, one := range s.Ranges {
		times := 0
		for _, c := range all {
			got, found := drawnPath(c, one.Name)
			if !found {
				continue
			}
			times++
			want := meterPath(s, r)
			if fmt.Sprint(got) != fmt.Sprint(want) {
				t.Errorf("%s: drawn %v, wired %v", one.Name, got, want)
			}
		}
		if times != 1 {
			t.Errorf("%s stands in %d drawings", one.Name, times)
		}
	}
	var titles []string
	for _, c := range all {
		titles = append(titles, c.Title)
	}
	const want = "Direct and shunt ranges, Multiplier ranges, Multiplier range, Ring ranges, Chain ranges, Chain ranges, External-shunt range, External-shunt range, External-shunt range"
	if got := strings.Join(titles, ", "); got != want {
		t.Errorf("%s\nwant\n%s", got, want)
	}
}

// What the text beside a drawing says of each kind.
func TestWiringInWords(t *testing.T) {
	var all []string
	for _, d := range Wiring(asbuilttest.Open(t, everyKind, parts(20), "{}")) {
		all = append(all, d.Words)
	}
	text := strings.Join(all, "\n")
	for _, want := range []string{
		"The movement (1 mA, 98.6 Ω), in series with swamp (20.00 Ω). 1 mA: nothing but the movement",
		"grid 50 mA: across the movement [R002 (11.5 Ω) in parallel with [R003 (12.5 Ω) in series with R004 (13.5 Ω)]] in series with contact (5.000 mΩ) (7.97 Ω, lead at 300 V).",
		"15 V: in the lead R005 (14.5 Ω) in series with 24.6 Ω (39.10 Ω).",
		"150 V: in the lead an open place for 149.9 kΩ.",
		"through 20 V: in the lead R006 (15.5 Ω). The movement (1 mA, 98.6 Ω), in series with swamp (30.00 Ω), in series with swamp (20.00 Ω). Across the movement ring, 3 sections (",
		"in series with ring 10 mA (16.50 Ω), in series with swamp (30.00 Ω), in series with swamp (20.00 Ω). Across the movement ring, 2 sections (",
		"Across the movement one string: 10 mA enters before R007 (16.5 Ω). 100 mA enters before R008 (17.5 Ω) in series with R009 (18.5 Ω) (36.0 Ω). 1 A enters before R010 (19.5 Ω), and then follows the terminal −.",
		"In the lead one string: 300 V enters before R013 (22.5 Ω) in parallel with R014 (23.5 Ω) (11.49 Ω). 30 V enters before R012 (21.5 Ω). 3 V enters before R011 (20.5 Ω), and then follows the movement. The movement",
		"plate 200 mA: across the movement external shunt (500.0 mΩ).",
		"screen 20 mA: across the movement external shunt screen 20 mA: R018",
	} {
		if !strings.Contains(text, want) {
			t.Errorf("no %q in\n%s", want, text)
		}
	}
}
