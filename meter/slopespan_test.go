package meter_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"shuntwright/meter"
)

// TestSlopesOverBoxes holds the slopes at random points of random boxes against
// the spans of the whole box, and the spans of a box that is a point against
// the slope there.
func TestSlopesOverBoxes(t *testing.T) {
	r := rand.New(rand.NewPCG(8, 15))
	for range 200 {
		m, ohms := random(t, r)
		var open []int
		for i := range ohms {
			if r.IntN(4) > 0 {
				open = append(open, i)
			}
		}
		resp := m.Response(open, ohms)
		lo, hi := make([]float64, len(open)), make([]float64, len(open))
		wide := []float64{0, 0.01, 0.3, 5}[r.IntN(4)]
		for s, i := range open {
			lo[s] = ohms[i] / (1 + wide*r.Float64())
			hi[s] = ohms[i] * (1 + wide*r.Float64())
		}
		for range 10 {
			for s, i := range open {
				ohms[i] = lo[s] + (hi[s]-lo[s])*[]float64{0, 1, r.Float64()}[r.IntN(3)]
			}
			st := m.State(ohms)
			errors := errorsOf(m, st)
			for k, row := range m.Sensitivities(st) {
				reading := 1 + errors[k]/100
				within(t, m, k, "reading", resp.Slopes(k, lo, hi).Reading, reading, wide)
				spans, path := resp.Slopes(k, lo, hi), m.Path(k)
				for _, place := range []struct {
					name string
					of   []int
					span meter.Span
				}{{"lead", path.Lead, spans.Lead}, {"across", path.Across, spans.Across}, {"branch", path.Branch, spans.Branch}} {
					for _, i := range place.of {
						within(t, m, k, place.name, place.span, row[i].PerOhm*reading, wide)
					}
				}
			}
		}
	}
}

// within wants a value inside of the span, and a span without width where
// nothing varies.
func within(t *testing.T, m *meter.Meter, r int, what string, span meter.Span, value, wide float64) {
	t.Helper()
	slack := 1e-12 * math.Abs(value)
	if !(span.Least-slack <= value && value <= span.Most+slack) || wide == 0 && span.Most-span.Least > 2*slack {
		t.Errorf("%s, %s: %v, span %v of boxes as wide as %v", m.Ranges()[r].Name, what, value, span, wide)
	}
}
