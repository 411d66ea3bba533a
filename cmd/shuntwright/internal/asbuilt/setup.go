package asbuilt

import (
	"fmt"
	"math"
	"slices"

	"shuntwright/inventory"
	"shuntwright/inventory/safefile"
	"shuntwright/meter"
	"shuntwright/meter/meterfile"
	"shuntwright/meter/wiring"
)

// Setup is a meter on the bench: its file, the drawer, and what is fitted.
type Setup struct {
	*Bench
	Path      string // of the meter's file
	File      *meterfile.File
	Data      []byte // of the file, as it was read
	stamp     safefile.Stamp
	Meter     *meter.Meter
	Positions []meter.Position
	Ranges    []meter.Range
	Networks  []wiring.Network   // by position; the zero Network where it is open
	Leaves    [][]Leaf           // by position, in the order of its network's text
	Taken     map[string]string  // by part, where the meter's file has it
	Namesakes []Namesake         // other meter files of its name
	Warnings  []string           // where the drawer and the meter's file disagree
	Coil      inventory.Measured // what the coil is, and how sure that is
	Stated    []Stated           // what else the file states, in the order of the meter's resistors
}

// IsOpen tells whether a position has nothing fitted.
func (s *Setup) IsOpen(position int) bool { return s.Networks[position].IsNothing() }

// New holds a meter against the bench and measures what is fitted. path,
// data and stamp are those of the meter's file; an error says the place in it.
func New(b *Bench, path string, file *meterfile.File, data []byte, stamp safefile.Stamp) (*Setup, error) {
	s := &Setup{Bench: b, Path: path, File: file, Data: data, stamp: stamp, Meter: file.Meter,
		Positions: file.Meter.Positions(), Ranges: file.Meter.Ranges(), Taken: map[string]string{}}
	for i := range s.Positions {
		s.Networks = append(s.Networks, file.Fitted[i].Network)
	}
	if err := s.measureFitted(); err != nil {
		return nil, err
	}
	s.compareDrawer()
	if err := s.measureStated(); err != nil {
		return nil, err
	}
	var err error
	s.Coil, err = MeasureCoil(s.Instruments, path, file)
	return s, err
}

// measureFitted looks up what is fitted.
func (s *Setup) measureFitted() error {
	for i, n := range s.Networks {
		var found []Leaf
		if !n.IsNothing() {
			var err error
			if found, err = s.Bench.Resistors(n, s.Meter.Movement.Instrument); err != nil {
				return fmt.Errorf("%s:%v: %q: %w", s.Path, s.File.Fitted[i].Place, s.Positions[i].Name, err)
			}
		}
		s.Leaves = append(s.Leaves, found)
		for _, id := range n.IDs() {
			s.Taken[id] = s.Where(i)
		}
	}
	return nil
}

// Where is how the drawer calls a position of this meter.
func (s *Setup) Where(position int) string { return s.Meter.Name + ": " + s.Positions[position].Name }

// compareDrawer warns where the drawer and the meter file disagree about what
// is fitted; a part that either of them says is fitted is taken.
func (s *Setup) compareDrawer() {
	for _, p := range s.Parts {
		here, at := s.Taken[p.ID], s.saidIn(p.Fitted)
		switch {
		case here != "" && !meter.SameName(p.Fitted, here):
			said := "is in the drawer"
			if p.Fitted != "" {
				said = fmt.Sprintf("is fitted in %q", p.Fitted)
			}
			s.Warnings = append(s.Warnings, fmt.Sprintf("part %s stands in the meter file at %q, and the drawer says it %s; fit or unfit puts them in step", p.ID, here, said))
		case here == "" && at >= 0:
			s.Warnings = append(s.Warnings, fmt.Sprintf("part %s is fitted in %q by the drawer, and the meter file does not have it there; it is not offered", p.ID, p.Fitted))
		}
	}
}

// saidIn is the position of this meter that a text of the drawer means, -1 where
// it means none.
func (s *Setup) saidIn(fitted string) (position int) {
	for i := range s.Positions {
		if fitted != "" && meter.SameName(fitted, s.Where(i)) {
			return i
		}
	}
	return -1
}

// Ohms are the resistances of all positions, in ohms, NaN where one is open.
func (s *Setup) Ohms() []float64 {
	out := make([]float64, len(s.Positions))
	for i, n := range s.Networks {
		out[i] = math.NaN()
		if !s.IsOpen(i) {
			out[i] = n.Resistance(Values(s.Leaves[i]))
		}
	}
	return out
}

// OpenPositions are the indexes of those with nothing fitted.
func (s *Setup) OpenPositions() []int {
	var out []int
	for i := range s.Positions {
		if s.IsOpen(i) {
			out = append(out, i)
		}
	}
	return out
}

// Clone is the setup with lists of its own of what is fitted, to try something.
func (s *Setup) Clone() *Setup {
	trial := *s
	trial.Networks, trial.Leaves = slices.Clone(s.Networks), slices.Clone(s.Leaves)
	return &trial
}

// Fill puts a network into a position, as plan does in thought and fit in
// earnest; nothing is written. A part that is not in the drawer is an error.
func (s *Setup) Fill(position int, n wiring.Network) error {
	found, err := s.Bench.Resistors(n, s.Meter.Movement.Instrument)
	if err != nil {
		return err
	}
	s.Networks[position], s.Leaves[position] = n, found
	return nil
}

// FillTrimmed is Fill for a resistance that is still to be made: it is trimmed by
// four wires until it is that, whatever the leads of the movement's instrument.
func (s *Setup) FillTrimmed(position int, n wiring.Network) error {
	m, err := s.Instruments.Trimmed(Unlisted(n.Ohms, s.Meter.Movement.Instrument))
	if err != nil {
		return err
	}
	s.Networks[position], s.Leaves[position] = n, []Leaf{{n.Ohms.Text, m}}
	return nil
}

// MeasureCoil tells what a meter file's coil is and how sure that is: by its own
// limits where the file gives them, else by its instrument, else by assumption.
// An error says the place in the file.
func MeasureCoil(instruments inventory.Instruments, path string, file *meterfile.File) (inventory.Measured, error) {
	mv := file.Meter.Movement
	m, err := instruments.AsItStands(Unlisted(file.Coil, mv.Instrument))
	if err != nil {
		return m, fmt.Errorf("%s:%v: coil: %w", path, file.CoilPlace, err)
	}
	if !math.IsNaN(mv.CoilGainPercent) || !math.IsNaN(mv.CoilFloorOhms) {
		m.GainPercent, m.FloorOhms, m.Assumed = zeroIfNone(mv.CoilGainPercent), zeroIfNone(mv.CoilFloorOhms), false
		if mv.Instrument == "" {
			m.Shared = ""
		}
	}
	return m, nil
}

func zeroIfNone(x float64) float64 {
	if math.IsNaN(x) {
		return 0
	}
	return x
}
