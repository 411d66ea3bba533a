package inventory

import (
	"strings"
	"testing"

	"shuntwright/meter/quantity"
)

func TestSelection(t *testing.T) {
	part := func(id, nominal, kind, place string) Part {
		p := NewPart(quantity.Value{})
		p.ID, p.Kind, p.Place = id, kind, place
		if nominal != "" {
			p.Nominal, _ = quantity.Parse(nominal, quantity.Ohm, quantity.Positive)
		}
		return p
	}
	carbon, film := part("R001", "1k", "Carbon composition", "tin C"), part("R002", "1k", "metal film", "tin  c")
	bare := part("R003", "", "", "tin CC")
	for _, c := range []struct {
		text  string
		p     Part
		ohms  float64
		wants bool
	}{
		{"R001", carbon, 1000, true}, {"R002,R001", carbon, 1000, true}, {"R00", carbon, 1000, false}, {"r001", carbon, 1000, false},
		{"kind=carbon", carbon, 1000, true}, {"kind=carbon", film, 1000, false}, {"kind = Metal  Film", film, 1000, true},
		{"kind=carb", carbon, 1000, false}, {"kind=carbon", bare, 1000, false},
		{"place=tin C", carbon, 1000, true}, {"place=tin c", film, 1000, true}, {"place=tin C", bare, 1000, false},
		{"drifted=10", carbon, 1101, true}, {"drifted=10", carbon, 1099, false}, {"drifted=10%", carbon, 899, true}, {"drifted=10", bare, 5, false},
		{"kind=film,drifted=10", carbon, 1200, true}, {"kind=film,drifted=10", film, 1000, true}, {"kind=film,drifted=10", carbon, 1050, false},
	} {
		s, err := ParseSelection(c.text)
		if err != nil {
			t.Fatal(err)
		}
		if got := s.Has(c.p, c.ohms); got != c.wants {
			t.Errorf("%q has %s of %g ohm: %v", c.text, c.p.ID, c.ohms, got)
		}
	}
	s, _ := ParseSelection("R001,R009,kind=x")
	if id, found := s.Unknown([]Part{carbon}); id != "R009" || !found {
		t.Errorf("unknown: %q %v", id, found)
	}
	for text, want := range map[string]string{
		"": "empty", "R001,,R002": "empty", "kind=": "nothing stands behind kind=", "colour=red": "no condition", "drifted=-3": "negative", "drifted=much": "number", "R 1": "R 1",
	} {
		if _, err := ParseSelection(text); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: %v, want %q", text, err, want)
		}
	}
}
