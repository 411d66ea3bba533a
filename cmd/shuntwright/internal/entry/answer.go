package entry

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"shuntwright/inventory"
	"shuntwright/meter/quantity"
)

// answer says what a person wants to know of a part that has been taken: how far
// it is off what is marked, or the preferred value that it is nearest to, and
// what the line said besides.
func (s *Session) answer(p inventory.Part, said []string) string {
	m, err := s.Instruments.Measure(p)
	if err != nil { // the store has measured it
		return err.Error()
	}
	var out []string
	marked := p.Nominal.Base
	if m.Marked {
		return strings.Join(append([]string{fmt.Sprintf("±%.2g %%, nobody has measured it", p.TolerancePercent)}, told(p, func(column string) bool {
			return column != "nominal" && column != "tolerance_percent" && slices.Contains(said, column)
		})...), ", ")
	}
	if marked > 0 {
		out = append(out, fmt.Sprintf("%s of the marked %s%s", share(m, marked), p.Nominal.Text, within(p, m)))
	}
	series := quantity.FittingSeries(p.TolerancePercent)
	if nearest, err := quantity.NearestPreferred(series, m.Ohms); err == nil && math.Abs(nearest-marked) > 1e-9*marked {
		out = append(out, fmt.Sprintf("nearest %s (%s), %s", quantity.AsSold(nearest), series, share(m, nearest)))
	}
	return strings.Join(append(out, told(p, func(column string) bool { return slices.Contains(said, column) })...), ", ")
}

// share is how far a part is off a value, with as many digits as its reading
// tells.
func share(m inventory.Measured, of float64) string {
	percent := 100 * (m.Ohms - of) / of
	decimals := 1
	if math.Abs(percent) >= 20 {
		decimals = 0
	}
	return fmt.Sprintf("%+.*f %%", decimals, percent)
}

// within tells whether a part is within the tolerance marked on it, as far as its
// reading can tell.
func within(p inventory.Part, m inventory.Measured) string {
	off, limit := 100*math.Abs(m.Ohms-p.Nominal.Base)/p.Nominal.Base, 100*m.LimitOhms()/p.Nominal.Base
	switch {
	case math.IsNaN(p.TolerancePercent):
		return ""
	case off+limit <= p.TolerancePercent:
		return fmt.Sprintf(", within its %g %%", p.TolerancePercent)
	case off-limit > p.TolerancePercent:
		return fmt.Sprintf(", out of its %g %%", p.TolerancePercent)
	}
	return fmt.Sprintf(", at the edge of its %g %%", p.TolerancePercent)
}

// told are the fields of a part in words, of those columns that count.
func told(p inventory.Part, counts func(column string) bool) []string {
	var out []string
	for _, f := range p.Fields() {
		if !counts(f.Column) {
			continue
		}
		text := f.Text
		if text == "" {
			text = fmt.Sprintf("%g", f.Number)
		}
		out = append(out, strings.TrimSuffix(strings.TrimSuffix(f.Column, "_percent"), "_ppm")+" "+text)
	}
	return out
}

// slipRatio is how many times a reading may be off what is marked before it is
// asked about: a prefix or a point that slipped is a factor of ten or more, and
// the part may be off the other way.
const slipRatio = 5

// lately is how many readings must have had other prefixes before one is asked
// about; few, before one is that is far from all of them.
const lately, few = 20, 3

// slip says what is strange about the reading of a part; nothing where nothing
// is. before are the readings of this sitting, the latest last.
func slip(p inventory.Part, before []quantity.Value) string {
	var strange []string
	read := quantity.Format(p.Ohms.Base, quantity.Ohm, quantity.Digits(p.Ohms.Base, p.Ohms.Step))
	if marked := p.Nominal.Base; marked > 0 && (p.Ohms.Base >= slipRatio*marked || marked >= slipRatio*p.Ohms.Base) {
		strange = append(strange, fmt.Sprintf("marked %s and read %s", p.Nominal.Text, read))
	}
	n := len(before)
	if n > 0 && before[n-1].Base == p.Ohms.Base && before[n-1].Step == p.Ohms.Step {
		strange = append(strange, "the same reading as the last part, "+read)
	}
	latest := before[max(0, n-lately):]
	had := map[string]bool{}
	least, most := math.Inf(1), 0.0
	for _, v := range latest {
		had[Prefix(v)], least, most = true, min(least, v.Base), max(most, v.Base)
	}
	others := n >= lately || n >= few && (p.Ohms.Base < least && inventory.FarApart(p.Ohms.Base, least) || p.Ohms.Base > most && inventory.FarApart(p.Ohms.Base, most))
	switch is := Prefix(p.Ohms); {
	case !others || had[is]:
	case len(had) == 1:
		strange = append(strange, fmt.Sprintf("%s, and the last %d readings had %s: is it %s", named(is), len(latest), named(Prefix(before[n-1])), read))
	default:
		strange = append(strange, fmt.Sprintf("%s, which none of the last %d readings had: is it %s", named(is), len(latest), read))
	}
	return strings.Join(strange, "; ")
}

// named is a prefix in words.
func named(prefix string) string {
	if prefix == "" {
		return "no prefix"
	}
	return "the prefix " + prefix
}

// Prefix is the SI prefix that a resistance was typed with, in letter code too.
func Prefix(v quantity.Value) string {
	text := v.Text
	for _, unit := range []string{"ohms", "ohm", "ω"} { // in lower case both ohm signs are this one
		if rest := len(text) - len(unit); rest > 0 && strings.ToLower(text[rest:]) == unit {
			text = text[:rest]
			break
		}
	}
	text = strings.TrimRight(text, "Ω\u2126 ")
	switch at := strings.IndexAny(text, "pnuµμmLkKMGT"); {
	case at < 0:
		return ""
	case text[at] == 'K':
		return "k"
	case text[at] == 'L':
		return "m"
	default:
		return string([]rune(text[at:])[:1])
	}
}
