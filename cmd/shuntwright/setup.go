package main

import (
	"fmt"
	"math"
	"slices"

	"shuntwright/inventory"
	"shuntwright/inventory/safefile"
	"shuntwright/meter"
	"shuntwright/meter/budget"
	"shuntwright/meter/meterfile"
	"shuntwright/meter/wiring"
)

// setup is a meter on the bench: its file, the drawer, and what is fitted.
type setup struct {
	*bench
	path      string
	file      *meterfile.File
	data      []byte
	stamp     safefile.Stamp
	meter     *meter.Meter
	positions []meter.Position
	ranges    []meter.Range
	networks  []wiring.Network // by position; the zero Network where it is open
	leaves    [][]leaf         // by position
	taken     map[string]string
	warnings  []string
	coil      inventory.Measured
}

// open tells whether a position has nothing fitted.
func (s *setup) open(position int) bool { return isOpen(s.networks[position]) }

// isOpen tells the zero network, which stands for nothing.
func isOpen(n wiring.Network) bool { return len(n.Of) == 0 && n.ID == "" && n.Ohms.Text == "" }

// openSetup reads the meter, and the drawer where one is needed: always for
// plan and fit, and else only if a part of it is fitted.
func (c *call) openSetup(path string, needDrawer bool) (*setup, error) {
	file, data, stamp, err := c.readMeter(path)
	if err != nil {
		return nil, err
	}
	s := &setup{path: path, file: file, data: data, stamp: stamp, meter: file.Meter,
		positions: file.Meter.Positions(), ranges: file.Meter.Ranges(), taken: map[string]string{}}
	for i := range s.positions {
		s.networks = append(s.networks, fitted(file.Fitted[i]))
		needDrawer = needDrawer || len(s.networks[i].IDs()) > 0
	}
	if s.bench, err = c.benchFor(needDrawer); err != nil {
		return nil, err
	}
	if err := s.measureFitted(); err != nil {
		return nil, err
	}
	return s, s.measureCoil()
}

// benchFor opens the drawer, or an empty one where nothing of it is needed.
func (c *call) benchFor(needed bool) (*bench, error) {
	if needed {
		return c.openBench()
	}
	drawer, err := c.openDrawer()
	if err != nil {
		return nil, err
	}
	return c.measure(drawer)
}

// measureFitted looks up what is fitted and holds the drawer against it.
func (s *setup) measureFitted() error {
	for i, n := range s.networks {
		var found []leaf
		if !isOpen(n) {
			var err error
			if found, err = s.bench.leaves(n, s.meter.Movement.Instrument); err != nil {
				at := s.file.Fitted[i]
				return fmt.Errorf("%s:%d:%d: %q: %w", s.path, at.Line, at.Column, s.positions[i].Name, err)
			}
		}
		s.leaves = append(s.leaves, found)
		for _, id := range n.IDs() {
			s.taken[id] = s.where(i)
		}
	}
	s.compareDrawer()
	return nil
}

// fitted is the network of a position, the zero Network where it is open.
func fitted(f meterfile.Fitted) wiring.Network {
	if !f.Present {
		return wiring.Network{}
	}
	return f.Network
}

// where is how the drawer calls a position of this meter.
func (s *setup) where(position int) string { return s.meter.Name + ": " + s.positions[position].Name }

// compareDrawer warns where the drawer and the meter file disagree about what
// is fitted; a part that either of them says is fitted is taken.
func (s *setup) compareDrawer() {
	for _, p := range s.parts {
		here := s.taken[p.ID]
		switch {
		case here != "" && !meter.SameName(p.Fitted, here):
			said := "is in the drawer"
			if p.Fitted != "" {
				said = fmt.Sprintf("is fitted in %q", p.Fitted)
			}
			s.warnings = append(s.warnings, fmt.Sprintf("part %s stands in the meter file at %q, and the drawer says it %s; fit or unfit puts them in step", p.ID, here, said))
		case here == "" && s.saysHere(p.Fitted):
			s.warnings = append(s.warnings, fmt.Sprintf("part %s is fitted in %q by the drawer, and the meter file does not have it there; it is not offered", p.ID, p.Fitted))
		}
	}
}

// saysHere tells whether a text of the drawer means a position of this meter.
func (s *setup) saysHere(fitted string) bool {
	for i := range s.positions {
		if fitted != "" && meter.SameName(fitted, s.where(i)) {
			return true
		}
	}
	return false
}

// ohms are the resistances of all positions, NaN where one is open.
func (s *setup) ohms() []float64 {
	out := make([]float64, len(s.positions))
	for i, n := range s.networks {
		out[i] = math.NaN()
		if !s.open(i) {
			out[i] = n.Resistance(ohms(s.leaves[i]))
		}
	}
	return out
}

// openPositions are the indexes of those with nothing fitted.
func (s *setup) openPositions() []int {
	var out []int
	for i := range s.positions {
		if s.open(i) {
			out = append(out, i)
		}
	}
	return out
}

// fill puts a network into a position, as plan does in thought and fit in
// earnest.
func (s *setup) fill(position int, n wiring.Network) error {
	found, err := s.bench.leaves(n, s.meter.Movement.Instrument)
	if err != nil {
		return err
	}
	s.networks[position], s.leaves[position] = n, found
	return nil
}

// measureCoil works out how sure the coil's resistance is: by its own limits
// where the file gives them, else by its instrument, else by assumption.
func (s *setup) measureCoil() error {
	mv := s.meter.Movement
	m, err := s.instruments.Measure(unlisted(s.file.Coil, mv.Instrument))
	if err != nil {
		return fmt.Errorf("%s:%d:%d: coil: %w", s.path, s.file.CoilLine, s.file.CoilColumn, err)
	}
	m.Ohms = mv.CoilOhms
	if isNumber(mv.CoilGainPercent) || isNumber(mv.CoilFloorOhms) {
		m.GainPercent, m.FloorOhms, m.Assumed = zeroIfNone(mv.CoilGainPercent), zeroIfNone(mv.CoilFloorOhms), false
		if mv.Instrument == "" {
			m.Shared = ""
		}
	}
	s.coil = m
	return nil
}

func zeroIfNone(x float64) float64 {
	if math.IsNaN(x) {
		return 0
	}
	return x
}

// rangeLimits are the 95 % limits of the ranges' full-scale errors, in percent
// of full scale: from the parts of their positions, the coil and the movement.
func (s *setup) rangeLimits(state meter.State) []budget.Result {
	var out []budget.Result
	for _, slope := range slopesOf(s.meter, state) {
		out = append(out, budget.Combine(budget.Sources(s.rangeInputs(slope))))
	}
	return out
}

// rangeInputs is everything measured that one range depends on.
func (s *setup) rangeInputs(by slopes) []budget.Input {
	var all []budget.Input
	for i, p := range s.positions {
		if slope := by.perOhm[p.Resistor]; slope != 0 && !s.open(i) {
			all = append(all, inputs(s.networks[i], s.leaves[i], slope)...)
		}
	}
	return append(all, s.movementInputs(by)...)
}

// movementInputs is what was measured of the movement.
func (s *setup) movementInputs(by slopes) []budget.Input {
	mv := s.meter.Movement
	return []budget.Input{
		{Name: "coil", Value: s.coil.Ohms, Slope: by.perOhm[coilOf(s.meter)],
			GainPercent: s.coil.GainPercent, Shared: s.coil.Shared, Floor: s.coil.FloorOhms},
		{Name: "full-scale current", Value: mv.FullScaleAmperes, Slope: by.perAmpere,
			GainPercent: zeroIfNone(mv.FullScaleLimitPercent)},
	}
}

// coilOf is the index of the coil among the meter's resistors.
func coilOf(m *meter.Meter) int {
	return slices.IndexFunc(m.Resistors(), func(r meter.Resistor) bool { return r.Use == meter.Coil })
}
