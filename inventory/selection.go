package inventory

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"shuntwright/meter/quantity"
	"shuntwright/meter/wiring"
)

// Selection tells some parts of a drawer from the others: those that meet one
// of its conditions. The zero Selection has none.
type Selection struct {
	text       string
	conditions []condition
}

// condition is one of those that a selection lists.
type condition struct {
	id   string // a part's id, where holds is nil
	name string // what stands before the equals sign
	// holds is told the part and its resistance in ohms.
	holds func(p Part, ohms float64) bool
}

// ParseSelection reads conditions separated by commas: ids (R001), "kind=carbon"
// and "place=tin C" (the text, or words of it, in either case), "drifted=10"
// (further than 10 % from what is marked on the part; one without a marking has
// not drifted).
func ParseSelection(text string) (Selection, error) {
	s := Selection{text: text}
	for word := range strings.SplitSeq(text, ",") {
		word = strings.TrimSpace(word)
		name, value, equals := strings.Cut(word, "=")
		c, err := parseCondition(strings.TrimSpace(name), strings.TrimSpace(value), equals)
		if err != nil {
			return Selection{}, err
		}
		s.conditions = append(s.conditions, c)
	}
	return s, nil
}

// parseCondition reads one condition.
func parseCondition(name, value string, equals bool) (condition, error) {
	switch {
	case !equals:
		if err := wiring.ValidID(name); err != nil {
			return condition{}, fmt.Errorf("%w; write ids, kind=TEXT, place=TEXT or drifted=PERCENT, separated by commas", err)
		}
		return condition{id: name}, nil
	case value == "":
		return condition{}, fmt.Errorf("nothing stands behind %s=", name)
	case name == "kind":
		return condition{name: name, holds: func(p Part, _ float64) bool { return HasWords(p.Kind, value) }}, nil
	case name == "place":
		return condition{name: name, holds: func(p Part, _ float64) bool { return HasWords(p.Place, value) }}, nil
	case name == "drifted":
		v, err := quantity.Parse(value, quantity.Percent, quantity.NotNegative)
		if err != nil {
			return condition{}, err
		}
		return condition{name: name, holds: func(p Part, ohms float64) bool { return math.Abs(p.Drift(ohms)) > v.Base }}, nil
	}
	return condition{}, fmt.Errorf("%q is no condition; write ids, kind=TEXT, place=TEXT or drifted=PERCENT", name)
}

// HasWords tells whether a text holds some words, one after the other and whole,
// in either case: "carbon film" holds "carbon" and not "car".
func HasWords(text, words string) bool {
	return strings.Contains(spaced(text), spaced(words))
}

// spaced is a text in small letters with one space round every word.
func spaced(text string) string {
	return " " + strings.Join(strings.Fields(strings.ToLower(text)), " ") + " "
}

// Drift returns how far a resistance is from what is marked on the part, in
// percent of the marking, positive where it is more; NaN where nothing is.
func (p Part) Drift(ohms float64) float64 {
	if !given(p.Nominal) {
		return math.NaN()
	}
	return 100 * (ohms/p.Nominal.Base - 1)
}

// Has tells whether a part of that resistance, in ohms, meets a condition.
func (s Selection) Has(p Part, ohms float64) bool {
	return slices.ContainsFunc(s.conditions, func(c condition) bool {
		if c.holds == nil {
			return c.id == p.ID
		}
		return c.holds(p, ohms)
	})
}

// Unknown returns the first id that it names and the drawer does not have, and
// whether there is one.
func (s Selection) Unknown(parts []Part) (id string, found bool) {
	for _, c := range s.conditions {
		if c.holds == nil && !slices.ContainsFunc(parts, func(p Part) bool { return p.ID == c.id }) {
			return c.id, true
		}
	}
	return "", false
}

// String is the selection as it was typed.
func (s Selection) String() string { return s.text }
