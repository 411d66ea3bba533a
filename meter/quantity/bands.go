package quantity

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// Marking is what bands say.
type Marking struct {
	Nominal          Value // in ohms, with as many digits as there are bands for them
	TolerancePercent float64
	TempcoPPM        float64 // a limit of either sign; NaN where no band says it
	Doubts           []string
}

// colour is what a band stands for; a field that it cannot be is none.
type colour struct {
	name       string
	digit      int // -1
	power      int // of ten
	multiplies bool
	tolerance  float64 // percent; 0
	tempco     float64 // ppm/K; 0
	doubt      string  // of the tolerance
}

// colours are those of IEC 60062. Digits, multipliers and the tolerances of
// brown, red, green, blue, violet, gold and silver stand in Lessons in Electric
// Circuits, volume V, chapter 2, and two other public tables alike; pink was
// announced with the edition of 2016. The tolerances of orange, yellow and grey
// and the coefficients come from public tables that disagree.
var colours = []colour{
	{name: "pink", digit: -1, power: -3, multiplies: true},
	{name: "silver", digit: -1, power: -2, multiplies: true, tolerance: 10},
	{name: "gold", digit: -1, power: -1, multiplies: true, tolerance: 5},
	{name: "black", digit: 0, power: 0, multiplies: true, tempco: 250},
	{name: "brown", digit: 1, power: 1, multiplies: true, tolerance: 1, tempco: 100},
	{name: "red", digit: 2, power: 2, multiplies: true, tolerance: 2, tempco: 50},
	{name: "orange", digit: 3, power: 3, multiplies: true, tolerance: 0.05, tempco: 15, doubt: "0.05 % since the edition of 2016 (from memory), other tables have 3 %"},
	{name: "yellow", digit: 4, power: 4, multiplies: true, tolerance: 0.02, tempco: 25, doubt: "0.02 % since the edition of 2016 (from memory), other tables have 4 %, and 5 % on parts for high voltage"},
	{name: "green", digit: 5, power: 5, multiplies: true, tolerance: 0.5, tempco: 20},
	{name: "blue", digit: 6, power: 6, multiplies: true, tolerance: 0.25, tempco: 10},
	{name: "violet", digit: 7, power: 7, multiplies: true, tolerance: 0.1, tempco: 5},
	{name: "grey", digit: 8, power: 8, multiplies: true, tolerance: 0.05, tempco: 1, doubt: "0.05 % in older editions, 0.01 % since that of 2016 (from memory)"},
	{name: "white", digit: 9, power: 9, multiplies: true},
}

// also are other names of colours.
var also = map[string]string{"gray": "grey", "purple": "violet"}

// noBand is the tolerance, in percent, of a part without a band for it.
const noBand = 20

// ParseBands reads three to six colours, parted by commas or spaces, in the order in
// which they are printed: two digits, multiplier, tolerance, which may be
// missing; with five three digits; with six the temperature coefficient last.
// An error says which band cannot be what stands there.
func ParseBands(text string) (Marking, error) {
	words := splitBands(text)
	if len(words) > 0 && strings.EqualFold(words[len(words)-1], "none") {
		words = words[:len(words)-1]
	}
	if len(words) < 3 || len(words) > 6 {
		return Marking{}, fmt.Errorf("bands %q: %d of them, where 3 to 6 belong, such as yellow,violet,red,gold for 4.7 kΩ ±5 %%", text, len(words))
	}
	var all []colour
	for _, word := range words {
		found, err := findColour(word)
		if err != nil {
			return Marking{}, fmt.Errorf("bands %q: %w", text, err)
		}
		all = append(all, found)
	}
	m, err := readBands(all)
	if err != nil {
		err = fmt.Errorf("bands %q: %w", text, err)
	}
	return m, err
}

// splitBands parts a text into the words of bands.
func splitBands(text string) []string {
	return strings.FieldsFunc(text, func(r rune) bool { return r == ',' || r == ' ' || r == ';' || r == '-' })
}

// AreColours tells whether a text holds names of colours alone, at least one.
func AreColours(text string) bool {
	words := splitBands(text)
	for _, word := range words {
		if _, err := findColour(word); err != nil && !strings.EqualFold(word, "none") {
			return false
		}
	}
	return len(words) > 0
}

func findColour(word string) (colour, error) {
	name := strings.ToLower(word)
	if other, known := also[name]; known {
		name = other
	}
	var names []string
	for _, c := range colours {
		if c.name == name {
			return c, nil
		}
		names = append(names, c.name)
	}
	return colour{}, fmt.Errorf("%q is no colour of a band; they are %s", word, strings.Join(names, ", "))
}

// readBands reads what the bands say by their number.
func readBands(all []colour) (Marking, error) {
	digits := 2
	if len(all) > 4 {
		digits = 3
	}
	number := ""
	for i, c := range all[:digits] {
		if c.digit < 0 || i == 0 && c.digit == 0 {
			return Marking{}, fmt.Errorf("band %d is %s, which is no digit that a value begins with; read them from the other end", i+1, c.name)
		}
		number += strconv.Itoa(c.digit)
	}
	m := Marking{TolerancePercent: noBand, TempcoPPM: math.NaN()}
	by := all[digits]
	value, err := Parse(fmt.Sprintf("%se%d ohm", number, by.power), Ohm, Positive)
	if err != nil {
		return m, err
	}
	// written as people do, in the digits that there are bands for
	if m.Nominal, err = Parse(Format(value.Base, Ohm, digits), Ohm, Positive); err != nil {
		return m, err
	}
	if len(all) > digits+1 {
		c := all[digits+1]
		if c.tolerance == 0 {
			return m, fmt.Errorf("band %d is %s, which is no tolerance; read them from the other end, or leave it out", digits+2, c.name)
		}
		m.TolerancePercent = c.tolerance
		if c.doubt != "" {
			m.Doubts = append(m.Doubts, fmt.Sprintf("%s as a tolerance is %s", c.name, c.doubt))
		}
	}
	if len(all) > digits+2 {
		c := all[digits+2]
		if c.tempco == 0 {
			return m, fmt.Errorf("band %d is %s, which is no temperature coefficient", digits+3, c.name)
		}
		m.TempcoPPM = c.tempco
	}
	if len(all) == 5 && by.power < 0 {
		m.Doubts = append(m.Doubts, oldReading(all))
	}
	return m, nil
}

// oldReading is what five bands are where the fifth is not counted: on old parts
// it may say how reliable they are (from memory).
func oldReading(all []colour) string {
	four, err := readBands(all[:4])
	if err != nil {
		return fmt.Sprintf("%s as a fourth band can be a tolerance, of a part with two digits", all[3].name)
	}
	return fmt.Sprintf("on old parts these can be four bands, %s ±%g %%, and one for reliability", four.Nominal.Text, four.TolerancePercent)
}
