package main

import (
	"errors"
	"fmt"
	"io/fs"
	"math"
	"slices"
	"strings"

	"shuntwright/inventory/safefile"
	"shuntwright/inventory/table"
	"shuntwright/meter"
	"shuntwright/meter/quantity"
	"shuntwright/meter/reading"
)

// readingSet is what was read on one visit to the bench.
type readingSet struct {
	readings []reading.Reading
	typed    []typedReading // as they were written, by the same index
	// exact and assumedPointer tell that a limit was taken for granted.
	exact, assumedPointer bool
}

// typedReading is one reading in the words in which it was written.
type typedReading struct {
	reference, indicated quantity.Value
}

// readingColumn is one column of a file of readings.
type readingColumn int

// The columns, in the order in which the program writes them.
const (
	rangeColumn readingColumn = iota
	referenceColumn
	indicatedColumn
	directionColumn
	referenceLimitColumn
	readingLimitColumn
)

// readingColumns are the columns' names; the first three must be there.
var readingColumns = []string{"range", "reference", "indicated", "direction", "reference_limit", "reading_limit"}

// neededColumns is how many of readingColumns a file cannot do without.
const neededColumns = 3

// readReadings reads a file of readings.
func (rr *readingReader) readReadings(path string) (*readingSet, error) {
	data, _, err := safefile.Read(path)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, fmt.Errorf("reading readings: there is no file %q; it is a table with the columns %s, or leave it out and type them", path, list(readingColumns[:neededColumns]))
	}
	if err != nil {
		return nil, fmt.Errorf("reading readings: %w", err)
	}
	return rr.parseReadings(path, data)
}

// parseReadings reads the bytes of a file of readings called name.
func (rr *readingReader) parseReadings(name string, data []byte) (*readingSet, error) {
	t, err := table.Parse(name, data)
	if err != nil {
		return nil, err
	}
	at, err := findColumns(t, readingColumns, neededColumns)
	if err != nil {
		return nil, err
	}
	rr.parse = decimalsOf(t, at[1:])
	rr.set = &readingSet{}
	for row := range t.Len() {
		if blankRow(t.Row(row)) {
			continue // spreadsheets leave such rows
		}
		var cells [6]string
		for i, column := range at {
			if column >= 0 {
				cells[i] = strings.TrimSpace(t.Row(row)[column])
			}
		}
		if wrong, err := rr.add(cells); err != nil {
			return nil, t.ErrorAt(row, at[wrong], "%v", err)
		}
	}
	if len(rr.set.readings) == 0 {
		return nil, t.ErrorAt(-1, 0, "no reading stands below the names of the columns; write one a line, such as %q", rr.exampleLine())
	}
	if wrong, err := rr.allZero(); err != nil {
		return nil, t.ErrorAt(firstRow(t), at[wrong], "%v", err)
	}
	return rr.set, nil
}

// firstRow is the first row that is not blank.
func firstRow(t *table.Table) int {
	for row := range t.Len() {
		if !blankRow(t.Row(row)) {
			return row
		}
	}
	return -1
}

// findColumns tells where the named columns of a table are, -1 where one is
// not there; the first of them, as many as needed says, must be. Case and
// spaces round a name do not count.
func findColumns(t *table.Table, names []string, needed int) ([]int, error) {
	header := t.Header()
	at := make([]int, len(names))
	for i, name := range names {
		at[i] = -1
		for j, there := range header {
			if !strings.EqualFold(strings.TrimSpace(there), name) {
				continue
			}
			if at[i] >= 0 {
				return nil, t.ErrorAt(-1, j, "columns %d and %d are both called %q; rename one", at[i]+1, j+1, name)
			}
			at[i] = j
		}
		if at[i] < 0 && i < needed {
			return nil, t.ErrorAt(-1, 0, "there is no column %q; %s must be there, and the columns are %.300q", name, list(names[:needed]), header)
		}
	}
	return at, nil
}

// blankRow tells a row without any text.
func blankRow(cells []string) bool {
	return !slices.ContainsFunc(cells, func(cell string) bool { return strings.TrimSpace(cell) != "" })
}

// decimalsOf is how the numbers of a file are read.
func decimalsOf(t *table.Table, at []int) quantityParser {
	if decimalComma(t, at) {
		return quantity.ParseComma
	}
	return quantity.Parse
}

// decimalComma tells whether the columns at hand are written with decimal
// commas. Only a file with semicolons can be; there one comma in a number
// tells, or that there is no point in any.
func decimalComma(t *table.Table, at []int) bool {
	if t.Separator() != ';' {
		return false
	}
	comma, point := false, false
	for row := range t.Len() {
		for _, column := range at {
			if column >= 0 {
				comma = comma || strings.Contains(t.Row(row)[column], ",")
				point = point || strings.Contains(t.Row(row)[column], ".")
			}
		}
	}
	return comma || !point
}

// readingReader turns texts into readings of one meter.
type readingReader struct {
	meter                        *meter.Meter
	ranges                       []meter.Range
	parse                        quantityParser
	referenceLimit, readingLimit string // of the flags
	set                          *readingSet
}

// newReadingReader prepares for the readings of a meter; the texts are those
// of --reference-limit and --reading-limit.
func newReadingReader(m *meter.Meter, referenceLimit, readingLimit string) *readingReader {
	return &readingReader{meter: m, ranges: m.Ranges(), parse: quantity.Parse, set: &readingSet{},
		referenceLimit: referenceLimit, readingLimit: readingLimit}
}

// add takes one reading, its texts by readingColumns; optional ones may be
// empty. The column is the one that is wrong.
func (rr *readingReader) add(cells [6]string) (readingColumn, error) {
	for i := range neededColumns {
		if cells[i] == "" {
			return readingColumn(i), fmt.Errorf("%s is empty; %s belongs here", readingColumns[i], belongs[i])
		}
	}
	at, found := rr.meter.FindRange(cells[rangeColumn])
	if !found {
		return rangeColumn, rr.noRange(cells[rangeColumn])
	}
	scale := scaleOf(rr.ranges[at], rr.meter.Movement.Divisions, rr.parse)
	one := reading.Reading{Range: at}
	var as typedReading
	var err error
	if as.reference, err = scale.reference(cells[referenceColumn]); err != nil {
		return referenceColumn, err
	}
	if as.indicated, err = scale.indicated(cells[indicatedColumn]); err != nil {
		return indicatedColumn, err
	}
	if one.Direction, err = directionOf(cells[directionColumn]); err != nil {
		return directionColumn, err
	}
	one.Reference, one.Indicated = as.reference.Base, as.indicated.Base
	if one.ReferenceLimit, err = scale.referenceLimit(cells[referenceLimitColumn], as.reference); err != nil {
		return referenceLimitColumn, err
	}
	if one.IndicatedLimit, err = scale.readingLimit(cells[readingLimitColumn], as.indicated); err != nil {
		return readingLimitColumn, err
	}
	if err := rr.flagLimits(&one, as, cells); err != nil {
		return rangeColumn, err
	}
	rr.set.exact = rr.set.exact || cells[referenceLimitColumn] == "" && rr.referenceLimit == ""
	rr.set.assumedPointer = rr.set.assumedPointer || cells[readingLimitColumn] == "" && rr.readingLimit == ""
	rr.set.readings, rr.set.typed = append(rr.set.readings, one), append(rr.set.typed, as)
	return 0, nil
}

// flagLimits takes the limits of the flags where the reading has none of its own.
func (rr *readingReader) flagLimits(one *reading.Reading, as typedReading, cells [6]string) (err error) {
	scale := scaleOf(rr.ranges[one.Range], rr.meter.Movement.Divisions, quantity.Parse)
	if cells[referenceLimitColumn] == "" && rr.referenceLimit != "" {
		if one.ReferenceLimit, err = scale.referenceLimit(rr.referenceLimit, as.reference); err != nil {
			return fmt.Errorf("--reference-limit on %q: %w", scale.name, err)
		}
	}
	if cells[readingLimitColumn] == "" && rr.readingLimit != "" {
		if one.IndicatedLimit, err = scale.readingLimit(rr.readingLimit, as.indicated); err != nil {
			return fmt.Errorf("--reading-limit on %q: %w", scale.name, err)
		}
	}
	return nil
}

// belongs says what the needed columns hold.
var belongs = [neededColumns]string{"the name of a range", "what was really applied", "what the pointer showed"}

// noRange is the refusal of a range that the meter does not have.
func (rr *readingReader) noRange(name string) error {
	var names []string
	for _, r := range rr.ranges {
		names = append(names, fmt.Sprintf("%q", r.Name))
	}
	return fmt.Errorf("the meter has no range %.60q; there are %s", name, list(names))
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

// allZero refuses readings of which none says anything.
func (rr *readingReader) allZero() (readingColumn, error) {
	most, moved := 0.0, false
	at := 0
	for i, one := range rr.set.readings {
		if one.Reference > most {
			most, at = one.Reference, i
		}
		moved = moved || one.Indicated != 0
	}
	switch {
	case most == 0:
		return referenceColumn, errors.New("every reference is zero: nothing was applied; read the pointer at zero and at points up to full scale")
	case !moved:
		return indicatedColumn, fmt.Errorf("the pointer shows zero in every reading, with %q applied on %q: the movement does not move at all; "+
			"look for an open coil, a broken lead or contact, or a position that is open, with an ohmmeter and the movement disconnected",
			rr.set.typed[at].reference.Text, rr.ranges[rr.set.readings[at].Range].Name)
	}
	return 0, nil
}

// exampleLine is a reading that would be right.
func (rr *readingReader) exampleLine() string {
	half := shortText(rr.ranges[0].FullScale/2, rr.ranges[0].Unit)
	return fmt.Sprintf("%s,%s,%s", rr.ranges[0].Name, half, half)
}

// isWithin tells a finite number of at most so much magnitude.
func isWithin(x, most float64) bool { return math.Abs(x) <= most }
