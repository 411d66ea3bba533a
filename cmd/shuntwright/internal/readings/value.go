package readings

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"shuntwright/inventory/instrument"
	"shuntwright/meter"
	"shuntwright/meter/quantity"
)

// quantityParser is quantity.Parse or quantity.ParseComma.
type quantityParser = func(text string, want quantity.Unit, sign quantity.Sign) (quantity.Value, error)

// ReadDivisions is how far a pointer is trusted, in divisions (common practice).
const ReadDivisions = 0.2

// What a reading may be, as parts of the full scale.
const (
	mostIndicated  = 1.2 // a pointer stands at its stop beyond
	leastIndicated = -0.2
	mostReference  = 10 // what is beyond was meant in another unit
)

// scale is how the values of one range are written.
type scale struct {
	name      string
	unit      quantity.Unit
	suffix    string // unit with the range's own prefix: "mA"
	full      float64
	divisions float64 // NaN: not known
	parse     quantityParser
}

// scaleOf is the scale of a range.
func scaleOf(r meter.Range, divisions float64, parse quantityParser) scale {
	suffix := strings.TrimSpace(r.Name[strings.LastIndexAny(r.Name, "0123456789.,")+1:])
	return scale{name: r.Name, unit: r.Unit, suffix: suffix, full: r.FullScale, divisions: divisions, parse: parse}
}

// value reads a quantity in the range's unit; without a unit it has the
// range's, prefix included.
func (s scale) value(text string, sign quantity.Sign) (quantity.Value, error) {
	if _, err := s.parse(text, quantity.Number, quantity.AnySign); err == nil {
		text = strings.TrimSpace(text) + " " + s.suffix
	}
	v, err := s.parse(text, s.unit, sign)
	v.Text = withPoint(v.Text)
	return v, err
}

// withPoint writes a number that could be read with a decimal point, so that
// it means the same in every file.
func withPoint(text string) string { return strings.ReplaceAll(text, ",", ".") }

// inDivisions tells a text that means divisions of the scale, however it is
// spelled: who reads it says how to.
func inDivisions(text string) bool { return strings.Contains(strings.ToLower(text), "div") }

// scaled is value, or a number of divisions turned into the range's unit.
func (s scale) scaled(text string, sign quantity.Sign) (quantity.Value, error) {
	if !inDivisions(text) {
		return s.value(text, sign)
	}
	v, err := s.parse(text, quantity.Division, sign)
	if err != nil {
		return v, err
	}
	if math.IsNaN(s.divisions) {
		return v, fmt.Errorf("%q is in divisions, and the meter file does not say how many the scale has; give the movement its divisions, or write it in %s", text, s.suffix)
	}
	v.Base *= s.full / s.divisions
	v.Step *= s.full / s.divisions
	v.Unit, v.Text = s.unit, withPoint(v.Text)
	return v, nil
}

// reference reads what was really applied.
func (s scale) reference(text string) (quantity.Value, error) {
	if inDivisions(text) {
		return quantity.Value{}, fmt.Errorf("%q is in divisions; the reference is what another instrument showed, in %s", text, s.suffix)
	}
	v, err := s.value(text, quantity.NotNegative)
	if err == nil && v.Base > mostReference*s.full {
		return v, fmt.Errorf("reference %q is more than %d times the full scale of %q; a value without a unit is in %s", text, mostReference, s.name, s.suffix)
	}
	return v, err
}

// indicated reads what the pointer showed.
func (s scale) indicated(text string) (quantity.Value, error) {
	v, err := s.scaled(text, quantity.AnySign)
	switch {
	case err != nil:
		return v, err
	case v.Base > mostIndicated*s.full*(1+1e-12):
		return v, fmt.Errorf("indicated %q is above 120 %% of the full scale of %q; a pointer cannot be read there; a value without a unit is in %s", text, s.name, s.suffix)
	case v.Base < leastIndicated*s.full*(1+1e-12):
		return v, fmt.Errorf("indicated %q is more than 20 %% of the scale of %q below zero; a pointer cannot be read there; is the meter connected the wrong way round?", text, s.name)
	}
	return v, nil
}

// parsePromise reads what a data sheet says of a reference instrument: percent
// of what it showed, and counts of its last digit if you like.
func parsePromise(text string) (instrument.Instrument, error) {
	const right = "; write such as 0.5% or \"0.5 % + 2 counts\", or a quantity"
	promise, err := instrument.ParseAccuracy(text)
	switch {
	case err != nil:
		what, _, _ := strings.Cut(err.Error(), "; write such as")
		return promise, errors.New(what + right)
	case promise.FloorOhms != 0:
		return promise, fmt.Errorf("accuracy %q is that of an ohmmeter%s", text, right)
	case promise.GainPercent >= 100:
		return promise, fmt.Errorf("accuracy %q leaves nothing of the reference%s", text, right)
	}
	return promise, nil
}

// referenceLimit reads how far the reference is trusted: a promise in percent
// of what it showed, or a quantity. An empty text takes it as exact. Counts of
// the last digit, which a promise may hold, are told apart.
func (s scale) referenceLimit(text string, reference quantity.Value) (limit, counts float64, err error) {
	switch {
	case text == "":
		return 0, 0, nil
	case strings.Contains(text, "%"):
		promise, err := parsePromise(text)
		return reference.Base * promise.GainPercent / 100, promise.Counts, err
	case inDivisions(text):
		return 0, 0, fmt.Errorf("reference limit %.60q is in divisions; percent of the reading such as 0.5%%, or a quantity in %s belongs here", text, s.suffix)
	}
	v, err := s.value(text, quantity.NotNegative)
	return v.Base, 0, err
}

// readingLimit reads how far the pointer is trusted. An empty text takes the
// usual share of a division, or half of the last digit typed where nobody
// said how many divisions the scale has.
func (s scale) readingLimit(text string, indicated quantity.Value) (float64, error) {
	switch {
	case strings.Contains(text, "%"):
		return 0, fmt.Errorf("reading limit %.60q is a percentage; divisions such as 0.2 div, or a quantity in %s belongs here", text, s.suffix)
	case text != "":
		v, err := s.scaled(text, quantity.Positive)
		return v.Base, err
	case !math.IsNaN(s.divisions):
		return ReadDivisions * s.full / s.divisions, nil
	}
	return indicated.Step / 2, nil
}

// trusted reads a limit of a reading: its own, or what a flag says of all, with a
// decimal point and named in the error. The column is the one that is wrong.
func (s scale) trusted(cells [6]string, own readingColumn, flag, ofAll string, read func(s scale, text string) error) (readingColumn, error) {
	if cells[own] != "" || ofAll == "" {
		return own, read(s, cells[own])
	}
	s.parse = quantity.Parse
	if err := read(s, ofAll); err != nil {
		return rangeColumn, fmt.Errorf("%s on %q: %w", flag, s.name, err)
	}
	return own, nil
}

// CheckLimits refuses the texts of --reference-limit and --reading-limit, empty
// where they are not given, that are no limit, whatever the range; one serves
// all ranges, so that a quantity in it needs its unit.
func CheckLimits(reference, pointer string) error {
	if strings.Contains(reference, "%") {
		if _, err := parsePromise(reference); err != nil {
			return fmt.Errorf("--reference-limit: %w", err)
		}
	} else if reference != "" {
		if _, err := quantity.ParseNamed(reference, quantity.NotNegative, quantity.Percent, quantity.Ampere, quantity.Volt); err != nil {
			return fmt.Errorf("--reference-limit: %w", err)
		}
	}
	if pointer != "" {
		if _, err := quantity.ParseNamed(pointer, quantity.Positive, quantity.Division, quantity.Ampere, quantity.Volt); err != nil {
			return fmt.Errorf("--reading-limit: %w", err)
		}
	}
	return nil
}
