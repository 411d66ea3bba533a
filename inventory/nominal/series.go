// Package nominal knows what resistors are said to have: the preferred values
// that they are sold in, the E series of IEC 60063, and what their colour bands
// say, IEC 60062.
package nominal

import (
	"fmt"
	"math"

	"shuntwright/meter/quantity"
	"slices"
	"strconv"
	"strings"
)

// e24 holds the members of E24 in one decadeOf. The standard lists E24 and the
// coarser series; they do not follow from a formula (10^(10/24) would round to
// 26, and 27 it is).
var e24 = []int{10, 11, 12, 13, 15, 16, 18, 20, 22, 24, 27, 30, 33, 36, 39, 43, 47, 51, 56, 62, 68, 75, 82, 91}

// series is one of them.
type series struct {
	name    string
	size    int     // members a decadeOf
	percent float64 // the tolerance usually tied to it
}

// everySeries stands from coarse to fine.
var everySeries = []series{{"E3", 3, 40}, {"E6", 6, 20}, {"E12", 12, 10}, {"E24", 24, 5}, {"E48", 48, 2}, {"E96", 96, 1}, {"E192", 192, 0.5}}

// SeriesNames returns the names of the series, from coarse to fine.
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

// members returns what stands in one decadeOf, as whole numbers with the given
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

// Values reach from leastOhms to mostOhms ohms, far beyond what is made.
const (
	leastOhms = 1e-9
	mostOhms  = 1e15
)

// Values returns the values of a series from lowOhms to highOhms, both
// included, ascending, each the float64 nearest to the decimal number. The name
// is one of SeriesNames, in either case. An error says if it is not, or if the bounds
// are not ascending or not within 1e-9 to 1e15 ohms. Source: IEC 60063.
func Values(name string, lowOhms, highOhms float64) ([]float64, error) {
	s, err := findSeries(name)
	if err != nil {
		return nil, err
	}
	if !(lowOhms >= leastOhms && lowOhms <= highOhms && highOhms <= mostOhms) {
		return nil, fmt.Errorf("values of %s from %v to %v ohms: want ascending bounds within %v to %v", s.name, lowOhms, highOhms, leastOhms, float64(mostOhms))
	}
	list, digits := s.members()
	var out []float64
	for e := decadeOf(lowOhms) - 1; e <= decadeOf(highOhms)+1; e++ {
		for _, m := range list {
			if v := decimal(m, e-digits+1); v >= lowOhms && v <= highOhms {
				out = append(out, v)
			}
		}
	}
	return out, nil
}

// decadeOf returns the power of ten at or below a positive value, or next to it
// where the logarithm rounds.
func decadeOf(ohms float64) int { return int(math.Floor(math.Log10(ohms))) }

// decimal returns the float64 nearest to m times ten to the e.
func decimal(m, e int) float64 {
	v, err := strconv.ParseFloat(strconv.Itoa(m)+"e"+strconv.Itoa(e), 64)
	if err != nil {
		return math.NaN() // cannot be: the bounds keep e small
	}
	return v
}

// holds reports whether a positive value belongs to the series in some decadeOf.
func (s series) holds(ohms float64) bool {
	list, digits := s.members()
	for e := decadeOf(ohms) - 1; e <= decadeOf(ohms)+1; e++ {
		if slices.ContainsFunc(list, func(m int) bool {
			v := decimal(m, e-digits+1)
			return math.Abs(ohms-v) <= 1e-9*v
		}) {
			return true
		}
	}
	return false
}

// SeriesOf returns the name of the coarsest series, from E6 up, that holds everySeries
// nominal values in ohms, and E24 where there are none or where no series holds
// them everySeries. What is not positive and finite (NaN: not marked; 0: a link) says
// nothing and is passed over.
func SeriesOf(nominalOhms []float64) string {
	var marked []float64
	for _, v := range nominalOhms {
		if v >= leastOhms && v <= mostOhms {
			marked = append(marked, v)
		}
	}
	if len(marked) == 0 {
		return "E24"
	}
	for _, s := range everySeries[1:] {
		if !slices.ContainsFunc(marked, func(v float64) bool { return !s.holds(v) }) {
			return s.name
		}
	}
	return "E24"
}

// Fitting returns the name of the series that parts of a tolerance of either
// sign, in percent, are usually sold in: the coarsest one tied to that
// tolerance or a tighter one (common practice); E192 for what is tighter than
// all. E24 where the tolerance is not known: NaN, or not above zero.
func Fitting(tolerancePercent float64) string {
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

// Nearest returns the value of a series from which a resistance in ohms is off
// by the smallest share of that value, the smaller one where two are. The name
// is one of SeriesNames. An error says if it is not, or if the resistance is not
// within 1e-9 to 1e15 ohms.
func Nearest(name string, ohms float64) (float64, error) {
	s, err := findSeries(name)
	if err != nil {
		return 0, err
	}
	if !(ohms >= leastOhms && ohms <= mostOhms) {
		return 0, fmt.Errorf("the value of %s nearest to %v ohms: want a resistance within %v to %v", s.name, ohms, leastOhms, float64(mostOhms))
	}
	list, digits := s.members()
	best := math.Inf(1)
	for e := decadeOf(ohms) - 1; e <= decadeOf(ohms)+1; e++ {
		for _, m := range list {
			if v := decimal(m, e-digits+1); math.Abs(ohms/v-1) < math.Abs(ohms/best-1) {
				best = v
			}
		}
	}
	return best, nil
}

// TolerancePercent returns the tolerance of either sign, in percent, usually
// tied to a series: E6 20, E12 10, E24 5, E48 2, E96 1, E192 0.5 (common
// practice; E3 40 from memory). An error says if there is no such series.
func TolerancePercent(name string) (float64, error) {
	s, err := findSeries(name)
	return s.percent, err
}

// AsSold is a preferred value in ohms with the digits that the series has: two, or
// three where two would be another value.
func AsSold(ohms float64) string {
	two := quantity.Format(ohms, quantity.Ohm, 2)
	if v, err := quantity.Parse(two, quantity.Ohm, quantity.Positive); err == nil && math.Abs(v.Base-ohms) < 1e-9*ohms {
		return two
	}
	return quantity.Format(ohms, quantity.Ohm, 3)
}
