package asbuilt_test

import (
	"math"
	"strings"
	"testing"

	"shuntwright/cmd/shuntwright/internal/asbuilt"
	"shuntwright/cmd/shuntwright/internal/asbuilt/asbuilttest"
)

// sureMeter is a meter of which nothing is unsure but the shunt in the lead;
// fields say how far that is trusted. All is invented.
func sureMeter(shunt string) string {
	return `{"movement": {"full_scale": "1 mA", "full_scale_limit_percent": 0, "coil": "100.0 ohm", "coil_gain_percent": 0, "coil_floor": "0 ohm"}, "class": 2.5,
		"circuits": [{"circuit": "external-shunt", "range": "plate 101 mA", "shunt": "4.00 ohm", ` + shunt + ` "fitted": "R1"}]}`
}

// TestStatedLimits: a shunt of 4.00 ohm before 400 ohm takes 100 of 101 mA, and
// the range moves by 100/101 of what the shunt is off: by hand, with k = 1.65
// and √3 of one rectangle.
func TestStatedLimits(t *testing.T) {
	const drawer = "id,ohms,gain_percent,floor_ohms\nR1,300.0,0,0\n"
	const instruments = `{"bridge": {"gain_percent": 0.05, "wires": 4}, "hand meter": {"gain_percent": 0.5, "counts": 2, "leads": "0.2 ohm"}}`
	alone := 1.65 / math.Sqrt(3)
	share := 100.0 / 101
	for _, test := range []struct {
		says string
		want float64
		said string
	}{
		{``, share * math.Hypot(0.8, 100*0.01/4) * 1.96 / math.Sqrt(3), "given without a limit, trusted like a reading: external shunt plate 101 mA (4.000 Ω)"},
		{`"shunt_limit_percent": 1,`, share * 1 * alone, ""},
		{`"shunt_limit_percent": 0,`, 0, ""},
		{`"shunt_limit_percent": 100,`, share * 100 * alone, ""},
		{`"shunt_instrument": "bridge",`, share * 0.05 * alone, ""},
	} {
		s := asbuilttest.Open(t, sureMeter(test.says), drawer, instruments)
		got := s.RangeLimits(s.Meter.State(s.Ohms()))[0].Limit
		if math.Abs(got-test.want) > 1e-12 {
			t.Errorf("%q: ±%v %%, want %v", test.says, got, test.want)
		}
		said := strings.Join(asbuilt.Assumed(s), "\n")
		if (test.said != "") != strings.Contains(said, "given without a limit") || !strings.Contains(said, test.said) {
			t.Errorf("%q: assumed %s", test.says, said)
		}
	}
	// Of the 0.2 ohm of leads nothing is subtracted: the file says what the
	// shunt is.
	s := asbuilttest.Open(t, sureMeter(`"shunt_instrument": "hand meter",`), drawer, instruments)
	if m := s.Stated[0].Measured; m.Ohms != 4 || m.TwoWires == nil || m.TwoWires.Of != "external shunt plate 101 mA" {
		t.Errorf("%+v", m)
	}
}

// TestPassRestsOn: a pass that would be none were the shunt unsure by all of
// itself rests on what is assumed of it; one that would be one all the same, or
// whose limit is stated, does not, and a contact is taken as that unsure from
// the first.
func TestPassRestsOn(t *testing.T) {
	const drawer = "id,ohms,gain_percent,floor_ohms\nR1,300.0,0,0\nR2,11.10,0,0\n"
	for says, want := range map[string]string{
		"":                          "external shunt plate 101 mA",
		`"shunt_limit_percent": 1,`: "",
	} {
		s := asbuilttest.Open(t, sureMeter(says), drawer, `{}`)
		state := s.Meter.State(s.Ohms())
		got := s.PassRestsOn(asbuilt.SlopesOf(s.Meter, state)[0], s.Meter.PredictState(state).Ranges[0], s.Meter.Class)
		if strings.Join(got, ", ") != want {
			t.Errorf("%q: %q, want %q", says, got, want)
		}
	}
	s := asbuilttest.Open(t, `{"movement": {"full_scale": "1 mA", "full_scale_limit_percent": 0, "coil": "100.0 ohm", "coil_gain_percent": 0, "swamp": "0.100 ohm"}, "class": 2.5,
		"circuits": [{"circuit": "shunt", "range": "10 mA", "contact": "5 mohm", "fitted": "R2"}]}`, drawer, `{}`)
	state := s.Meter.State(s.Ohms())
	if got := s.PassRestsOn(asbuilt.SlopesOf(s.Meter, state)[0], s.Meter.PredictState(state).Ranges[0], 2.5); got != nil {
		t.Errorf("of a swamp and a contact that cannot matter: %q", got)
	}
	if got := s.PassRestsOn(asbuilt.SlopesOf(s.Meter, state)[0], s.Meter.PredictState(state).Ranges[0], 0.001); got != nil {
		t.Errorf("of a range that does not pass: %q", got)
	}
	said := strings.Join(asbuilt.Assumed(s), "\n")
	if !strings.Contains(said, "trusted like a reading: swamp (100.0 mΩ)") || !strings.Contains(said, "uncertain by all of itself: contact of shunt 10 mA (5.000 mΩ)") {
		t.Error(said)
	}
	limit := s.RangeLimits(state)[0].Limit
	if want := 0.005 / 11.1 * 90; limit < 0.9*want*1.65/math.Sqrt(3) || limit > 1.1*want*1.96/math.Sqrt(3) {
		t.Errorf("the limit is ±%v %%, of the contact alone about %v", limit, want)
	}
}
