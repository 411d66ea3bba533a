package predict

import (
	"fmt"

	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/inventory"
	"shuntwright/meter"
)

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

// fading warns of ranges that read higher than predicted because carbon composition
// has less resistance at work than a meter measures. Of a network's change each
// part has its own times the share of the watts that it dissipates.
func (f *Forecast) fading(prediction meter.Prediction) []string {
	ohms, parts := f.Ohms(), []faded{}
	for i, p := range prediction.Positions {
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
	worst, most := -1, fadingSeen
	for r, one := range f.Meter.Predict(ohms).Ranges {
		if more := one.ErrorPercent - prediction.Ranges[r].ErrorPercent; more >= most {
			worst, most = r, more
		}
	}
	if worst < 0 {
		return nil
	}
	var names []string
	for _, p := range parts {
		ohms := f.Ohms()
		ohms[p.position] *= 1 - min(p.less, 0.5)
		if f.Meter.Predict(ohms).Ranges[worst].ErrorPercent-prediction.Ranges[worst].ErrorPercent >= most*fadingShare {
			names = append(names, p.id)
		}
	}
	return []string{fmt.Sprintf("%s may read up to %.2g %% higher: carbon composition has less at its working voltage than an ohmmeter shows (makers' sheets): %s",
		f.Ranges[worst].Name, most, report.Few(names, 3))}
}
