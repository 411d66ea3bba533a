package sheet

import (
	"math"
	"strings"
	"testing"
)

// An axis shows every error with its limit, but none that is more than four
// times the class off: those get an arrowhead at its end.
func TestAxis(t *testing.T) {
	nan := math.NaN()
	for _, test := range []struct {
		class float64
		marks []Mark
		span  float64
	}{
		{2.5, []Mark{{Percent: 1, Limit: 0.5}}, 3.125},
		{2.5, []Mark{{Percent: -3, Limit: 0.5}}, 4},
		{2.5, []Mark{{Percent: 8.3, Limit: nan}}, 10},
		{2.5, []Mark{{Percent: -400, Limit: 1}}, 10},
		{2.5, []Mark{{Percent: nan, Limit: nan}}, 3.125},
		{nan, []Mark{{Percent: 0.7, Limit: 0.2}}, 1},
		{nan, nil, 0.1},
	} {
		if got := NewAxis(test.class, test.marks...).Span; math.Abs(got-test.span) > 1e-12 {
			t.Errorf("class %v, %v: span %v, want %v", test.class, test.marks, got, test.span)
		}
	}
	a := NewAxis(2.5, Mark{Percent: 400})
	for percent, want := range map[float64]struct {
		x      float64
		beyond int
	}{0: {52, 0}, 10: {100, 0}, -10: {4, 0}, 5: {76, 0}, math.Nextafter(10, 11): {100, 1}, math.Nextafter(-10, -11): {4, -1}} {
		if x, beyond := a.along(percent, barWide); math.Abs(x-want.x) > 1e-9 || beyond != want.beyond {
			t.Errorf("%v at %v, %d; want %v", percent, x, beyond, want)
		}
	}
}

// round goes up to a span that ends well.
func TestRound(t *testing.T) {
	for x, want := range map[float64]float64{1: 1, 1.01: 1.2, 8.01: 10, 99: 100, 0.031: 0.04, 1.2e-3: 1.2e-3} {
		if got := round(x); math.Abs(got-want) > 1e-12*want {
			t.Errorf("%v: %v, want %v", x, got, want)
		}
	}
}

// Bars and plots keep within their room, and their texts beside one another.
func TestCharts(t *testing.T) {
	marks := []Mark{{At: 0, Percent: -1, Limit: 0.3}, {At: 0.5, Percent: 2.4, Limit: 0.3}, {At: 1, Percent: -40, Limit: 0.3, Falling: true}}
	for name, a := range map[string]axis{"class": NewAxis(2.5, marks...), "without": NewAxis(math.NaN(), marks[:2]...), "exact": NewAxis(0.05, Mark{Percent: 0})} {
		for _, d := range []Drawing{a.Bar("three", marks...), a.Bar("one", marks[0]), a.Bar("none", Mark{Percent: math.NaN()}), a.Scale(),
			a.Plot("grid 20 mA "+strings.Repeat("W", 100), "words", "20.0 mA", marks), a.Plot("one", "words", "600 V", marks[:1])} {
			var texts []mark
			for _, m := range d.marks {
				if m.text != "" {
					texts = append(texts, m)
				}
			}
			whole := Drawing{width: d.width, Height: d.Height, marks: texts}
			if said := faults(whole); len(said) > 0 {
				t.Errorf("%s, %s: %q", name, d.Title, said)
			}
			for _, m := range d.marks {
				for _, p := range m.points {
					if p.x < 0 || p.x > d.width || p.y < 0 || p.y > d.Height || math.IsNaN(p.x) {
						t.Errorf("%s, %s: a line to %v", name, d.Title, p)
					}
				}
			}
		}
	}
	if one := NewAxis(2.5, marks...).Bar("+1 %", marks[0]).SVG(""); !strings.Contains(one, `aria-label="+1 %"`) || strings.Contains(one, "<desc") {
		t.Error(one)
	}
}

// Text is measured rather too wide, shortened before its end, and broken at spaces.
func TestText(t *testing.T) {
	for _, test := range []struct {
		line  string
		width float64
		want  string
	}{{"grid 5 mA", 100, "grid 5 mA"}, {"the output valve's cathode 250 mA", 90, "the ou…250 mA"}, {"the output valve 250 mA", 30, "the…"}, {"cathode of it", 60, "cathod…it"}, {" a  b ", 100, "a b"}, {"WWWW", 1, "…"}, {"WWWW", 30, "WW…"}, {"", 10, ""}} {
		if got := Fit(test.line, test.width); got != test.want {
			t.Errorf("%q in %v: %q, want %q", test.line, test.width, got, test.want)
		}
	}
	if got := wrapped("the cathode of the output valve 250 mA", 77, 2); len(got) != 2 || got[0] != "the cathode" || got[1] != "of t…250 mA" {
		t.Errorf("%q", got)
	}
	for text, want := range map[string]float64{"": 0, "Ω": 10, "W": 10, "0": 6.5, "電": 13, "e\u0301": 6.5} {
		if got := TextWidth(text); math.Abs(got-want) > 1e-9 {
			t.Errorf("%q is %v wide, want %v", text, got, want)
		}
	}
}
