package quantity

import (
	"fmt"
	"slices"
	"strings"
	"unicode"
)

// Sign tells which signs a quantity may have.
type Sign int

// The signs that Parse takes.
const (
	Positive    Sign = iota + 1 // more than zero
	NotNegative                 // zero or more
	AnySign                     // any finite value
)

// Value is a quantity as somebody typed it.
type Value struct {
	Text  string  // as typed, outer spaces cut
	Base  float64 // in Unit, prefix applied: the float64 nearest to what was typed
	Unit  Unit    // as asked for
	Step  float64 // weight of the last digit typed, in Unit: 0.01 of 10.91, 100 of 4.7k and 4k7
	Named bool    // the text itself held the unit, or is a letter code that only a resistance can have
}

// Parse reads a quantity in the unit want. The unit may be left out, a prefix
// counts without it ("4.7k", "98.6", "50 mΩ"). For ohms the letter codes of
// IEC 60062 are taken too ("4k7", "R47", "470R"). A decimal comma is taken
// where the text has no other reading ("4,7"), and refused where it has
// ("4,700"). Whatever is not a finite number in want, of a sign that is
// taken and between 1e-24 and 1e24 or zero, is an error of one line that
// quotes the text and says what would be right. The error says no place.
func Parse(text string, want Unit, sign Sign) (Value, error) {
	return parse(text, '.', sign, false, want)
}

// ParseComma is Parse for files that are written with decimal commas
// throughout: "4,700" is 4.700 there, and a point is taken only where the
// text has no other reading.
func ParseComma(text string, want Unit, sign Sign) (Value, error) {
	return parse(text, ',', sign, false, want)
}

// ParseNamed is Parse for places where any unit of want may stand, so that
// only the text can tell which: without its unit it is refused.
func ParseNamed(text string, sign Sign, want ...Unit) (Value, error) {
	return parse(text, '.', sign, true, want...)
}

func parse(typed string, decimal byte, sign Sign, named bool, want ...Unit) (Value, error) {
	text := strings.TrimSpace(typed)
	fail := func(why string) (Value, error) {
		return Value{}, fmt.Errorf("%s %s; %s", quote(text), why, right(want, sign))
	}
	if why := unreadable(text); why != "" {
		return fail(why)
	}
	n, rest, why := scan(text, decimal)
	if why != "" {
		return fail(why)
	}
	unit, code, why := n.mark(rest)
	if why != "" {
		return fail(why)
	}
	if unit == "" && strings.TrimSpace(rest) == "m" && slices.Contains(want, Metre) {
		unit = n.metres()
	}
	v := Value{Text: text, Unit: unit, Named: unit != ""}
	switch {
	case unit == "" && named:
		return fail("has no unit")
	case unit == "":
		v.Unit = want[0]
	case !slices.Contains(want, unit) && code:
		return fail("is a letter code for a resistance")
	case !slices.Contains(want, unit):
		return fail("is " + about(unit).measures)
	}
	if n.prefixed && !about(v.Unit).prefixed {
		return fail("has a prefix, which " + about(v.Unit).plural + " do not take")
	}
	if v.Base, v.Step, why = n.values(sign); why != "" {
		return fail(why)
	}
	return v, nil
}

// longest is the longest text that can be a quantity, in bytes.
const longest = 100

// unreadable says what is wrong with a text before any of it is read, or
// nothing.
func unreadable(text string) string {
	if text == "" {
		return "holds no quantity"
	}
	if len(text) > longest {
		return fmt.Sprintf("is longer than %d characters", longest)
	}
	for _, r := range text {
		if r == unicode.ReplacementChar || !unicode.IsPrint(r) && !space(r) {
			return fmt.Sprintf("holds the character %U", r)
		}
	}
	return ""
}

// space tells the spaces that may stand between number, prefix and unit.
func space(r rune) bool { return r == '\t' || unicode.Is(unicode.Zs, r) }

// quote quotes a text for an error; of a long one only the beginning.
func quote(text string) string {
	const most = 40
	short := []rune(text)
	if len(short) <= most {
		return fmt.Sprintf("%q", text)
	}
	return fmt.Sprintf("%q…", string(short[:most]))
}

// right says what would have been right where any unit of want may stand.
func right(want []Unit, sign Sign) string {
	var kinds, examples []string
	for _, u := range want {
		kinds = append(kinds, about(u).measures)
		examples = append(examples, about(u).example)
	}
	above := ""
	switch sign {
	case Positive:
		above = " above zero"
	case NotNegative:
		above = " of zero or more"
	}
	return strings.Join(kinds, " or ") + above + " belongs here, such as " + strings.Join(examples, " or ")
}
