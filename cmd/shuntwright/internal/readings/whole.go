package readings

import (
	"fmt"
	"strings"

	"shuntwright/meter"
	"shuntwright/meter/quantity"
)

// Whole are warnings of ranges, of a meter with these, whose references were typed
// without decimals where the limit counts last digits: a warning that names where
// these make up most of the limit of its largest reference and are more than the
// pointer is trusted to.
func (set *Set) Whole(ranges []meter.Range) []string {
	largest, fine := map[int]int{}, map[int]bool{}
	for i, one := range set.Readings {
		if at, known := largest[one.Range]; !known || one.Reference > set.Readings[at].Reference {
			largest[one.Range] = i
		}
		fine[one.Range] = fine[one.Range] || strings.Contains(set.Typed[i].Reference.Text, ".")
	}
	var out []string
	example := ""
	for r, one := range ranges {
		i, known := largest[r]
		if !known || fine[r] {
			continue
		}
		as, rd := set.Typed[i], set.Readings[i]
		if as.digits <= rd.ReferenceLimit/2 || as.digits <= rd.IndicatedLimit {
			continue
		}
		number, unit := as.Reference.Text, ""
		if at := strings.IndexFunc(number, func(c rune) bool { return c < '0' || c > '9' }); at >= 0 {
			number, unit = number[:at], number[at:]
		}
		out = append(out, fmt.Sprintf("%s on %s (%s of full scale)", as.Reference.Text, one.Name, quantity.Format(100*as.digits/one.FullScale, quantity.Percent, 2)))
		if example == "" {
			example = fmt.Sprintf("%s.00%s", number, unit)
		}
	}
	if len(out) == 0 {
		return nil
	}
	return []string{fmt.Sprintf("typed without decimals, and counting as known to the last digit: %s; if the instrument showed more, write it as it stood there, such as %s",
		strings.Join(out, ", "), example)}
}
