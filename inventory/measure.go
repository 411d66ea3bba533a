package inventory

import (
	"errors"
	"fmt"
	"maps"
	"math"
	"slices"
	"strconv"
	"strings"

	"shuntwright/inventory/instrument"
	"shuntwright/meter/quantity"
)

// Instruments are the instruments by name. Unnamed, where it is there, is what
// readings are trusted to whose instrument is not said; where it is not, a
// hand-held meter is assumed.
type Instruments map[string]instrument.Instrument

// Unnamed is the key of the gain error that all readings share whose
// instrument is not said.
const Unnamed = instrument.Unnamed

// Measured is the resistance of a part and how far it can be trusted.
type Measured struct {
	ID          string               // the part's
	Ohms        float64              // the reading, leads subtracted; what is marked if there is no reading
	GainPercent float64              // of Ohms: the part of the limit that grows with the reading
	FloorOhms   float64              // the part of the limit that does not
	Shared      string               // key of the gain error: one value of it holds for all parts of the same key. Empty: the part's own
	Assumed     bool                 // the limit rests on what was assumed of the unnamed instrument
	Stated      string               // the limit rests on this accuracy, which was stated for the unnamed instrument; empty: it does not
	Marked      bool                 // there is no reading: Ohms and GainPercent are what is marked
	TwoWires    *instrument.TwoWires // it was read through leads, and is so low that they count; nil: it is not
}

// LimitOhms returns the half-width in ohms within which the resistance is
// trusted: gain and floor added up.
func (m Measured) LimitOhms() float64 { return m.Ohms*m.GainPercent/100 + m.FloorOhms }

// Measure says what a part's reading is worth. The leads of a two-wire
// instrument are subtracted; as its gain error is one of the whole reading,
// GainPercent is larger then, by reading / resistance. A part's own
// GainPercent and FloorOhms replace its instrument's gain, and its counts and
// floor; what is uncertain of the leads stays. A part that was never measured
// has its nominal resistance with the tolerance as its own gain error; of a spool
// it is a metre that is measured, or known by a table. An
// instrument that is not defined, and leads that leave nothing of a reading,
// are refused.
func (in Instruments) Measure(p Part) (Measured, error) { return in.measure(p, true) }

// AsItStands is Measure for a resistance of which somebody has taken the leads
// already; what is uncertain of them stays.
func (in Instruments) AsItStands(p Part) (Measured, error) { return in.measure(p, false) }

// Trimmed is Measure for a resistance that is made to read so by four wires: the
// leads of its instrument do not count.
func (in Instruments) Trimmed(p Part) (Measured, error) {
	m, err := in.measure(p, false)
	if err != nil {
		return m, err
	}
	by, err := in.of(p)
	m.FloorOhms, m.TwoWires = m.FloorOhms-by.LeadsFloorOhms, nil
	return m, err
}

// measure is what a part's reading is worth, less the leads of its instrument or
// as it stands.
func (in Instruments) measure(p Part, lessLeads bool) (Measured, error) {
	if p.IsSpool() {
		return in.measureSpool(p)
	}
	if !p.Measured() {
		if wrong := p.whole(false); wrong != nil {
			return Measured{}, wrong
		}
		return Measured{ID: p.ID, Ohms: p.Nominal.Base, GainPercent: p.TolerancePercent, Marked: true}, nil
	}
	by, err := in.of(p)
	if err != nil {
		return Measured{}, err
	}
	reading := p.Ohms.Base
	m := Measured{ID: p.ID, Ohms: reading, Shared: p.Instrument}
	if lessLeads {
		m.Ohms -= by.LeadsOhms
	}
	in.rest(p, &m)
	if !(m.Ohms > 0) {
		return Measured{}, about(p, "ohms", "the reading %s is not more than the leads of %q, %s; measure it again, or correct leads",
			quantity.Format(reading, quantity.Ohm, 4), p.Instrument, quantity.Format(by.LeadsOhms, quantity.Ohm, 4))
	}
	m.GainPercent = either(p.GainPercent, by.GainPercent) * reading / m.Ohms
	if math.IsNaN(p.FloorOhms) && by.Counts > 0 && !(p.Ohms.Step > 0) {
		return Measured{}, about(p, "ohms", "the last digit of the reading is not known, so its counts are not; give floor_ohms")
	}
	m.FloorOhms = either(p.FloorOhms, by.Counts*p.Ohms.Step+by.FloorOhms) + by.LeadsFloorOhms
	if math.IsNaN(p.FloorOhms) { // a floor of its own knows better
		m.TwoWires = by.ReadThrough(named(p), m.Ohms)
	}
	return m, nil
}

// rest says what a measurement rests on where the part's instrument has no name.
func (in Instruments) rest(p Part, m *Measured) {
	if p.Instrument != "" {
		return
	}
	m.Shared = Unnamed
	if math.IsNaN(p.GainPercent) || math.IsNaN(p.FloorOhms) {
		m.Assumed, m.Stated = in.unnamed()
	}
}

// Measure is Instruments.Measure for the part with an index in Parts; what is
// wrong with one that stands in the file is a *table.Error, which says where.
func (d *Drawer) Measure(in Instruments, at int) (Measured, error) {
	m, err := in.Measure(d.parts[at])
	var wrong *problem
	if row := d.rows[at]; errors.As(err, &wrong) && d.table.Line(row) > 0 {
		return m, d.table.ErrorAt(row, max(0, d.at[columnOf(wrong.column)].At), "%v", err)
	}
	return m, err
}

// of returns the instrument that read a part.
func (in Instruments) of(p Part) (instrument.Instrument, error) {
	if by, found := in[p.Instrument]; found && p.Instrument != Unnamed {
		return by, nil
	}
	if p.Instrument == "" {
		if by, stated := in[Unnamed]; stated {
			return by, nil
		}
		return instrument.HandHeld(), nil
	}
	if !in.Any() {
		return instrument.Instrument{}, about(p, "instrument", "the instrument %q is not defined, nor is any; shuntwright drawer instrument %q --accuracy \"0.5 %% + 1 count\" describes it", p.Instrument, p.Instrument)
	}
	var quoted []string
	for _, name := range in.names() {
		quoted = append(quoted, strconv.Quote(name))
	}
	return instrument.Instrument{}, about(p, "instrument", "the instrument %q is not defined; those that are: %s", p.Instrument, strings.Join(quoted, ", "))
}

// Any tells whether an instrument with a name is defined.
func (in Instruments) Any() bool { return len(in.names()) > 0 }

// names are those of the instruments that have one, sorted.
func (in Instruments) names() []string {
	return slices.DeleteFunc(slices.Sorted(maps.Keys(in)), func(name string) bool { return name == Unnamed })
}

// Defined refuses the name of an instrument that is not defined; an empty one
// is that of the unnamed.
func (in Instruments) Defined(name string) error {
	_, err := in.of(Part{Instrument: name})
	return err
}

// unnamed tells whether the unnamed instrument is assumed, or else what is
// stated of it.
func (in Instruments) unnamed() (assumed bool, stated string) {
	by, found := in[Unnamed]
	if !found {
		return true, ""
	}
	return false, by.Accuracy()
}

// about is the problem of a part in one of its columns.
func about(p Part, column, format string, values ...any) *problem {
	return &problem{column, fmt.Errorf("%s%s", prefix(p), fmt.Sprintf(format, values...))}
}

// named is a part in words, empty where it has no id.
func named(p Part) string { return strings.TrimSuffix(prefix(p), ": ") }

// prefix says which part an error or a warning is about; a resistance that is
// no part of the drawer has no id.
func prefix(p Part) string {
	if p.ID == "" {
		return ""
	}
	return "part " + p.ID + ": "
}

// either returns own unless it is NaN.
func either(own, other float64) float64 {
	if math.IsNaN(own) {
		return other
	}
	return own
}
