package entry

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"shuntwright/inventory"
	"shuntwright/meter/quantity"
	"shuntwright/meter/wiring"
)

// keywords are the words that say what follows them, and the columns of the
// drawer that it belongs into.
var keywords = map[string]string{
	"id": "id", "nominal": "nominal", "marked": "nominal", "tolerance": "tolerance_percent", "watts": "watts", "volts": "volts",
	"tempco": "tempco_ppm", "bands": "bands", "kind": "kind", "place": "place", "note": "note", "instrument": "instrument",
}

// kinds are what resistors are made of, as the trade calls them; containers
// what a place begins with.
var (
	kinds = []string{"carbon", "carbon film", "carbon composition", "composition", "metal film", "metal oxide", "metal glaze",
		"film", "oxide", "wirewound", "wire-wound", "wire wound", "cermet", "foil", "thick film", "thin film"}
	containers = []string{"tin", "tray", "box", "drawer", "bag", "bin", "envelope", "jar", "shelf", "case", "cabinet", "rack", "card", "strip"}
)

// longestPhrase is how many words a quantity, or a phrase that is known, may have.
const longestPhrase = 4

// vocabulary is what kinds and places are known.
type vocabulary struct{ kinds, places map[string]string } // in lower case to as it is written

// newVocabulary knows what the trade says, and what stands in the drawer.
func newVocabulary(drawer []inventory.Part) vocabulary {
	v := vocabulary{map[string]string{}, map[string]string{}}
	for _, kind := range kinds {
		v.kinds[kind] = kind
	}
	for _, p := range drawer {
		v.learn(p)
	}
	return v
}

// learn takes up what a part is called.
func (v vocabulary) learn(p inventory.Part) {
	for text, known := range map[string]map[string]string{p.Kind: v.kinds, p.Place: v.places} {
		if words := strings.Fields(text); len(words) > 0 && len(words) <= longestPhrase {
			known[strings.ToLower(strings.Join(words, " "))] = text
		}
	}
}

// reading parts what a line begins with, a resistance of one word or more, from
// what else it says.
func reading(words []string) (v quantity.Value, rest []string, err error) {
	if len(words) == 0 {
		_, err = quantity.Parse("", quantity.Ohm, quantity.Positive)
		return v, nil, err
	}
	for n := min(longestPhrase, len(words)); n > 0; n-- {
		text := strings.Join(words[:n], " ")
		if _, err := quantity.ParseNamed(text, quantity.Positive, quantity.OhmPerMetre); err == nil {
			return v, nil, fmt.Errorf("%.60q is wire, which is entered with its length: shuntwright drawer add %q --metres 5", text, text)
		}
		if v, err = quantity.Parse(text, quantity.Ohm, quantity.Positive); err == nil {
			return v, words[n:], nil
		}
	}
	return v, words, err
}

// Part is what one line says: a reading, and words on the part, as of one that is
// like another in all else. drawer is where it goes.
func Part(like inventory.Part, line string, drawer *inventory.Drawer) (inventory.Part, error) {
	has := func(id string) bool { _, _, found := drawer.Find(id); return found }
	p, _, err := newVocabulary(drawer.Parts()).part(like, strings.Fields(line), has)
	return p, err
}

// Reading is a new reading of a part: in ohms, or of a spool in ohms per metre.
func Reading(of inventory.Part, text string, drawer *inventory.Drawer) (quantity.Value, error) {
	if of.IsSpool() {
		return quantity.ParseNamed(text, quantity.Positive, quantity.OhmPerMetre)
	}
	v, err := quantity.Parse(text, quantity.Ohm, quantity.Positive)
	if err == nil {
		err = wiring.NotAnID(text, func(id string) bool { _, _, found := drawer.Find(id); return found })
	}
	return v, err
}

// part is Part with the columns that the words fill.
func (v vocabulary) part(p inventory.Part, words []string, has func(id string) bool) (inventory.Part, []string, error) {
	reading, rest, err := reading(words)
	if err == nil {
		err = wiring.NotAnID(words[0], has)
	}
	if err != nil {
		return p, nil, err
	}
	p.Ohms = reading
	said, err := v.describe(&p, rest)
	return p, said, err
}

// describe puts what words say of a part into it, and returns the columns that
// it has filled, or cleared where a keyword stands alone.
func (v vocabulary) describe(p *inventory.Part, words []string) (columns []string, err error) {
	for len(words) > 0 {
		if strings.EqualFold(words[0], "bands") {
			n := 1 // words up to the last band
			for n < len(words) && quantity.AreColours(words[n]) {
				n++
			}
			marking, err := quantity.ParseBands(strings.Join(words[1:n], " "))
			if err != nil {
				return nil, err
			}
			Mark(p, marking)
			columns, words = append(columns, "nominal", "tolerance_percent", "tempco_ppm"), words[n:]
			continue
		}
		column, text, n := v.phrase(words)
		if n == 0 {
			return nil, fmt.Errorf("%.60q is no kind, place or rating that is known here; write such as kind %.60s, place %.60s, note %.60s", words[0], words[0], words[0], words[0])
		}
		if err := p.Set(column, unquoted(text)); err != nil {
			return nil, fmt.Errorf("%s: %w", column, err)
		}
		columns, words = append(columns, column), words[n:]
	}
	return columns, nil
}

// unquoted is a text without the quotes that somebody used to typing commands puts
// round it.
func unquoted(text string) string {
	if n := len(text); n > 1 && (text[0] == '"' || text[0] == '\'') && text[n-1] == text[0] {
		return text[1 : n-1]
	}
	return text
}

// Mark puts what colour bands say into a part, as its marking.
func Mark(p *inventory.Part, m quantity.Marking) {
	p.Nominal, p.TolerancePercent = m.Nominal, m.TolerancePercent
	if !math.IsNaN(m.TempcoPPM) {
		p.TempcoPPM, p.TempcoSigned = m.TempcoPPM, false
	}
}

// phrase returns what words begin with: the column that it belongs to, its text
// without the keyword, and how many words it takes; 0 where they say nothing
// known.
func (v vocabulary) phrase(words []string) (column, text string, n int) {
	if column, known := keywords[strings.ToLower(words[0])]; known {
		n := 1 + v.valueOf(column, words[1:])
		return column, strings.Join(words[1:n], " "), n
	}
	if column, text, n := rating(words); n > 0 {
		return column, text, n
	}
	if text, n := longest(v.kinds, words); n > 0 {
		return "kind", text, n
	}
	if text, n := longest(v.places, words); n > 0 {
		return "place", text, n
	}
	if slices.Contains(containers, strings.ToLower(words[0])) {
		n := 1
		for n < len(words) && !v.begins(words[n:]) {
			n++
		}
		return "place", strings.Join(words[:n], " "), n
	}
	return "", "", 0
}

// begins tells whether something known begins at words, places left out: the C
// of "tin C" may be one.
func (v vocabulary) begins(words []string) bool {
	_, keyword := keywords[strings.ToLower(words[0])]
	_, _, rated := rating(words)
	_, kind := longest(v.kinds, words)
	return keyword || rated > 0 || kind > 0
}

// valueOf is how many words belong to a keyword: of a text all up to the next
// keyword or rating, of a note all, of a number or a resistance what can be
// read as one.
func (v vocabulary) valueOf(column string, words []string) int {
	switch column {
	case "note":
		return len(words)
	case "kind", "place", "instrument", "id":
		for n := range words {
			_, keyword := keywords[strings.ToLower(words[n])]
			if _, _, rated := rating(words[n:]); keyword || rated > 0 {
				return n
			}
		}
		return len(words)
	}
	for n := min(longestPhrase, len(words)); n > 0; n-- {
		var p inventory.Part
		if p.Set(column, strings.Join(words[:n], " ")) == nil {
			return n
		}
	}
	if len(words) > 0 && keywords[strings.ToLower(words[0])] == "" {
		return 1 // which whoever reads it refuses
	}
	return 0
}

// rating reads a number with the unit of a rating, in one word or two.
func rating(words []string) (column, text string, n int) {
	for n := min(2, len(words)); n > 0; n-- {
		text := strings.Join(words[:n], " ")
		if column, is := inventory.Rated(text); is {
			return column, text, n
		}
	}
	return "", "", 0
}

// longest finds the longest phrase of those known that words begin with, and
// returns it as it is written.
func longest(known map[string]string, words []string) (text string, n int) {
	for n := min(longestPhrase, len(words)); n > 0; n-- {
		if text, found := known[strings.ToLower(strings.Join(words[:n], " "))]; found {
			return text, n
		}
	}
	return "", 0
}
