package readings

import (
	"fmt"
	"strings"

	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/meter"
	"shuntwright/meter/quantity"
)

// coarse is the share of full scale from which on a last digit is worth a word
// though there are decimals.
const coarse = 0.01

// Coarse are warnings of ranges, of a meter with these, that were typed with so few
// digits that the last one decides how sure they are. The reference, where the limit
// counts last digits: those of the largest one make up most of its limit and are
// more than the pointer is trusted to, with decimals more than coarse. The pointer,
// where its limit goes by its last digit: it is more than coarse.
func (set *Set) Coarse(ranges []meter.Range) []string {
	return append(set.coarseReference(ranges), set.coarsePointer(ranges)...)
}

func (set *Set) coarseReference(ranges []meter.Range) []string {
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
		if !known {
			continue
		}
		as, rd := set.Typed[i], set.Readings[i]
		if as.digits <= rd.ReferenceLimit/2 || as.digits <= rd.IndicatedLimit || fine[r] && as.digits <= coarse*one.FullScale*(1+1e-9) {
			continue
		}
		out = append(out, fmt.Sprintf("%s on %s (±%s of full scale)", as.Reference.Text, one.Name, quantity.Format(100*as.digits/one.FullScale, quantity.Percent, 2)))
		if example == "" {
			example = finer(as.Reference.Text)
		}
	}
	if len(out) == 0 {
		return nil
	}
	return []string{fmt.Sprintf("known to the last digit typed only: %s; write all that the instrument showed, such as %s",
		strings.Join(out, ", "), example)}
}

// finer is a quantity with two decimals more.
func finer(text string) string {
	at := strings.IndexFunc(text, func(c rune) bool { return c != '.' && (c < '0' || c > '9') })
	if at < 0 {
		at = len(text)
	}
	number := text[:at]
	if !strings.Contains(number, ".") {
		number += "."
	}
	return number + "00" + text[at:]
}

func (set *Set) coarsePointer(ranges []meter.Range) []string {
	var out []string
	for i, one := range set.Readings {
		r := ranges[one.Range]
		if set.Typed[i].byDigit && one.IndicatedLimit > coarse*r.FullScale*(1+1e-9) {
			out = append(out, fmt.Sprintf("%s (±%s)", r.Name, quantity.Format(100*one.IndicatedLimit/r.FullScale, quantity.Percent, 2)))
		}
	}
	if len(out) == 0 {
		return nil
	}
	return []string{"the pointer is read to half the last digit typed: " + strings.Join(report.Unique(out), ", ") + "; write tenths, or say --divisions with meter change"}
}
