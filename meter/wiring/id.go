package wiring

import (
	"fmt"
	"regexp"
	"strings"
	"unicode"

	"shuntwright/meter/quantity"
)

// ValidID says why a text cannot be the id of a part, or nil. An id is not
// empty, is printable UTF-8 without spaces, +, | and brackets, has at most 100
// bytes, and does not read as a resistance with its unit or as wire: within a
// network it would be taken for one.
func ValidID(id string) error {
	const most = 100
	if id == "" {
		return fmt.Errorf("the id is empty; write one such as R001")
	}
	if len(id) > most {
		return fmt.Errorf("the id %.40q… is longer than %d characters", id, most)
	}
	for _, r := range id {
		switch {
		case unicode.IsSpace(r):
			return fmt.Errorf("%q is no id, for it holds a space, and no resistance with its unit; write R001 or 24.6 ohm", id)
		case strings.ContainsRune("+|()", r):
			return fmt.Errorf("the id %q holds %q, which joins parts in a network; leave it out", id, r)
		case r == unicode.ReplacementChar || !unicode.IsPrint(r):
			return fmt.Errorf("the id %q holds the character %U, which cannot be seen; leave it out", id, r)
		}
	}
	if measured(id) {
		return fmt.Errorf("the id %q reads as a resistance; leave out the unit", id)
	}
	if _, _, wire := cutWire(id); wire {
		return fmt.Errorf("the id %q reads as a length of wire, such as W001[43.3 mm]; leave out the brackets", id)
	}
	return nil
}

// cutWire tells wire off a spool, the spool's id with a length in square
// brackets, from an id.
func cutWire(text string) (id, inside string, wire bool) {
	id, rest, found := strings.Cut(text, "[")
	inside, closed := strings.CutSuffix(strings.TrimSpace(rest), "]")
	inside = strings.TrimSpace(inside)
	return strings.TrimSpace(id), inside, found && closed && inside != "" && strings.ContainsRune("0123456789.,-−", []rune(inside)[0])
}

// measured tells a resistance with its unit from an id: it ends in ohms, and
// what stands before that begins as a number does or is a letter code. So
// "5", "R47" and "4k7" are ids and "5 ohm", "R47 ohm" and "4k7Ω" are not.
func measured(text string) bool {
	if !endsInOhms(text) {
		return false
	}
	if strings.ContainsRune("0123456789.,-−", []rune(text)[0]) {
		return true
	}
	_, err := quantity.Parse(text, quantity.Ohm, quantity.Positive)
	return err == nil
}

// endsInOhms tells whether a text ends in the unit of resistance. Lower-casing
// makes one letter of the two code points of the ohm sign.
func endsInOhms(text string) bool {
	lower := strings.ToLower(text)
	for _, unit := range []string{"ohm", "ohms", "ω"} {
		if strings.HasSuffix(lower, unit) {
			return true
		}
	}
	return false
}

// looksLikeID tells what the program would call a part.
var looksLikeID = regexp.MustCompile(`^R[0-9]{3,}$`)

// NotAnID refuses a resistance that is typed in letter code where the text looks
// like the id of a part as well, or has says that it is one: R012 is 12 mΩ to a
// shop, and a part to the drawer. The error tells both readings.
func NotAnID(text string, has func(id string) bool) error {
	text = strings.TrimSpace(text)
	is := "looks like the id of a part"
	if has(text) {
		is = "is the id of a part"
	} else if !looksLikeID.MatchString(text) {
		return nil
	}
	if ohms, write := LetterCode(text); ohms != "" {
		return fmt.Errorf("%q %s, and is %s in letter code; write %s where that is meant", text, is, ohms, write)
	}
	return nil
}

// LetterCode is the resistance that a text with R in front is in letter code, in
// words and as it is written so that nobody takes it for an id; empty where it is
// none.
func LetterCode(text string) (ohms, write string) {
	v, err := quantity.Parse(text, quantity.Ohm, quantity.Positive)
	if err != nil || text[0] != 'R' {
		return "", ""
	}
	return quantity.Format(v.Base, quantity.Ohm, quantity.Digits(v.Base, v.Step)), fmt.Sprintf("%g ohm", v.Base)
}
