package instrument

import (
	"fmt"
	"strconv"
	"strings"

	"shuntwright/meter/quantity"
)

// ParseAccuracy reads what a data sheet says of a two-wire ohmmeter:
// "0.8 % + 1 count + 0.03 ohm", in any order, with or without ± before it and
// brackets round it. The percentage, which is one of the reading, must be
// there; counts (or digits) of the last digit and the floor in ohms may be. The
// error is one line, quotes the text and says what would be right.
func ParseAccuracy(text string) (Instrument, error) {
	i := Instrument{Wires: 2}
	fail := func(format string, values ...any) (Instrument, error) {
		return Instrument{}, fmt.Errorf("accuracy %.100q: %s; write such as \"0.8 %% + 1 count + 0.03 ohm\"", text, fmt.Sprintf(format, values...))
	}
	bare := strings.TrimSpace(strings.TrimPrefix(strings.TrimSpace(text), "±"))
	if inner, found := strings.CutPrefix(bare, "("); found {
		if bare, found = strings.CutSuffix(inner, ")"); !found {
			return fail("a bracket is not closed")
		}
	}
	said := map[*float64]bool{}
	for _, term := range strings.Split(bare, "+") {
		v, to, err := i.term(strings.TrimSpace(term))
		if err != nil {
			what, _, _ := strings.Cut(err.Error(), "; ")
			return fail("%s", what)
		}
		if said[to] {
			return fail("%q says a second time what another term says", v.Text)
		}
		said[to], *to = true, v.Base
	}
	if !said[&i.GainPercent] {
		return fail("it has no percentage of the reading, which can be 0 %%")
	}
	return i, nil
}

// term reads one term of an accuracy, and tells the field that it is about.
func (i *Instrument) term(text string) (quantity.Value, *float64, error) {
	for _, word := range []string{"counts", "count", "digits", "digit"} {
		if number, found := strings.CutSuffix(text, word); found {
			v, err := quantity.Parse(number, quantity.Number, quantity.NotNegative)
			return v, &i.Counts, err
		}
	}
	v, err := quantity.ParseNamed(strings.TrimSuffix(text, " of reading"), quantity.NotNegative, quantity.Percent, quantity.Ohm)
	if v.Unit == quantity.Ohm {
		return v, &i.FloorOhms, err
	}
	return v, &i.GainPercent, err
}

// Accuracy returns what ParseAccuracy reads as the same gain, counts and floor;
// what is zero is left out, but for the percentage.
func (i Instrument) Accuracy() string {
	text := plain(i.GainPercent) + " %"
	switch {
	case i.Counts == 1:
		text += " + 1 count"
	case i.Counts != 0:
		text += " + " + plain(i.Counts) + " counts"
	}
	if i.FloorOhms != 0 {
		text += " + " + plain(i.FloorOhms) + " ohm"
	}
	return text
}

// plain writes a number with all its digits and without an exponent.
func plain(x float64) string { return strconv.FormatFloat(x, 'f', -1, 64) }
