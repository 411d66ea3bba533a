package nodal_test

import (
	"math"
	"os"
	"os/exec"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"shuntwright/meter/metertest"
	"shuntwright/meter/nodal"
	"shuntwright/meter/quantity"
)

func cases(t *testing.T) []metertest.Case { return metertest.Load(t, "../../testdata/spice") }

// Single diodes against voltage, and the saturation current over temperature,
// to what testdata/spice/README.md says of exact constants.
func TestDiodeLawOfTheSimulator(t *testing.T) {
	n := 0
	for _, c := range cases(t) {
		for _, p := range c.Points {
			if is, ok := p.Answers["is_at_temperature_by_law_a"]; ok {
				n++
				m, _ := c.Model(t, p.Given.ParameterSet)
				got := nodal.Diode{Model: m, InSeries: 1, Celsius: c.TemperatureCelsius}.SaturationAmperes()
				if off := math.Abs(got/is - 1); off > 1e-6 {
					t.Errorf("%s: %s: saturation current %v, want %v", c.Name, p.Point, got, is)
				}
			}
			if c.Name != "diode-law" {
				continue
			}
			model, _ := c.Model(t, p.Given.ParameterSet)
			bare := model
			bare.SeriesOhms = 0
			for field, want := range p.Answers {
				m, volts, within := model, *p.Given.AppliedVolts, 5e-5
				if strings.Contains(field, "without_rs") {
					m = bare
				}
				if strings.HasPrefix(field, "reverse") {
					volts, want, within = -math.Abs(volts), -want, 1e-2
				}
				for how, got := range twoWays(t, nodal.Diode{Model: m, InSeries: 1, Celsius: *p.Given.TemperatureCelsius}, volts) {
					n++
					if off := metertest.Off(field, got, want); !(off <= within) {
						t.Errorf("%s: %s %s: %.12g, want %.12g", p.Point, how, field, got, want)
					}
				}
			}
		}
	}
	if n < 250 {
		t.Errorf("only %d currents held against the simulator", n)
	}
}

// twoWays is a diode's current by its law, and by solving a circuit of it and a
// source.
func twoWays(t *testing.T, d nodal.Diode, volts float64) map[string]float64 {
	direct, _ := d.Amperes(volts)
	var net nodal.Netlist
	net.VoltSource("a", nodal.Ground, volts)
	e := net.Diode("a", nodal.Ground, d)
	s, err := net.Solve()
	if err != nil {
		t.Fatal(err)
	}
	return map[string]float64{"law": direct, "circuit": s.Through(e)}
}

// Half deflection: a battery with inner resistance, a series resistor, and a
// shunt across the coil.
func TestHalfDeflectionDecks(t *testing.T) {
	n := 0
	for _, c := range cases(t) {
		if !strings.HasPrefix(c.Name, "half-deflection") {
			continue
		}
		full, err := quantity.Parse(c.Movement.FullScale, quantity.Ampere, quantity.Positive)
		if err != nil {
			t.Fatal(err)
		}
		for _, p := range c.Points {
			var net nodal.Netlist
			net.VoltSource("emf", nodal.Ground, *p.Given.BatteryVolts)
			battery := net.Resistor("emf", "battery", c.BatteryOhms)
			net.Resistor("battery", "meter", *p.Given.SeriesOhms)
			coil := net.Resistor("meter", nodal.Ground, metertest.Ohms(t, c.Movement.Coil))
			if p.Given.ShuntOhms != nil {
				net.Resistor("meter", nodal.Ground, *p.Given.ShuntOhms)
			}
			s, err := net.Solve()
			if err != nil {
				t.Fatal(err)
			}
			got := map[string]float64{"movement_current_a": s.Through(coil), "fraction_of_full_scale": s.Through(coil) / full.Base,
				"battery_current_a": s.Through(battery), "drop_volts": s.Volts("meter")}
			for field, want := range p.Answers {
				n++
				if off := metertest.Off(field, got[field], want); !(off <= 1e-10) {
					t.Errorf("%s: %s: %s %.12g, want %.12g", c.Name, p.Point, field, got[field], want)
				}
			}
		}
	}
	if n < 100 {
		t.Errorf("only %d numbers", n)
	}
}

// The decks themselves, run again where the simulator is installed: their
// answers are then not only what a file says. All of them take several seconds,
// so without SHUNTWRIGHT_SLOW=1 it is a few.
func TestDecksRunAgain(t *testing.T) {
	program, err := exec.LookPath("ngspice")
	if err != nil {
		t.Skip("ngspice is not on the path; the decks' recorded answers are tested all the same")
	}
	line := regexp.MustCompile(`^(\w+) = ([-+0-9.e]+)$`)
	for _, c := range cases(t) {
		if few := "ring-five chain-five external-shunt with-ring-booklet with-ring-taps diode-law"; os.Getenv("SHUNTWRIGHT_SLOW") == "" && !slices.Contains(strings.Fields(few), c.Name) {
			continue
		}
		run := exec.Command(program, "-b", c.Deck)
		run.Dir = "../../testdata/spice"
		out, _ := run.Output() // its status is of no use: what it printed is compared
		want := map[string]metertest.Point{}
		for _, p := range c.Points {
			want[p.Point] = p
		}
		var fields map[string]float64
		n := 0
		for _, text := range strings.Split(string(out), "\n") {
			text = strings.TrimSpace(text)
			if name, ok := strings.CutPrefix(text, "point: "); ok {
				fields = want[name].Answers
			} else if name, ok := strings.CutPrefix(text, "position: "); ok && name != "None" {
				fields = nil
			} else if f := line.FindStringSubmatch(text); f != nil && fields != nil {
				got, _ := strconv.ParseFloat(f[2], 64)
				w, ok := fields[f[1]]
				if !ok {
					continue
				}
				n++
				if off := metertest.Off(f[1], got, w); !(off <= math.Pow(10, -float64(c.Digits[f[1]]))) {
					t.Errorf("%s: %s = %v, recorded %v", c.Name, f[1], got, w)
				}
			}
		}
		if n < len(c.Points) {
			t.Errorf("%s: %d numbers for %d points", c.Name, n, len(c.Points))
		}
	}
}
