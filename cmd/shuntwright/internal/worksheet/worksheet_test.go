package worksheet

import (
	"bytes"
	"context"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"shuntwright/cmd/shuntwright/internal/asbuilt"
	"shuntwright/cmd/shuntwright/internal/asbuilt/asbuilttest"
	"shuntwright/cmd/shuntwright/internal/predict"
	"shuntwright/cmd/shuntwright/internal/readings"
	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/cmd/shuntwright/internal/report/sheet"
	"shuntwright/meter/reading"
	"shuntwright/meter/wiring"
)

// jobOf is a sheet of a meter in class 2.5.
func jobOf(t *testing.T, meter, drawer string, class float64) *maker {
	t.Helper()
	s := asbuilttest.Open(t, meter, drawer, "{}")
	nan := math.NaN()
	j := &Job{Forecast: &predict.Forecast{Setup: s, Asked: asbuilt.Asked{Class: class}, Celsius: nan, FromCelsius: 0, ToCelsius: 45, SourceOhms: nan, Ratings: true},
		Points: readings.NewReader(s.Meter, "", ""), As: readings.AsLeft}
	m, err := j.begin(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	return m
}

// The parts are listed tray by tray, in the drawer's order, those that are in
// the meter already last.
func TestPickList(t *testing.T) {
	m := jobOf(t, everyKind, parts(20), 2.5)
	place, order := "", -1
	all := m.pick()
	if len(all) != 21 || all[0].place != "in the set" {
		t.Fatalf("%d parts, first from %q", len(all), all[0].place)
	}
	for _, p := range all[1:] {
		if p.place < place || p.place == place && p.order <= order {
			t.Errorf("%s from %s comes after %s", p.ID, p.place, place)
		}
		place, order = p.place, p.order
		if p.watts[1] != 0.5 || p.volts[1] != 350 || !(p.watts[0] >= 0) {
			t.Errorf("%s: %v W, %v V", p.ID, p.watts, p.volts)
		}
	}
	m.Planned = slices.Clone(m.Networks)
	m.Planned[0] = wiring.Network{} // where R001 is
	for i, p := range m.pick() {
		if p.there != (p.ID != "R001") || (i == 0) == p.there {
			t.Errorf("%s is number %d, there already: %v", p.ID, i, p.there)
		}
	}
}

// A reading at the end of its band passes by the rule of check, one a tenth of a
// division further out does not: the band is what check takes.
func TestBandIsWhatPasses(t *testing.T) {
	for _, class := range []float64{0.5, 1.5, 2.5, 5} {
		m := jobOf(t, everyKind, parts(20), class)
		seen := 0
		for _, p := range m.tested {
			var low, high float64
			if _, err := fmt.Sscanf(strings.ReplaceAll(m.band(p), report.Unbroken, " "), "%f … %f", &low, &high); err != nil {
				t.Fatalf("class %v: band %q: %v", class, m.band(p), err)
			}
			full := m.Ranges[p.Range].FullScale
			verdict := func(divisions float64) reading.Verdict {
				one := p.Reading
				one.Indicated = divisions / 50 * full
				return reading.Judge(m.Ranges, []reading.Reading{one}, class, false).Verdict
			}
			for divisions, passes := range map[float64]bool{low: true, high: true, low - 0.1: false, high + 0.1: false} {
				if got := verdict(divisions); (got == reading.Pass) != passes {
					t.Errorf("class %v, %s at %s, band %s: %v at %v div", class, m.Ranges[p.Range].Name, p.apply, m.band(p), got, divisions)
				}
			}
			seen++
		}
		if seen < 30 {
			t.Errorf("only %d points", seen)
		}
	}
	if m := jobOf(t, everyKind, parts(20), 0.2); m.band(m.tested[0]) != "none" {
		t.Errorf("a pointer read to 0.2 of 50 divisions decides class 0.2: %q", m.band(m.tested[0]))
	}
	if m := jobOf(t, strings.Replace(everyKind, `"class": 2.5, `, "", 1), parts(20), math.NaN()); m.band(m.tested[0]) != "-" {
		t.Errorf("a band without a class: %q", m.band(m.tested[0]))
	}
}

// The first range that does not kill is tested from end to end, the others in
// the middle and at the end.
func TestPointsChosen(t *testing.T) {
	m := jobOf(t, everyKind, parts(20), 2.5)
	points := map[int]int{}
	for _, p := range m.tested {
		points[p.Range]++
	}
	for r := range m.Ranges {
		if want := map[bool]int{true: 5, false: 2}[r == 0]; points[r] != want {
			t.Errorf("%s: %d points", m.Ranges[r].Name, points[r])
		}
	}
	hot := `{"movement": {"full_scale": "1 mA", "coil": "98.6 ohm"}, "circuits": [{"circuit": "multiplier", "range": "300 V"}, {"circuit": "multiplier", "range": "600 V"}, {"circuit": "multiplier", "range": "30 V"}]}`
	m = jobOf(t, hot, parts(1), math.NaN())
	if len(m.tested) != 9 || m.tested[4].Range != 2 || m.tested[0].apply != "150.0 V" {
		t.Errorf("%+v", m.tested)
	}
}

// Every figure of predict's answer stands on the page with all its digits, and
// as people read it.
func TestPageSaysWhatPredictSays(t *testing.T) {
	m := jobOf(t, everyKind, parts(20), 2.5)
	page, err := m.Page(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	var out bytes.Buffer
	if err := page.Write(&out); err != nil {
		t.Fatal(err)
	}
	text := out.String()
	want := func(x report.Maybe) {
		if x != nil && !strings.Contains(text, `<data value="`+report.Exact(*x)+`">`) {
			t.Errorf("%v is not on the page", *x)
		}
	}
	for _, r := range m.answer.Ranges {
		want(r.FullScaleError)
	}
	for _, p := range m.answer.Positions {
		want(p.TargetOhms)
		want(p.Ohms)
	}
	for _, r := range m.answer.Ratings {
		want(&r.Watts)
		want(&r.Volts)
	}
	for _, h := range m.answer.Temperature {
		want(h.Points[0].Error)
		want(h.Points[len(h.Points)-1].Error)
	}
	for _, words := range []string{"Missing: multiplier 150 V.", "in a lead at 300 V", "Never put an ohmmeter across the movement", "over 60\u00a0V"} {
		if !strings.Contains(text, words) {
			t.Errorf("no %q on the page", words)
		}
	}
}

// invented is a meter with so many shunts of so many parts each, and its drawer.
func invented(shunts, each int) (meter, drawer string) {
	var circuits []string
	part := 0
	for i := range shunts {
		var of []string
		for range each {
			part++
			of = append(of, fmt.Sprintf("R%03d", part))
		}
		circuits = append(circuits, fmt.Sprintf(`{"circuit": "shunt", "range": "%d mA", "fitted": "%s"}`, 5+i, strings.Join(of, " + ")))
	}
	return `{"movement": {"full_scale": "1 mA", "coil": "98.6 ohm", "divisions": 50}, "class": 2.5, "circuits": [` + strings.Join(circuits, ", ") + `]}`, parts(part)
}

// A page to fit the parts and one to test, in the largest type that leaves room;
// what has none even in the smallest runs on in one.
func TestSpread(t *testing.T) {
	last := math.Inf(1)
	for _, test := range []struct {
		shunts, each int
		fit, made    bool // the parts have a page of their own, and what they make stands on it
	}{{1, 1, true, true}, {6, 2, true, true}, {12, 2, true, false}, {16, 2, true, false}, {16, 3, false, false}} {
		meter, drawer := invented(test.shunts, test.each)
		page, err := jobOf(t, meter, drawer, 2.5).Page(context.Background())
		if err != nil {
			t.Fatal(err)
		}
		has := func(all []sheet.Section, heading string) bool {
			for _, s := range all {
				if strings.HasPrefix(s.Heading, heading) {
					return true
				}
			}
			return false
		}
		what := fmt.Sprintf("%d shunts of %d parts", test.shunts, test.each)
		if has(page.Left, "Parts: ") != test.fit || has(page.Right, "Wiring") != test.fit || has(page.Left, "Positions") != test.made {
			t.Errorf("%s: %d sections left, %d right, %d below", what, len(page.Left), len(page.Right), len(page.Rest))
		}
		for _, heading := range []string{"Parts: ", "Wiring", "Positions", "Test points", "Error at full scale", "Error over temperature"} {
			if has(page.Left, heading) == (has(page.Right, heading) != has(page.Rest, heading)) {
				t.Errorf("%s: %s does not stand there once", what, heading)
			}
		}
		if page.Points > last || page.Points < 7 || test.shunts == 1 && page.Points != sizes[0] {
			t.Errorf("%s: type of %v pt, after %v", what, page.Points, last)
		}
		last = page.Points
	}
}

// What stands on the second page takes smaller type as well, where it is much.
func TestMuchToTest(t *testing.T) {
	meter, drawer := invented(12, 1)
	m := jobOf(t, meter, drawer, 2.5)
	m.answer.Warnings = nil
	for i := range mostWarnings {
		m.answer.Warnings = append(m.answer.Warnings, fmt.Sprint(i, strings.Repeat(" word", 230)))
	}
	var page sheet.Page
	m.spread(&page)
	if tall := high(page.Rest, page.Points); len(page.Left) == 0 || page.Points >= sizes[0] || page.Points <= 7.1 || tall > 2*pageHigh || tall < 1.8*pageHigh {
		t.Errorf("%v pt: %.0f px in two columns of %.0f", page.Points, tall, pageHigh)
	}
}
