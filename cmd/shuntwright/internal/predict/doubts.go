package predict

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"shuntwright/cmd/shuntwright/internal/asbuilt"
	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/inventory"
	"shuntwright/meter"
	"shuntwright/meter/quantity"
)

// UnratedWords warn of parts that are fitted under volts that nobody knows whether
// they bear, and name those that take most.
func UnratedWords(s *asbuilt.Setup) []string {
	f, at := Forecast{Setup: s}, map[string]string{}
	var under []Piece
	for i, p := range s.Meter.Predict(s.Ohms()).Positions {
		for _, one := range f.Pieces(i, p) {
			if one.VoltsUnknown() {
				under, at[one.Part] = append(under, one), s.Positions[i].Name
			}
		}
	}
	slices.SortStableFunc(under, func(a, b Piece) int { return cmp.Compare(*b.Volts, *a.Volts) })
	var takes []string
	for _, one := range under {
		takes = append(takes, fmt.Sprintf("%s takes %s in %s", one.Part, quantity.Format(*one.Volts, quantity.Volt, 3), at[one.Part]))
	}
	if len(takes) == 0 {
		return nil
	}
	return []string{report.Few(takes, 3) + ", and nobody knows what " + report.Either(len(takes) == 1, "it bears", "they bear")}
}

// How much less carbon composition has at its working voltage, in percent of its
// resistance a volt, by makers' sheets: up to half a watt, and above.
const (
	perVoltSmall = 0.035
	perVoltLarge = 0.02
)

// fades is how much less a part has at some volts, as a fraction.
func fades(p inventory.Part, volts float64) float64 {
	switch {
	case !p.Composition():
		return 0
	case p.Watts >= 1:
		return perVoltLarge * volts / 100
	}
	return perVoltSmall * volts / 100
}

// fadingSeen is how much higher a range must read to be named, in percent.
const fadingSeen = 0.5

// fadingShare is how much of a range's change is a part's own if it is to be named.
const fadingShare = 0.05

// faded is by what share of its position's resistance a part makes that less.
type faded struct {
	id       string
	position int
	less     float64
}

// atWork are the resistances with what carbon composition has less at work than a
// meter measures, and the parts that do it. Of a network's change each part has its
// own times the share of the watts that it dissipates.
func (f *Forecast) atWork() (ohms []float64, parts []faded) {
	ohms = f.Ohms()
	for i, p := range f.Meter.Predict(ohms).Positions {
		less := 0.0
		for _, one := range f.Pieces(i, p) {
			if one.Part == "" || one.Watts == nil || !(p.Watts > 0) {
				continue
			}
			if by := fades(f.Parts[f.Index[one.Part]], *one.Volts); by > 0 {
				by *= *one.Watts / p.Watts
				less += by
				parts = append(parts, faded{one.Part, i, by})
			}
		}
		ohms[i] *= 1 - min(less, 0.5)
	}
	return ohms, parts
}

// higher is by how much more every range then reads, in percent of full scale.
func (f *Forecast) higher(ohms []float64) []float64 {
	var out []float64
	was := f.Meter.Predict(f.Ohms()).Ranges
	for r, one := range f.Meter.Predict(ohms).Ranges {
		out = append(out, one.ErrorPercent-was[r].ErrorPercent)
	}
	return out
}

// fading warns of ranges that read higher than predicted because of that.
func (f *Forecast) fading() []string {
	ohms, parts := f.atWork()
	worst, most := -1, fadingSeen
	for r, more := range f.higher(ohms) {
		if more >= most {
			worst, most = r, more
		}
	}
	if worst < 0 {
		return nil
	}
	var names, unsaid []string
	for _, p := range parts {
		ohms := f.Ohms()
		ohms[p.position] *= 1 - min(p.less, 0.5)
		if f.higher(ohms)[worst] < most*fadingShare {
			continue
		}
		names = append(names, p.id)
		if !inventory.HasWords(f.Parts[f.Index[p.id]].Kind, "composition") {
			unsaid = append(unsaid, p.id)
		}
	}
	film := ""
	if len(unsaid) > 0 {
		film = "; where it is film, drawer change --kind \"carbon film\" says so: " + report.Few(unsaid, 3)
	}
	return []string{fmt.Sprintf("%s may read up to %s higher: carbon composition has less at its working voltage than an ohmmeter shows (makers' sheets): %s%s",
		f.Ranges[worst].Name, report.PercentSize(most, most).Text, report.Few(names, 3), film)}
}

// leastLeft is what leads leave of a resistance at least that two wires read, as a
// share of the reading.
const leastLeft = 0.1

// leadsWords say which range would be furthest beyond the class if the leads that
// nobody described were in what two wires read of the parts fitted, of those that
// are within it else. The limits of the ranges hold nothing of that.
func (f *Forecast) leadsWords(p meter.Prediction) []string {
	ohms := f.Ohms()
	var parts []string
	off := 0.0
	for i := range f.Positions {
		if f.IsOpen(i) {
			continue
		}
		values := asbuilt.Values(f.Leaves[i])
		for k, l := range f.Leaves[i] {
			if t := l.Measured.TwoWires; t != nil && !t.Subtracted && !t.Unreadable() {
				values[k] = max(values[k]-t.OffOhms, leastLeft*values[k])
				parts, off = append(parts, cmp.Or(strings.TrimPrefix(t.Of, "part "), f.Positions[i].Name)), t.OffOhms
			}
		}
		ohms[i] = f.Networks[i].Resistance(values)
	}
	if len(parts) == 0 {
		return nil
	}
	then := f.Meter.Predict(ohms)
	worst := -1
	for r := range f.Ranges {
		if math.Abs(p.Ranges[r].ErrorPercent) <= f.Class && math.Abs(then.Ranges[r].ErrorPercent) > f.Class &&
			(worst < 0 || math.Abs(then.Ranges[r].ErrorPercent) > math.Abs(then.Ranges[worst].ErrorPercent)) {
			worst = r
		}
	}
	if worst < 0 {
		return nil
	}
	return []string{fmt.Sprintf("if leads of %s are in what two wires read of %s, %s is off by %s: short them, read that, and drawer instrument NAME --leads OHMS",
		quantity.Format(off, quantity.Ohm, 2), report.Few(report.Unique(parts), 3), f.Ranges[worst].Name, report.PercentError(then.Ranges[worst].ErrorPercent, 1).Text)}
}
