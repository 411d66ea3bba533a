package main

import (
	"html"
	"math"
	"os"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"shuntwright/meter/quantity"
	"shuntwright/meter/wiring"
)

// bench is what somebody who has nothing but a sheet reads from it.
type bench struct {
	coil, fullScale float64             // of the movement
	networks        map[string]float64  // by range, as drawn
	drawn           map[string][]string // ids and values, by range
	lead            map[string]bool     // the network of the range carries the whole current
}

// benchOf builds the meter of a sheet of shunts and multipliers from what its
// drawings say.
func benchOf(t *testing.T, page string) bench {
	t.Helper()
	number := func(text string, unit quantity.Unit) float64 {
		v, err := quantity.Parse(text, unit, quantity.Positive)
		if err != nil {
			t.Fatal(err)
		}
		return v.Base
	}
	b := bench{networks: map[string]float64{}, drawn: map[string][]string{}, lead: map[string]bool{}}
	part := regexp.MustCompile(`(\w+) \(([\d.]+ [mkM]?Ω)\)`)
	for _, said := range regexp.MustCompile(`<desc[^>]*>(.*?)</desc>`).FindAllStringSubmatch(page, -1) {
		for _, sentence := range strings.Split(strings.TrimSuffix(html.UnescapeString(said[1]), "."), ". ") {
			if m := regexp.MustCompile(`^The movement \((.*), (.*)\)$`).FindStringSubmatch(sentence); m != nil {
				b.fullScale, b.coil = number(m[1], quantity.Ampere), number(m[2], quantity.Ohm)
				continue
			}
			m := regexp.MustCompile(`^(.*): (across the movement|in the lead) (.*) \(.*?\)$`).FindStringSubmatch(sentence)
			if m == nil {
				t.Fatalf("%q says nothing of a range", sentence)
			}
			for _, one := range part.FindAllStringSubmatch(m[3], -1) {
				b.drawn[m[1]] = append(b.drawn[m[1]], one[1]+" "+one[2])
			}
			n, err := wiring.Parse(strings.NewReplacer(" in parallel with ", " || ", " in series with ", " + ", "[", "(", "]", ")").Replace(part.ReplaceAllString(m[3], "$2")))
			if err != nil {
				t.Fatalf("%q: %v", m[3], err)
			}
			var ohms []float64
			for _, l := range n.Leaves() {
				ohms = append(ohms, l.Ohms.Base)
			}
			b.networks[m[1]], b.lead[m[1]] = n.Resistance(ohms), m[2] == "in the lead"
		}
	}
	return b
}

// shows is the share of the scale that the movement shows when so much is
// applied, in base units.
func (b bench) shows(name string, applied float64) float64 {
	if b.lead[name] {
		return applied / (b.networks[name] + b.coil) / b.fullScale
	}
	return applied * b.networks[name] / (b.networks[name] + b.coil) / b.fullScale // Kirchhoff: the current divides
}

// TestSheetAlone does the job with nothing but the sheet of the demo meter:
// fits what is listed as it is drawn, applies what is to be applied, and looks
// where the pointer stands. It must stand in the band that passes, and at full
// scale as far off as the sheet says.
func TestSheetAlone(t *testing.T) {
	t.Chdir(t.TempDir())
	do(t, "demo --write .", "fit meter.json", "sheet meter.json")
	data, err := os.ReadFile("meter.html")
	if err != nil {
		t.Fatal(err)
	}
	page := strings.ReplaceAll(string(data), "\u00a0", " ")
	b := benchOf(t, page)
	section := func(heading string) [][]string {
		_, after, found := strings.Cut(page, "<h2>"+heading)
		if !found {
			t.Fatalf("no section %s", heading)
		}
		after, _, _ = strings.Cut(after, "</section>")
		var rows [][]string
		for _, row := range strings.Split(after, "<tr>")[2:] {
			var cells []string
			for _, cell := range regexp.MustCompile(`<t[hd][ >]`).Split(row, -1)[1:] {
				cells = append(cells, strings.TrimSpace(html.UnescapeString(regexp.MustCompile(`^[^<]*?>|<br>|<[^>]*>`).ReplaceAllString(cell, " "))))
			}
			rows = append(rows, cells)
		}
		return rows
	}
	listed := 0
	for _, row := range section("Parts: ") {
		into, name := strings.TrimPrefix(strings.TrimPrefix(row[2], "shunt "), "multiplier "), plainText(row[0])
		if !strings.Contains(strings.Join(b.drawn[into], "; "), name) {
			t.Errorf("%s goes into %s, where %q is drawn", name, into, b.drawn[into])
		}
		listed++
	}
	if listed != 12 || len(b.networks) != 6 {
		t.Errorf("%d parts, %d ranges", listed, len(b.networks))
	}
	name, points := "", 0
	for _, row := range section("Test points") {
		if _, isHead := strconv.ParseFloat(strings.Fields(row[0])[0], 64); len(row) == 6 || isHead != nil {
			name, row = strings.TrimSpace(strings.TrimSuffix(row[0], "over 60 V")), row[1:]
		}
		unit := quantity.Unit(row[0][len(row[0])-1:])
		applied, err := quantity.Parse(row[0], unit, quantity.Positive)
		if err != nil {
			t.Fatal(err)
		}
		var low, high float64
		for i, text := range strings.Split(row[2], " … ") {
			*[]*float64{&low, &high}[i], _ = strconv.ParseFloat(text, 64)
		}
		if stands := 50 * b.shows(name, applied.Base); !(stands >= low && stands <= high) || math.Abs(stands-(low+high)/2) > 0.5 {
			t.Errorf("%s at %s: the pointer stands at %.2f, and %s pass", name, row[0], stands, row[2])
		}
		points++
	}
	if points != 15 {
		t.Errorf("%d points", points)
	}
	for _, row := range section("Error at full scale") {
		full, _ := quantity.Parse(row[0][strings.LastIndex(row[0][:strings.LastIndex(row[0], " ")], " ")+1:], quantity.Unit(row[0][len(row[0])-1:]), quantity.Positive)
		said, err := strconv.ParseFloat(strings.Fields(row[1])[0], 64)
		if off := 100 * (b.shows(row[0], full.Base) - 1); err != nil || math.Abs(off-said) > 0.06 {
			t.Errorf("%s: %.3f %% off, said are %s (%v)", row[0], off, row[1], err)
		}
	}
}
