package meter_test

import (
	"math"
	"strings"
	"testing"

	"shuntwright/meter"
	"shuntwright/meter/meterfile"
	"shuntwright/meter/nodal"
	"shuntwright/meter/spicetest"
)

// set is a case with its meter read.
type set struct {
	spicetest.Case
	m  *meter.Meter
	st meter.State
}

func load(t *testing.T, c spicetest.Case, kind string) set {
	data, err := c.MeterOf(kind)
	if err != nil {
		t.Fatal(err)
	}
	f, err := meterfile.Parse(c.Name, data)
	if err != nil {
		t.Fatal(err)
	}
	var ohms []float64
	for _, fit := range f.Fitted {
		ohms = append(ohms, fit.Network.Ohms.Base)
	}
	return set{c, f.Meter, f.Meter.State(ohms)}
}

// resistor is the index of the resistor of that name.
func (s set) resistor(t *testing.T, name string) int {
	for i, r := range s.m.Resistors() {
		if r.Name == name {
			return i
		}
	}
	t.Fatalf("%s: no resistor %q", s.Name, name)
	return -1
}

// state is the meter's state at a point: warm, and with its fault.
func (s set) state(t *testing.T, g spicetest.Given) meter.State {
	st := s.st
	if s.TempcoPPM != nil {
		celsius := s.TemperatureCelsius
		if g.TemperatureCelsius != nil {
			celsius = *g.TemperatureCelsius
		}
		tempcos := s.m.Tempcos()
		for i, r := range s.m.Resistors() {
			for word, ppm := range s.TempcoPPM {
				if r.Name == word || strings.HasPrefix(strings.TrimPrefix(r.Name, "external "), word+" ") {
					tempcos[i].PPM = ppm
				}
			}
		}
		st = s.m.AtTemperature(st, celsius, tempcos)
	}
	if f := g.Fault; f != nil && f.Contact != "" {
		v, err := parseOhms(f.Contact)
		if err != nil {
			t.Fatal(err)
		}
		return st.With(s.resistor(t, "contact of "+"shunt "+g.Range), v)
	} else if f != nil {
		at := s.resistor(t, f.Position)
		switch {
		case f.State == "open":
			return st.With(at, math.Inf(1))
		case f.State == "short":
			return st.With(at, 0)
		case f.ChangePercent != nil:
			return st.With(at, st.Ohms[at]*(1+*f.ChangePercent/100))
		}
		t.Fatalf("fault %+v", f)
	}
	return st
}

// Every linear deck of the simulator, twice: by the closed formulas and by
// nodal analysis. Worst of both is what the decks' own digits allow.
func TestSimulatorDecks(t *testing.T) {
	cases, err := spicetest.Load("../testdata/spice")
	if err != nil {
		t.Fatal(err)
	}
	points, numbers := 0, 0
	for _, c := range cases {
		if len(c.Meter) == 0 {
			continue
		}
		sets := map[string]set{}
		for _, p := range c.Points {
			if p.Given.DiodesPerDirection > 0 || p.Given.Range == "" {
				continue // in meter/protect
			}
			points++
			s, known := sets[p.Given.Circuit]
			if !known {
				s = load(t, c, p.Given.Circuit)
				sets[p.Given.Circuit] = s
			}
			for field, want := range p.Answers {
				digits := c.Digits[field]
				for how, got := range map[string]float64{"closed": s.closed(t, p, field), "nodal": s.nodal(t, p, field)} {
					if off := spicetest.Off(field, got, want); !(off <= math.Pow(10, -float64(digits))) {
						t.Errorf("%s: %s: %s %s: %.13g, want %.13g", c.Name, p.Point, how, field, got, want)
					}
					numbers++
				}
			}
			s.places(t, p)
		}
	}
	if points < 370 || numbers < 2000 {
		t.Errorf("%d points, %d numbers held against the simulator, want 370 and 2000", points, numbers)
	}
}

// closed answers a field by the closed formulas.
func (s set) closed(t *testing.T, p spicetest.Point, field string) float64 {
	g, st := p.Given, s.state(t, p.Given)
	r, _ := s.m.FindRange(g.Range)
	applied := 0.0
	var loaded meter.Loaded
	switch {
	case g.AppliedAmperes != nil:
		applied = *g.AppliedAmperes
	case g.AppliedVolts != nil:
		applied = *g.AppliedVolts
	case g.EquivalentVolts != nil:
		loaded = s.m.Loading(st, r, *g.EquivalentVolts, *g.EquivalentOhms)
		applied = loaded.With
	case s.m.Ranges()[r].Unit == "V": // a supply behind a resistance on a voltage range
		loaded = s.m.Loading(st, r, *g.SupplyVolts, *g.SourceOhms)
		applied = loaded.With
	default:
		input := s.m.Flow(st, r, 1).InputOhms
		loaded = s.m.Loading(st, r, *g.SupplyVolts / *g.SourceOhms, *g.SourceOhms)
		applied = *g.SupplyVolts / (*g.SourceOhms + input)
	}
	f := s.m.Flow(st, r, applied)
	switch field {
	case "movement_current_a":
		return f.Movement
	case "movement_times_full_scale":
		return f.Movement / st.FullScaleAmperes
	case "full_scale_error_percent":
		errors := make([]float64, len(s.m.Ranges()))
		s.m.Errors(errors, st)
		return errors[r]
	case "drop_volts":
		return f.TerminalVolts
	case "input_ohms":
		return f.InputOhms
	case "supply_current_a":
		return f.Lead
	case "coil_volts":
		return f.Movement * st.Ohms[0]
	case "coil_watts":
		return f.Movement * f.Movement * st.Ohms[0]
	case "current_without_meter_a":
		return *g.SupplyVolts / *g.SourceOhms
	case "volts_without_meter":
		return *g.EquivalentVolts
	case "current_with_meter_a", "volts_with_meter":
		return loaded.With
	case "indicated_a", "indicated_volts":
		return loaded.Indicated
	case "loading_error_percent":
		return loaded.LoadingPercent
	case "total_error_percent":
		return loaded.TotalPercent
	}
	t.Fatalf("no formula for %q", field)
	return 0
}

// nodal answers a field by nodal analysis, where it is one of the circuit as
// such; else as closed does.
func (s set) nodal(t *testing.T, p spicetest.Point, field string) float64 {
	g, st := p.Given, s.state(t, p.Given)
	r, _ := s.m.FindRange(g.Range)
	net, elements := s.m.Netlist(st, r)
	var feed nodal.Element
	switch {
	case g.AppliedAmperes != nil:
		feed = net.CurrentSource(nodal.Ground, meter.Terminal, *g.AppliedAmperes)
	case g.AppliedVolts != nil:
		net.VoltSource("supply", nodal.Ground, *g.AppliedVolts)
		feed = net.Resistor("supply", meter.Terminal, 0)
	default:
		volts, ohms := g.SupplyVolts, g.SourceOhms
		if g.EquivalentVolts != nil {
			volts, ohms = g.EquivalentVolts, g.EquivalentOhms
		}
		net.VoltSource("supply", nodal.Ground, *volts)
		feed = net.Resistor("supply", meter.Terminal, *ohms)
	}
	solved, err := net.Solve()
	if err != nil {
		t.Fatalf("%s: %s: %v", s.Name, p.Point, err)
	}
	i := solved.Through(elements[0])
	switch field {
	case "movement_current_a":
		return i
	case "movement_times_full_scale":
		return i / st.FullScaleAmperes
	case "full_scale_error_percent":
		return 100 * (i/st.FullScaleAmperes - 1)
	case "drop_volts", "volts_with_meter":
		return solved.Volts(meter.Terminal)
	case "input_ohms":
		return solved.Volts(meter.Terminal) / solved.Through(feed)
	case "coil_volts":
		return solved.Across(elements[0])
	case "supply_current_a", "current_with_meter_a":
		return solved.Through(feed)
	}
	return s.closed(t, p, field)
}

// places compares what each position carries.
func (s set) places(t *testing.T, p spicetest.Point) {
	if p.Places == nil {
		return
	}
	g, st := p.Given, s.state(t, p.Given)
	r, _ := s.m.FindRange(g.Range)
	applied := s.m.Ranges()[r].FullScale
	f := s.m.Flow(st, r, applied)
	for name, want := range p.Places {
		k := s.resistor(t, name)
		path := s.m.Path(r)
		amperes := f.Movement
		for _, i := range path.Across {
			if i == k {
				amperes = f.Across
			}
		}
		for _, i := range path.Lead {
			if i == k {
				amperes = f.Lead
			}
		}
		for field, got := range map[string]float64{"current_a": amperes, "volts": amperes * st.Ohms[k], "watts": amperes * amperes * st.Ohms[k]} {
			if off := spicetest.Off(field, got, want[field]); !(off <= 1e-10) {
				t.Errorf("%s: %s: %s %s: %.13g, want %.13g", s.Name, p.Point, name, field, got, want[field])
			}
		}
	}
}
