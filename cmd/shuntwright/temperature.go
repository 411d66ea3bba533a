package main

import (
	"fmt"
	"math"

	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/cmd/shuntwright/internal/wording"
	"shuntwright/meter"
	"shuntwright/meter/quantity"
)

// atTemperature is the state at the temperature of the flag, or as it is.
func (s *setup) atTemperature(c *call, state meter.State) meter.State {
	if c.flags.Lookup("temperature") == nil || !c.flags.Changed("temperature") {
		return state
	}
	coefficients, _ := s.Tempcos()
	return s.Meter.AtTemperature(state, c.options.temperature.value.Base, coefficients)
}

// temperatureAssumptions says what is taken for granted off the reference
// temperature.
func (s *setup) temperatureAssumptions(c *call) []string {
	asked := false
	for _, name := range []string{"temperature", "from", "to"} {
		asked = asked || c.flags.Lookup(name) != nil && c.flags.Changed(name)
	}
	if !asked {
		return nil
	}
	out := []string{fmt.Sprintf("the coil is annealed copper, 0.393 %%/K at 20 °C (IEC 60028), and stated at %g °C", s.Meter.Movement.ReferenceCelsius)}
	if _, unknown := s.Tempcos(); len(unknown) > 0 {
		out = append(out, "no tempco_ppm is known of "+wording.List(unknown)+": taken as not changing with temperature, like swamping and contact resistances")
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

// overTemperature tables the error of every range between two temperatures.
func (c *call) overTemperature(s *setup, class float64) ([]heat, report.Table, error) {
	from, to := c.options.from.value.Base, c.options.to.value.Base
	if !(from < to) {
		return nil, report.Table{}, misused("--from %s --to %s: the first must be the colder one", c.options.from.value.Text, c.options.to.value.Text)
	}
	coefficients, _ := s.Tempcos()
	state := s.Meter.State(s.Ohms())
	table := report.Table{Name: "temperature", Columns: []report.Column{{Title: "range", Key: "range", Flexible: true}}}
	heats := make([]heat, len(s.Ranges))
	rows, widest := make([][]report.Cell, len(s.Ranges)), make([]float64, len(s.Ranges))
	for r, one := range s.Ranges {
		heats[r].Range, rows[r] = one.Name, []report.Cell{report.Words(one.Name)}
	}
	for k := range heatSteps {
		celsius := from + (to-from)*float64(k)/(heatSteps-1)
		table.Columns = append(table.Columns, report.Column{
			Title: quantity.Format(celsius, quantity.Celsius, 3), Key: fmt.Sprintf("percent_at_%g_celsius", celsius), Number: true})
		limits := s.RangeLimits(s.Meter.AtTemperature(state, celsius, coefficients))
		for r, b := range s.Meter.AtTemperatureBands(state, celsius, coefficients) {
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
	if isNumber(class) {
		table.Columns = append(table.Columns, report.Column{Title: "swamp", Key: "swamp_ohms_for_class", Number: true})
		for r := range rows {
			rows[r] = append(rows[r], s.swampFor(r, class, max(math.Abs(from-s.Meter.Movement.ReferenceCelsius), math.Abs(to-s.Meter.Movement.ReferenceCelsius)), &heats[r]))
		}
	}
	table.Rows = rows
	return heats, table, nil
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

// swampFor is the smallest swamping resistor of the movement that keeps a
// range, everything else on its new target, within the class so many kelvin
// away from the reference temperature, on either side.
func (s *setup) swampFor(r int, class, kelvin float64, h *heat) report.Cell {
	coefficients := s.Meter.Tempcos()
	reference := s.Meter.Movement.ReferenceCelsius
	need := 0.0
	for _, celsius := range []float64{reference - kelvin, reference + kelvin} {
		ohms, err := s.Meter.SwampWithin(r, class, celsius, coefficients)
		if err != nil {
			h.SwampRefused = err.Error()
			return report.None()
		}
		need = max(need, ohms)
	}
	h.SwampOhms = report.Some(need)
	return report.Quantity(need, quantity.Ohm, 3)
}
