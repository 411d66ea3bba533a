package predict

import (
	"fmt"
	"math"

	"shuntwright/cmd/shuntwright/internal/report"
)

// Ordinary rooms, in °C (common practice).
const (
	coldRoom = 15
	warmRoom = 30
)

// roomWarning says between which temperatures the ranges stay within the class
// that are within it at the reference temperature, where that is less than the
// rooms that a meter stands in. Nothing where another temperature was asked for.
func (f *Forecast) roomWarning() []string {
	if math.IsNaN(f.Class) || !math.IsNaN(f.Celsius) || !math.IsNaN(f.FromCelsius) {
		return nil
	}
	from, to := float64(coldRoom), float64(warmRoom)
	var names []string
	for r, one := range f.Ranges {
		cold, warm := f.leaves(r, coldRoom), f.leaves(r, warmRoom)
		from, to = max(from, math.Ceil(cold)), min(to, math.Floor(warm))
		if cold > coldRoom || warm < warmRoom {
			names = append(names, one.Name)
		}
	}
	if len(names) == 0 {
		return nil
	}
	which := names[0]
	if len(names) > 1 {
		which = report.Counted(len(names), "range")
	}
	between := fmt.Sprintf("from %g to %g °C", from, to)
	switch {
	case from == coldRoom:
		between = fmt.Sprintf("up to %g °C", to)
	case to == warmRoom:
		between = fmt.Sprintf("from %g °C on", from)
	}
	return []string{fmt.Sprintf("class %g holds %s only (the coil drifts): %s", f.Class, between, which)}
}

// leaves is the temperature, in °C and on the way from the reference temperature
// to another, at which a range leaves the class; that other one where it does not.
// One that is outside from the first has nothing to leave.
func (f *Forecast) leaves(r int, celsius float64) float64 {
	state := f.Meter.State(f.Ohms())
	coefficients, _ := f.Tempcos()
	within := func(at float64) bool {
		return math.Abs(f.Meter.PredictState(f.Meter.AtTemperature(state, at, coefficients)).Ranges[r].ErrorPercent) <= f.Class
	}
	in, out := f.Meter.Movement.ReferenceCelsius, celsius
	if !within(in) || within(out) {
		return celsius
	}
	for math.Abs(out-in) > 0.01 {
		if mid := (in + out) / 2; within(mid) {
			in = mid
		} else {
			out = mid
		}
	}
	return in
}
