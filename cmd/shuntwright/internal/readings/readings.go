// Package readings is what was read on a visit to the bench: as a file holds
// it, as somebody types it, and as the history keeps it.
package readings

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/meter"
	"shuntwright/meter/quantity"
	"shuntwright/meter/reading"
)

// Set is what was read on one visit to the bench.
type Set struct {
	Readings []reading.Reading
	Typed    []typed // as they were written, by the same index
	// Exact tells that a reference was taken as exact because nothing says how
	// sure it is, AssumedPointer that a pointer was trusted as far as is usual.
	Exact, AssumedPointer bool
	// Pegged are the points at which the pointer stood at its stop; they are no
	// Readings.
	Pegged []Pegged
	// Left says of a history which of its visits this is; empty where it is no
	// history, or one of one visit.
	Left string
}

// Pegged is a point at which the pointer stood at its stop beyond full scale.
type Pegged struct {
	Range          int
	Reference      quantity.Value
	ReferenceLimit float64 // half-width within which Reference is trusted; zero: it is taken as exact
	Direction      reading.Direction
}

// pegged is how it is written what a pointer at its stop shows.
const pegged = ">"

// InDivisions tells that some reading of the pointer was written in divisions of the
// scale.
func (set *Set) InDivisions() bool {
	return slices.ContainsFunc(set.Typed, func(as typed) bool { return inDivisions(as.Indicated.Text) })
}

// settle works out the limits that go by the last digit typed. On a range that
// is the last digit of the reading that was typed most finely: who writes 2.25
// and 5 has read the 5 as finely, and spreadsheets drop the zeros of 5.00.
func (set *Set) settle() {
	type finest struct{ reference, indicated float64 }
	fine := map[int]finest{}
	for i, one := range set.Readings {
		f, known := fine[one.Range]
		if !known {
			f = finest{math.Inf(1), math.Inf(1)}
		}
		fine[one.Range] = finest{min(f.reference, set.Typed[i].Reference.Step), min(f.indicated, set.Typed[i].Indicated.Step)}
	}
	for i := range set.Readings {
		one, as := &set.Readings[i], set.Typed[i]
		set.Typed[i].digits = as.counts * fine[one.Range].reference
		one.ReferenceLimit += set.Typed[i].digits
		if as.byDigit {
			one.IndicatedLimit = fine[one.Range].indicated / 2
		}
	}
}

// Beyond are warnings of references far beyond the range they were applied to, of
// a meter with these ranges: a slip of the unit, or more than the movement likes.
func (set *Set) Beyond(ranges []meter.Range) []string {
	var out []string
	for i := range set.Readings {
		out = append(out, set.beyond(i, ranges)...)
	}
	return report.Unique(out)
}

// beyond is the warning of one reading, if there is one.
func (set *Set) beyond(i int, ranges []meter.Range) []string {
	one := set.Readings[i]
	r := ranges[one.Range]
	if one.Reference <= mostIndicated*r.FullScale*(1+1e-12) {
		return nil
	}
	return []string{fmt.Sprintf("%s was applied on %s, %.0f %% of full scale: is the unit right?", set.Typed[i].Reference.Text, r.Name, 100*one.Reference/r.FullScale)}
}

// typed is one reading in the words in which it was written.
type typed struct {
	Reference, Indicated quantity.Value
	counts               float64 // last digits of the reference in its limit
	digits               float64 // what these come to, in the range's unit; never more than the limit
	byDigit              bool    // the pointer is trusted to half of the last digit
}

// Reader turns texts into readings of one meter.
type Reader struct {
	meter                        *meter.Meter
	ranges                       []meter.Range
	parse                        quantityParser
	referenceLimit, readingLimit string // of the flags
	divisions                    bool   // a pointer's reading without a unit is in divisions
	set                          *Set
}

// InDivisions lets a number without a unit that the pointer showed be one of
// divisions. A meter of which nobody said how many it has is an error.
func (rr *Reader) InDivisions() error {
	if math.IsNaN(rr.meter.Movement.Divisions) {
		return errors.New("the meter file does not say how many divisions the scale has; write them into its movement: \"divisions\": 50")
	}
	rr.divisions = true
	return nil
}

// NewReader prepares for the readings of a meter. The texts say how far reference
// and pointer are trusted where a reading does not (CheckLimits); empty: the
// reference is exact, and the pointer is read to ReadDivisions or, where the
// meter's divisions are not known, to half of the last digit.
func NewReader(m *meter.Meter, referenceLimit, readingLimit string) *Reader {
	return &Reader{meter: m, ranges: m.Ranges(), parse: quantity.Parse, set: &Set{},
		referenceLimit: referenceLimit, readingLimit: readingLimit}
}

// add takes one reading, its texts by readingColumns; optional ones may be
// empty. The column is the one that is wrong.
func (rr *Reader) add(cells [6]string) (readingColumn, error) {
	for i, what := range belongs {
		if cells[i] == "" {
			return readingColumn(i), fmt.Errorf("%s is empty; %s belongs here", readingColumns[i].Name, what)
		}
	}
	at, found := rr.meter.FindRange(cells[rangeColumn])
	if !found {
		return rangeColumn, rr.noRange(cells[rangeColumn])
	}
	by := scaleOf(rr.ranges[at], rr.meter.Movement.Divisions, rr.parse)
	one := reading.Reading{Range: at}
	var as typed
	var err error
	if as.Reference, err = by.reference(cells[referenceColumn]); err != nil {
		return referenceColumn, err
	}
	if one.Direction, err = directionOf(cells[directionColumn]); err != nil {
		return directionColumn, err
	}
	one.Reference = as.Reference.Base
	if wrong, err := by.trusted(cells, referenceLimitColumn, "--reference-limit", rr.referenceLimit, func(s scale, text string) (err error) {
		one.ReferenceLimit, as.counts, err = s.referenceLimit(text, as.Reference)
		return err
	}); err != nil {
		return wrong, err
	}
	if cells[indicatedColumn] == pegged {
		rr.set.Pegged = append(rr.set.Pegged, Pegged{at, as.Reference, one.ReferenceLimit + as.counts*as.Reference.Step, one.Direction})
		return 0, nil
	}
	if as.Indicated, err = by.indicated(rr.withUnit(cells[indicatedColumn])); err != nil {
		return indicatedColumn, err
	}
	one.Indicated = as.Indicated.Base
	if wrong, err := by.trusted(cells, readingLimitColumn, "--reading-limit", rr.readingLimit, func(s scale, text string) (err error) {
		one.IndicatedLimit, err = s.readingLimit(text, as.Indicated)
		return err
	}); err != nil {
		return wrong, err
	}
	as.byDigit = cells[readingLimitColumn] == "" && rr.readingLimit == "" && math.IsNaN(rr.meter.Movement.Divisions)
	rr.set.Exact = rr.set.Exact || cells[referenceLimitColumn] == "" && rr.referenceLimit == ""
	rr.set.AssumedPointer = rr.set.AssumedPointer || cells[readingLimitColumn] == "" && rr.readingLimit == ""
	rr.set.Readings, rr.set.Typed = append(rr.set.Readings, one), append(rr.set.Typed, as)
	return 0, nil
}

// withUnit gives a number that the pointer showed its unit, where that is said of
// all.
func (rr *Reader) withUnit(text string) string {
	if _, err := rr.parse(text, quantity.Number, quantity.AnySign); rr.divisions && err == nil {
		return text + " div"
	}
	return text
}

// belongs says what the needed columns hold.
var belongs = []string{"the name of a range", "what was really applied", "what the pointer showed"}

// noRange is the refusal of a range that the meter does not have.
func (rr *Reader) noRange(name string) error {
	var names []string
	for _, r := range rr.ranges {
		names = append(names, fmt.Sprintf("%q", r.Name))
	}
	return fmt.Errorf("the meter has no range %.60q; there are %s", name, report.List(names))
}

// directionOf reads from which side the pointer came.
func directionOf(text string) (reading.Direction, error) {
	switch strings.ToLower(text) {
	case "":
		return reading.Either, nil
	case "up":
		return reading.Up, nil
	case "down":
		return reading.Down, nil
	}
	return reading.Either, fmt.Errorf("direction %.60q; up or down belongs here, or nothing", text)
}

// applied tells whether a pointer on the scale was read with anything applied.
func (set *Set) applied() bool {
	return slices.ContainsFunc(set.Readings, func(one reading.Reading) bool { return one.Reference > 0 })
}

// nothingApplied refuses readings of which none says anything.
func (rr *Reader) nothingApplied() error {
	if rr.set.applied() {
		return nil
	}
	return errors.New("every reference is zero: nothing was applied; read the pointer at zero and at points up to full scale")
}

// onlyPegged refuses readings of which none stands on the scale but at rest.
func (rr *Reader) onlyPegged() error {
	if rr.set.applied() || len(rr.set.Pegged) == 0 {
		return nil
	}
	one := rr.set.Pegged[0]
	return fmt.Errorf("the pointer stands at its stop in every reading with anything applied: %q on %q; lower the reference until it stands on the scale, and read that; "+
		"where it never does, look for an open shunt with the set off", one.Reference.Text, rr.ranges[one.Range].Name)
}

// exampleLine is a reading that would be right.
func (rr *Reader) exampleLine() string {
	half := report.Short(rr.ranges[0].FullScale/2, rr.ranges[0].Unit)
	return fmt.Sprintf("%s,%s,%s", rr.ranges[0].Name, half, half)
}
