package readings

import (
	"math"
	"slices"
	"strconv"

	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/meter/quantity"
	"shuntwright/meter/reading"
)

// cardinal is a point of a scale at which a meter is checked.
type cardinal struct {
	at        int // index into the ranges
	share     float64
	name      string
	direction reading.Direction
}

// quarters are the points of a scale, from rest on.
var quarters = []string{"zero", "1/4 of the scale", "1/2 of the scale", "3/4 of the scale", "full scale"}

// cardinals are the points that are asked for, range by range; in a sweep the
// pointer goes up through all of them and comes down again.
func (rr *Reader) cardinals(sweep bool) []cardinal {
	var out []cardinal
	last := len(quarters) - 1
	for r := range rr.ranges {
		for k, name := range quarters {
			p := cardinal{r, float64(k) / float64(last), name, reading.Either}
			if sweep && k > 0 {
				p.name, p.direction = name+", going up", reading.Up
			}
			out = append(out, p)
		}
		for k := last - 1; sweep && k >= 0; k-- {
			out = append(out, cardinal{r, float64(k) / float64(last), quarters[k] + ", coming down", reading.Down})
		}
	}
	return out
}

// near is how far a reading may lie from the point that it answers, as a part of
// full scale.
const near = 0.1

// behind are the points that are left to be asked for once these were read:
// those behind the last that was answered.
func (rr *Reader) behind(points []cardinal, read []reading.Reading) []cardinal {
	next := 0
	for _, one := range read {
		at := slices.IndexFunc(points, func(p cardinal) bool {
			return p.at == one.Range && p.direction == one.Direction && math.Abs(one.Reference/rr.ranges[p.at].FullScale-p.share) <= near
		})
		next = max(next, at+1)
	}
	return points[next:]
}

// setting is what the reference is set to for a point, in the unit of the
// range's name: a number alone is taken in that one too.
func (rr *Reader) setting(p cardinal) string {
	r := rr.ranges[p.at]
	suffix := scaleOf(r, math.NaN(), quantity.Parse).suffix
	one, err := quantity.Parse("1 "+suffix, r.Unit, quantity.Positive)
	if err != nil { // a name that says its unit in another way
		return report.Short(p.share*r.FullScale, r.Unit)
	}
	return strconv.FormatFloat(p.share*r.FullScale/one.Base, 'g', 10, 64) + " " + suffix
}
