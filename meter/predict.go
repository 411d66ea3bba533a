package meter

import (
	"math"
	"slices"
)

// Prediction is what a meter does with what is fitted, at the temperature of
// the resistances given.
type Prediction struct {
	Positions    []PositionPrediction // in the order of Meter.Positions
	Ranges       []RangePrediction    // in the order of Meter.Ranges
	WorstPercent float64              // largest magnitude of the full-scale errors of the whole ranges; NaN: no range is whole
}

// PositionPrediction is one position. Watts, volts and amperes are the worst
// over the ranges that it serves, each with its nominal full-scale value
// applied; ranges that are not whole are left out.
type PositionPrediction struct {
	TargetOhms            float64 // NaN: the movement cannot serve its range
	Ohms                  float64 // NaN: open
	ErrorPercent          float64 // of the target; NaN: open or no target
	Watts, Volts, Amperes float64 // NaN: open, or none of its ranges is whole
}

// RangePrediction is one range. All figures are NaN where a position that it
// needs is open.
type RangePrediction struct {
	ErrorPercent    float64 // full-scale error; positive reads high
	LastMark        float64 // what brings the pointer to the last mark, in the range's unit
	MovementAmperes float64 // with the nominal full-scale value applied
	DropVolts       float64 // across the terminals at the nominal value; NaN for voltage ranges
	InputOhms       float64 // between the terminals
	OhmsPerVolt     float64 // input resistance by full-scale volts; NaN for current ranges
}

// Whole reports whether every position that the range needs is filled.
func (r RangePrediction) Whole() bool { return !math.IsNaN(r.ErrorPercent) }

// Predict tells what the meter does with ohms in its positions, in the order of
// Positions; NaN is an open position.
func (m *Meter) Predict(ohms []float64) Prediction {
	p := m.PredictState(m.State(ohms))
	for i, target := range m.targetsOrNaN() {
		p.Positions[i].TargetOhms = target
		p.Positions[i].ErrorPercent = 100 * (ohms[i]/target - 1)
	}
	return p
}

// PredictState is Predict for any state, such as another temperature; it gives
// no targets, they are those of the meter as stated.
func (m *Meter) PredictState(st State) Prediction {
	p := Prediction{Positions: make([]PositionPrediction, len(m.positions)), Ranges: make([]RangePrediction, len(m.ranges)), WorstPercent: nan}
	errors := make([]float64, len(m.ranges))
	m.Errors(errors, st)
	for r, e := range errors {
		p.Ranges[r] = m.predictRange(st, r, e)
		if a := math.Abs(e); a > p.WorstPercent || math.IsNaN(p.WorstPercent) {
			p.WorstPercent = a
		}
	}
	for i, pos := range m.positions {
		r := st.Ohms[pos.Resistor]
		amperes := m.worstAmperes(st, i)
		p.Positions[i] = PositionPrediction{TargetOhms: nan, Ohms: r, ErrorPercent: nan,
			Watts: amperes * amperes * r, Volts: amperes * r, Amperes: amperes}
	}
	return p
}

func (m *Meter) predictRange(st State, r int, percent float64) RangePrediction {
	full := m.ranges[r].FullScale
	f := m.Flow(st, r, full)
	out := RangePrediction{ErrorPercent: percent, LastMark: full * st.FullScaleAmperes / f.Movement,
		MovementAmperes: f.Movement, InputOhms: f.InputOhms, DropVolts: f.TerminalVolts, OhmsPerVolt: nan}
	if m.voltage(r) {
		out.DropVolts, out.OhmsPerVolt = nan, f.InputOhms/full
	}
	if !out.Whole() {
		return RangePrediction{nan, nan, nan, nan, nan, nan}
	}
	return out
}

// worstAmperes is the largest current through a position over the whole ranges,
// with their nominal values applied; NaN: there is none.
func (m *Meter) worstAmperes(st State, position int) float64 {
	worst := nan
	for _, r := range m.rangesOf(position) {
		f := m.Flow(st, r, m.ranges[r].FullScale)
		a := f.through(m.paths[r], m.positions[position].Resistor)
		if !math.IsNaN(f.Movement) && (a > worst || math.IsNaN(worst)) {
			worst = a
		}
	}
	return worst
}

// through is the current in a resistor of the range.
func (f Flow) through(p Path, resistor int) float64 {
	switch {
	case slices.Contains(p.Across, resistor):
		return f.Across
	case slices.Contains(p.Lead, resistor):
		return f.Lead
	}
	return f.Movement
}

// Stress is what a position carries at full scale. Held tells that a voltage is
// applied on every range that it serves: the less its resistance, the more
// current, so the volts stay across it. Alone tells that no other position shares
// that voltage: with more resistance it carries less.
type Stress struct {
	Ohms, Amperes, Volts float64
	Held, Alone          bool
}

// Stresses tells what each position must bear when all are on their targets:
// the current through it and the voltage across it, the worst over the ranges
// that it serves, with full scale applied. The error is that of Targets.
func (m *Meter) Stresses() ([]Stress, error) {
	targets, err := m.Targets()
	if err != nil {
		return nil, err
	}
	out := make([]Stress, len(targets))
	for i, p := range m.Predict(targets).Positions {
		out[i] = Stress{Ohms: targets[i], Amperes: p.Amperes, Volts: p.Volts, Held: true, Alone: true}
		for _, r := range m.rangesOf(i) {
			out[i].Held = out[i].Held && m.voltage(r)
			out[i].Alone = out[i].Alone && m.leads(r) == 1
		}
	}
	return out, nil
}

// leads counts the positions that carry the whole current of a range.
func (m *Meter) leads(r int) (n int) {
	for _, p := range m.positions {
		if slices.Contains(m.paths[r].Lead, p.Resistor) {
			n++
		}
	}
	return n
}
