package quantity

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
)

// e24 holds the members of E24 in one decade. The standard lists E24 and the
// coarser series; they do not follow from a formula (10^(10/24) would round to
// 26, and 27 it is).
var e24 = []int{10, 11, 12, 13, 15, 16, 18, 20, 22, 24, 27, 30, 33, 36, 39, 43, 47, 51, 56, 62, 68, 75, 82, 91}

// series is a series of preferred values, the E series of IEC 60063.
type series struct {
	name    string
	size    int     // members a decade
	percent float64 // the tolerance usually tied to it
}

// everySeries stands from coarse to fine.
var everySeries = []series{{"E3", 3, 40}, {"E6", 6, 20}, {"E12", 12, 10}, {"E24", 24, 5}, {"E48", 48, 2}, {"E96", 96, 1}, {"E192", 192, 0.5}}

// SeriesNames returns the names of the series of preferred values, IEC 60063, from
// coarse to fine: E3 to E192.
func SeriesNames() []string {
	out := make([]string, len(everySeries))
	for i, s := range everySeries {
		out[i] = s.name
	}
	return out
}

// findSeries returns a series by its name.
func findSeries(name string) (series, error) {
	for _, s := range everySeries {
		if strings.EqualFold(s.name, strings.TrimSpace(name)) {
			return s, nil
		}
	}
	return series{}, fmt.Errorf("series %q: want one of %s", name, strings.Join(SeriesNames(), ", "))
}

// members returns what stands in one decade, as whole numbers with the given
// digits, and these digits: 2 for E24 and coarser, 3 for E48 and finer. The
// finer ones are 10^(i/size) rounded to three figures, but for 920 in E192,
// where that would be 919.
func (s series) members() (list []int, digits int) {
	if s.size <= len(e24) {
		for i := 0; i < len(e24); i += len(e24) / s.size {
			list = append(list, e24[i])
		}
		return list, 2
	}
	for i := range s.size {
		m := int(math.Floor(100*math.Pow(10, float64(i)/float64(s.size)) + 0.5))
		if m == 919 {
			m = 920
		}
		list = append(list, m)
	}
	return list, 3
}

// between returns the values from low to high, both positive, ascending, each the
// float64 nearest to the decimal number.
func (s series) between(low, high float64) (out []float64) {
	decade := func(ohms float64) int { return int(math.Floor(math.Log10(ohms))) } // or the next, where the logarithm rounds
	list, digits := s.members()
	for e := decade(low) - 1; e <= decade(high)+1; e++ {
		for _, m := range list {
			if v, err := strconv.ParseFloat(strconv.Itoa(m)+"e"+strconv.Itoa(e-digits+1), 64); err == nil && v >= low && v <= high {
				out = append(out, v)
			}
		}
	}
	return out
}

// Preferred values reach from leastOhms to mostOhms ohms, far beyond what is made.
const (
	leastOhms = 1e-9
	mostOhms  = 1e15
)

// PreferredValues returns the values of a series from lowOhms to highOhms, both
// included, ascending, each the float64 nearest to the decimal number. The name
// is one of SeriesNames, in either case. An error says if it is not, or if the bounds
// are not ascending or not within 1e-9 to 1e15 ohms. Source: IEC 60063.
func PreferredValues(name string, lowOhms, highOhms float64) ([]float64, error) {
	s, err := findSeries(name)
	if err != nil {
		return nil, err
	}
	if !(lowOhms >= leastOhms && lowOhms <= highOhms && highOhms <= mostOhms) {
		return nil, fmt.Errorf("values of %s from %v to %v ohms: want ascending bounds within %v to %v", s.name, lowOhms, highOhms, leastOhms, float64(mostOhms))
	}
	return s.between(lowOhms, highOhms), nil
}

// NearestPreferred returns the value of a series from which a resistance in ohms is
// off by the smallest share of that value, the smaller one where two are. The name
// is one of SeriesNames. An error says if it is not, or if the resistance is not
// within 1e-9 to 1e15 ohms.
func NearestPreferred(name string, ohms float64) (float64, error) {
	s, err := findSeries(name)
	if err != nil {
		return 0, err
	}
	if !(ohms >= leastOhms && ohms <= mostOhms) {
		return 0, fmt.Errorf("the value of %s nearest to %v ohms: want a resistance within %v to %v", s.name, ohms, leastOhms, float64(mostOhms))
	}
	best := math.Inf(1)
	for _, v := range s.between(ohms/2.2, ohms*2.2) { // no step of a series is wider
		if math.Abs(ohms/v-1) < math.Abs(ohms/best-1) {
			best = v
		}
	}
	return best, nil
}

// SeriesOf returns the name of the coarsest series, from E6 up, that holds all
// nominal values in ohms, and E24 where there are none or where no series holds
// them all. What is not positive and finite (NaN: not marked; 0: a link) says
// nothing and is passed over.
func SeriesOf(nominalOhms []float64) string {
	const rounding = 1e-9
	marked := slices.DeleteFunc(slices.Clone(nominalOhms), func(v float64) bool { return !(v >= leastOhms && v <= mostOhms) })
	for _, s := range everySeries[1:] {
		if len(marked) > 0 && !slices.ContainsFunc(marked, func(v float64) bool { return s.between(v*(1-rounding), v*(1+rounding)) == nil }) {
			return s.name
		}
	}
	return "E24"
}

// FittingSeries returns the name of the series that parts of a tolerance of either
// sign, in percent, are usually sold in: the coarsest one tied to that
// tolerance or a tighter one (common practice); E192 for what is tighter than
// all. E24 where the tolerance is not known: NaN, or not above zero.
func FittingSeries(tolerancePercent float64) string {
	if !(tolerancePercent > 0) {
		return "E24"
	}
	for _, s := range everySeries {
		if s.percent <= tolerancePercent*(1+1e-9) {
			return s.name
		}
	}
	return everySeries[len(everySeries)-1].name
}

// SeriesTolerance returns the tolerance of either sign, in percent, usually
// tied to a series: E6 20, E12 10, E24 5, E48 2, E96 1, E192 0.5 (common
// practice; E3 40 from memory). An error says if there is no such series.
func SeriesTolerance(name string) (float64, error) {
	s, err := findSeries(name)
	return s.percent, err
}

// AsSold is a preferred value in ohms with the digits that the series has: two, or
// three where two would be another value.
func AsSold(ohms float64) string {
	two := Format(ohms, Ohm, 2)
	if v, err := Parse(two, Ohm, Positive); err == nil && math.Abs(v.Base-ohms) < 1e-9*ohms {
		return two
	}
	return Format(ohms, Ohm, 3)
}
