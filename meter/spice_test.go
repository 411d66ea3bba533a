package meter_test

import (
	"math"
	"slices"
	"testing"

	"shuntwright/meter"
	"shuntwright/meter/meterfile"
	"shuntwright/meter/metertest"
	"shuntwright/meter/nodal"
)

// set is a point of a case, with its meter and the state there.
type set struct {
	metertest.Point
	m  *meter.Meter
	st meter.State
}

// Every linear deck of the simulator, twice: by the closed formulas and by
// nodal analysis. Worst of both is what the decks' own digits allow.
func TestSimulatorDecks(t *testing.T) {
	points, numbers := 0, 0
	for _, c := range metertest.Load(t, "../testdata/spice") {
		for _, p := range c.Points {
			if len(c.Meter) == 0 || p.Given.DiodesPerDirection > 0 || p.Given.Range == "" {
				continue // in meter/protect
			}
			points++
			m, st := c.At(t, p.Given)
			s := set{p, m, st}
			for field, want := range p.Answers {
				digits := c.Digits[field]
				for how, got := range map[string]float64{"closed": s.closed(t, field), "nodal": s.nodal(t, field)} {
					if off := metertest.Off(field, got, want); !(off <= math.Pow(10, -float64(digits))) {
						t.Errorf("%s: %s: %s %s: %.13g, want %.13g", c.Name, p.Point, how, field, got, want)
					}
					numbers++
				}
			}
			s.places(t, c.Name)
		}
	}
	if points < 370 || numbers < 2000 {
		t.Errorf("%d points, %d numbers held against the simulator, want 370 and 2000", points, numbers)
	}
}

// closed answers a field by the closed formulas.
func (s set) closed(t *testing.T, field string) float64 {
	g, st := s.Given, s.st
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
func (s set) nodal(t *testing.T, field string) float64 {
	g, st := s.Given, s.st
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
		t.Fatalf("%s: %v", s.Point.Point, err)
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
	return s.closed(t, field)
}

// places compares what each position carries.
func (s set) places(t *testing.T, deck string) {
	st := s.st
	r, _ := s.m.FindRange(s.Given.Range)
	applied := s.m.Ranges()[r].FullScale
	f := s.m.Flow(st, r, applied)
	for name, want := range s.Places {
		k := metertest.Resistor(t, s.m, name)
		path := s.m.Path(r)
		amperes := f.Movement
		if slices.Contains(path.Across, k) {
			amperes = f.Across
		} else if slices.Contains(path.Lead, k) {
			amperes = f.Lead
		}
		for field, got := range map[string]float64{"current_a": amperes, "volts": amperes * st.Ohms[k], "watts": amperes * amperes * st.Ohms[k]} {
			if off := metertest.Off(field, got, want[field]); !(off <= 1e-10) {
				t.Errorf("%s: %s: %s %s: %.13g, want %.13g", deck, s.Point.Point, name, field, got, want[field])
			}
		}
	}
}

func TestSimulatorTargets(t *testing.T) {
	n := 0
	for _, c := range metertest.Load(t, "../testdata/spice") {
		if c.Targets == nil {
			continue
		}
		f, err := meterfile.Parse(c.Name, c.Meter)
		if err != nil {
			t.Fatal(err)
		}
		targets, err := f.Meter.Targets()
		if err != nil {
			t.Fatal(err)
		}
		for _, want := range c.Targets {
			at, ok := f.Meter.FindPosition(want.Position)
			if !ok || math.Abs(targets[at]/want.TargetOhms-1) > 1e-13 {
				t.Errorf("%s: %s: target %v, want %v", c.Name, want.Position, targets[max(at, 0)], want.TargetOhms)
			}
			n++
		}
	}
	if n < 20 {
		t.Errorf("only %d targets", n)
	}
}
