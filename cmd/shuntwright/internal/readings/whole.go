package readings

import (
	"fmt"
	"strings"

	"shuntwright/meter"
	"shuntwright/meter/quantity"
)

// Whole are warnings of ranges, of a meter with these, whose references were typed
// without decimals where the limit counts last digits: one warning a range, where
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
		out = append(out, fmt.Sprintf("%s on %s counts as known to its last digit, %s or %.2g %% of full scale: if the instrument showed more of it, write it as it stood there, such as %s.00%s",
			as.Reference.Text, one.Name, quantity.Format(as.digits, one.Unit, 2), 100*as.digits/one.FullScale, number, unit))
	}
	return out
}
