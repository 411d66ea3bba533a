package predict

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/meter"
	"shuntwright/meter/quantity"
)

// temperatureAssumptions says what is taken for granted off the reference
// temperature.
func (f *Forecast) temperatureAssumptions() []string {
	if math.IsNaN(f.Celsius) && math.IsNaN(f.FromCelsius) {
		return nil
	}
	out := []string{fmt.Sprintf("the coil is copper, 0.393 %%/K at 20 °C (IEC 60028), stated at %g °C", f.Meter.Movement.ReferenceCelsius)}
	if _, unknown := f.Tempcos(); len(unknown) > 0 {
		out = append(out, "not changing with temperature (no tempco_ppm): "+report.Few(unknown, 2))
	}
	return out
}

// heat is one range over temperature in JSON.
type heat struct {
	Range        string       `json:"range"`
	Points       []heatPoint  `json:"points"`
	SwampOhms    report.Maybe `json:"swamp_ohms_for_class,omitempty"`
	SwampRefused string       `json:"swamp_refused,omitempty"`
}

// heatPoint is the error of a range at one temperature, and between what
// limits it lies by the coefficients that are known as limits.
type heatPoint struct {
	Celsius float64      `json:"celsius"`
	Error   report.Maybe `json:"full_scale_error_percent,omitempty"`
	Limit   report.Maybe `json:"limit_percent,omitempty"` // by what was measured
	Low     report.Maybe `json:"low_percent,omitempty"`
	High    report.Maybe `json:"high_percent,omitempty"`
}

// heatSteps is how many temperatures the table shows.
const heatSteps = 5

// overTemperature tables the error of every range between two temperatures, and
// the swamping resistor that keeps it within the class.
func (f *Forecast) overTemperature() ([]heat, report.Table) {
	from, to := f.FromCelsius, f.ToCelsius
	coefficients, _ := f.Tempcos()
	state := f.Meter.State(f.Ohms())
	table := report.Table{Name: "temperature", Heading: "full-scale error over temperature", Columns: []report.Column{{Title: "range", Key: "range", Flexible: true}}}
	heats := make([]heat, len(f.Ranges))
	rows, widest := make([][]report.Cell, len(f.Ranges)), make([]float64, len(f.Ranges))
	for r, one := range f.Ranges {
		heats[r].Range, rows[r] = one.Name, []report.Cell{report.Words(one.Name)}
	}
	for k := range heatSteps {
		celsius := from + (to-from)*float64(k)/(heatSteps-1)
		table.Columns = append(table.Columns, report.Column{
			Title: quantity.Format(celsius, quantity.Celsius, 3), Key: fmt.Sprintf("percent_at_%g_celsius", celsius), Number: true})
		limits := f.RangeLimits(f.Meter.AtTemperature(state, celsius, coefficients))
		for r, b := range f.Meter.AtTemperatureBands(state, celsius, coefficients) {
			limit := limits[r].Limit
			if math.IsNaN(b.ErrorPercent) {
				limit = math.NaN()
			}
			widest[r] = max(widest[r], limit)
			heats[r].Points = append(heats[r].Points, heatPoint{celsius, report.Some(b.ErrorPercent), report.Some(limit), report.Some(b.LowPercent), report.Some(b.HighPercent)})
			rows[r] = append(rows[r], report.PercentError(b.ErrorPercent, limit))
		}
	}
	table.Columns = append(table.Columns, report.Column{Title: "limit", Key: "limit_percent", Number: true})
	for r := range rows {
		rows[r] = append(rows[r], report.PercentLimit(widest[r]))
	}
	if !math.IsNaN(f.Class) {
		table.Columns = append(table.Columns, report.Column{Title: "swamp", Key: "swamp_ohms_for_class", Number: true})
		table.Heading += "; swamp: the least resistor in series with the coil, every shunt made anew for it, that keeps a range within the class there"
		for r := range rows {
			rows[r] = append(rows[r], f.swampFor(r, &heats[r]))
		}
	}
	table.Rows = rows
	return heats, table
}

// worstHeat names the range that temperature puts furthest off, and tells
// whether all stay within the class; NaN is no class.
func worstHeat(heats []heat, class float64) (line string, within bool) {
	worst, at, name := 0.0, 0.0, ""
	for _, h := range heats {
		for _, p := range h.Points {
			if p.Error != nil && math.Abs(*p.Error) >= math.Abs(worst) {
				worst, at, name = *p.Error, p.Celsius, h.Range
			}
		}
	}
	line = fmt.Sprintf("worst over temperature: %s, %s at %s; a swamping resistor changes every shunt's target", name,
		report.PercentError(worst, math.NaN()).Text, quantity.Format(at, quantity.Celsius, 3))
	return line, !(math.Abs(worst) > class)
}

// warmFirst begins an answer about temperatures with what was asked: that ranges
// leave the class between them, if any does, and then how the meter stands at the
// reference temperature.
func (f *Forecast) warmFirst(doc *report.Document) {
	if math.IsNaN(f.Class) {
		return
	}
	between, leaving := f.holds(f.FromCelsius, f.ToCelsius)
	if len(leaving) == 0 {
		return
	}
	stands := fmt.Sprintf("at %g °C: %s", f.Meter.Movement.ReferenceCelsius, strings.TrimPrefix(doc.Heading, f.Meter.Name+": "))
	doc.BottomLine = append([]string{stands}, doc.BottomLine...)
	doc.Heading = fmt.Sprintf("%s: %s within class %g %s only", f.Meter.Name, report.Few(leaving, 3), f.Class, between)
}

// swampless says why there is no swamping resistor for some ranges.
func swampless(heats []heat) []string {
	var whys, out []string
	names := map[string][]string{}
	for _, h := range heats {
		if h.SwampRefused != "" {
			whys = append(whys, h.SwampRefused)
			names[h.SwampRefused] = append(names[h.SwampRefused], h.Range)
		}
	}
	for _, why := range report.Unique(whys) {
		out = append(out, report.Few(names[why], 3)+": "+why)
	}
	return out
}

// swampFor is the smallest swamping resistor of the movement that keeps a
// range, everything else on its new target, within the class from the coldest
// temperature asked about to the warmest.
func (f *Forecast) swampFor(r int, h *heat) report.Cell {
	coefficients := f.Meter.Tempcos()
	need := 0.0
	for _, celsius := range []float64{f.FromCelsius, f.ToCelsius} {
		ohms, err := f.Meter.SwampWithin(r, f.Class, celsius, coefficients)
		var refused *meter.CannotServe
		if errors.As(err, &refused) {
			h.SwampRefused = refused.Why
			return report.None()
		}
		need = max(need, ohms)
	}
	h.SwampOhms = report.Some(need)
	if need == 0 {
		return report.Pair("none", report.Exact(need))
	}
	return report.Quantity(need, quantity.Ohm, 3)
}

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
