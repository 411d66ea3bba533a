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
	between, leaving := f.holds(coldRoom, warmRoom)
	if len(leaving) == 0 {
		return nil
	}
	which := leaving[0]
	if len(leaving) > 1 {
		which = report.Counted(len(leaving), "range")
	}
	return []string{fmt.Sprintf("class %g holds %s only (the coil drifts): %s", f.Class, between, which)}
}

// holds says between which temperatures, of those from cold to warm in °C, all
// ranges stay within the class that are within it at the reference temperature,
// and names those that leave it.
func (f *Forecast) holds(cold, warm float64) (between string, leaving []string) {
	from, to := cold, warm
	for r, one := range f.Ranges {
		low, high := f.leaves(r, cold), f.leaves(r, warm)
		if low > cold || high < warm {
			leaving = append(leaving, one.Name)
		}
		if low > cold {
			from = max(from, math.Ceil(low))
		}
		if high < warm {
			to = min(to, math.Floor(high))
		}
	}
	switch {
	case from == cold:
		return fmt.Sprintf("up to %g °C", to), leaving
	case to == warm:
		return fmt.Sprintf("from %g °C on", from), leaving
	}
	return fmt.Sprintf("from %g to %g °C", from, to), leaving
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
