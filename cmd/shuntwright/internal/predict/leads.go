package predict

import (
	"cmp"
	"fmt"
	"math"
	"strings"

	"shuntwright/cmd/shuntwright/internal/asbuilt"
	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/meter"
	"shuntwright/meter/quantity"
)

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
			if t := l.Measured.TwoWires; t != nil && !t.Subtracted {
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
