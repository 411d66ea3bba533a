package meter

import (
	"fmt"
	"regexp"
	"strings"

	"shuntwright/meter/quantity"
)

// Range is one setting of the meter's switch.
type Range struct {
	Name         string        // its whole text: "grid 50 mA"
	FullScale    float64       // what it must be given for the last mark, in Unit; positive
	Unit         quantity.Unit // quantity.Ampere or quantity.Volt
	Circuit      int           // index into Meter.Circuits; set by New
	CircuitVolts float64       // voltage to earth of the lead that it sits in; NaN: not given
}

// alternating finds what marks an a.c. range.
var alternating = regexp.MustCompile(`(?i)(^|[^\pL\pN])a\.?c\.?($|[^\pL\pN])|(^|[^\pL\pN])vac\s+[\d.,]+\s*\pL?V$|\d\s*[\pL]?[VA]ac($|[^\pL])|[~∼≈∿]`)

// ParseRange reads the text of a range: a current or a voltage, with words
// before it where they help. CircuitVolts is as given. Ranges of alternating
// current and of resistance are refused: rectifiers and ohmmeters are not
// modelled.
func ParseRange(text string, circuitVolts float64) (Range, error) {
	text = strings.TrimSpace(text)
	if alternating.MatchString(text) {
		return Range{}, fmt.Errorf("range %q is an a.c. range; rectifier ranges are not modelled, leave it out", text)
	}
	words := strings.Fields(text)
	var first error
	for n := 1; n <= 2 && n <= len(words); n++ {
		v, err := quantity.ParseNamed(strings.Join(words[len(words)-n:], " "), quantity.Positive, quantity.Ampere, quantity.Volt)
		if err == nil {
			return Range{Name: text, FullScale: v.Base, Unit: v.Unit, CircuitVolts: circuitVolts}, nil
		}
		first = err
	}
	if first == nil {
		return Range{}, fmt.Errorf("a range without text; write its full-scale value, such as %q or %q", "grid 50 mA", "300 V")
	}
	if low := strings.ToLower(oneForm(text)); strings.Contains(low, "ohm") || strings.ContainsAny(low, "\u03a9\u03c9") {
		return Range{}, fmt.Errorf("range %q is a resistance range; ohmmeter ranges are not modelled, leave it out", text)
	}
	return Range{}, fmt.Errorf("range %q: %w", text, first)
}

// SameName reports whether two texts name the same range or position: spaces
// before a unit do not count, nor how many spaces stand between words, nor
// which of the two code points of micro was typed.
func SameName(a, b string) bool { return a == b || plainName(a) == plainName(b) }

// oneForm turns the code points that look alike into one of them.
func oneForm(s string) string {
	for _, alike := range [...][2]string{{"\u00b5", "u"}, {"\u03bc", "u"}, {"\u2126", "\u03a9"}} {
		s = strings.ReplaceAll(s, alike[0], alike[1])
	}
	return s
}

func plainName(s string) string {
	words := strings.Fields(oneForm(s))
	if n := len(words); n >= 2 && digitEnds(words[n-2]) {
		words = append(words[:n-2], words[n-2]+words[n-1])
	}
	return strings.Join(words, " ")
}

// digitEnds reports whether a word is a number that waits for its unit.
func digitEnds(word string) bool {
	last := word[len(word)-1]
	return last >= '0' && last <= '9' || last == '.'
}
