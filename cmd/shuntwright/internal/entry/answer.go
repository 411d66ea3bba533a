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
