package budget

import (
	"context"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
)

// Model is what a Monte Carlo calculation draws and what it works out of it.
type Model struct {
	// Inputs are the quantities to draw, in their own units. Names are for
	// errors only, slopes are not used. Values must be finite, gains and floors
	// finite and not negative.
	Inputs []Input
	// Results is the number of results of a trial, 1 or more.
	Results int
	// Outcome works the results out of the drawn values, which have the order of
	// Inputs; dst has room for Results numbers. It keeps neither slice and
	// depends on nothing but the values. All results need the same unit. A
	// result that is NaN in any trial has no distribution.
	Outcome func(values, dst []float64)
}

// The bounds of the number of trials. With fewer than minTrials no trial can
// lie beyond either end of a 95 % interval; maxBytes is what all results of all
// trials may fill.
const (
	minTrials = 40
	maxBytes  = 256 << 20
)

// Run draws the inputs of a model as often as trials says and returns how the
// results are distributed (JCGM 101:2008, 5.9 and 7). Gain errors and floors
// are rectangular; inputs that share an instrument share its gain error in
// every trial, in proportion to their own half-widths, so that
//
//	value = Value·(1 + g·GainPercent/100) + f·Floor, g and f from -1 to 1.
//
// A seed gives the same values on every machine. JCGM 101, 7.2.2 advises
// 200 000 trials; fewer than 40, and more than fit 256 MiB, are refused, as is
// a model outside of its domain. Where ctx ends first, its error is returned.
func Run(ctx context.Context, m Model, trials int, seed uint64) (*Distribution, error) {
	if err := m.check(trials); err != nil {
		return nil, err
	}
	d := &Distribution{nominal: make([]float64, m.Results), sorted: make([][]float64, m.Results), worst: make([]float64, trials)}
	for r := range d.sorted {
		d.sorted[r] = make([]float64, trials)
	}
	draw := newDrawer(m.Inputs, seed)
	results := make([]float64, m.Results)
	m.Outcome(slices.Clone(draw.values), results) // as yet the values themselves
	copy(d.nominal, results)
	for trial := range trials {
		if trial%64 == 0 && ctx.Err() != nil {
			return nil, fmt.Errorf("draw trial %d of %d: %w", trial+1, trials, ctx.Err())
		}
		draw.next()
		m.Outcome(draw.values, results)
		for r, x := range results {
			d.sorted[r][trial] = x
			d.worst[trial] = max(d.worst[trial], math.Abs(x)) // NaN stays
		}
	}
	for _, column := range d.sorted {
		if ctx.Err() != nil {
			return nil, fmt.Errorf("sort the results of %d trials: %w", trials, ctx.Err())
		}
		slices.Sort(column)
	}
	return d, nil
}

// check refuses what cannot be drawn.
func (m Model) check(trials int) error {
	if m.Outcome == nil || m.Results < 1 {
		return errors.New("a model without results cannot be drawn; give it at least one and the function that works it out")
	}
	for _, in := range m.Inputs {
		if math.IsNaN(in.Value) || math.IsInf(in.Value, 0) {
			return fmt.Errorf("input %q: a value of %g cannot be drawn; it must be a finite number", in.Name, in.Value)
		}
		for _, half := range []float64{in.GainPercent, in.Floor} {
			if !(half >= 0) || math.IsInf(half, 1) {
				return fmt.Errorf("input %q: a half-width of %g cannot be drawn; it must be a finite number, 0 or more", in.Name, half)
			}
		}
	}
	if trials < minTrials {
		return fmt.Errorf("%d trials are not enough for a 95 %% interval; that takes %d, and 200000 for two good digits of it", trials, minTrials)
	}
	if most := maxBytes / 8 / (m.Results + 1); trials > most { // and their worst
		return fmt.Errorf("%d trials of %d results take more than the %d MiB that are set aside for them; at most %d trials fit", trials, m.Results, maxBytes>>20, most)
	}
	return nil
}

// drawer draws the values of inputs, trial by trial.
type drawer struct {
	inputs []Input
	rand   *rand.Rand
	gainOf []int     // by input, into gains
	gains  []float64 // of the trial, from -1 to 1
	values []float64 // of the trial
}

// newDrawer has the inputs' own values until the first draw.
func newDrawer(inputs []Input, seed uint64) *drawer {
	d := &drawer{inputs: inputs, rand: rand.New(rand.NewPCG(seed, 0))}
	shared := map[string]int{}
	for _, in := range inputs {
		at, known := shared[in.Shared]
		if !known || in.Shared == "" {
			at = len(d.gains)
			shared[in.Shared] = at
			d.gains = append(d.gains, 0)
		}
		d.gainOf = append(d.gainOf, at)
		d.values = append(d.values, in.Value)
	}
	return d
}

// next draws every gain error once, and after them every floor.
func (d *drawer) next() {
	for g := range d.gains {
		d.gains[g] = d.uniform()
	}
	for i, in := range d.inputs {
		// The conversions keep machines that could from joining a product and a
		// sum into one rounding: the values would differ between machines.
		gain := float64(in.Value * (in.GainPercent / 100) * d.gains[d.gainOf[i]])
		floor := float64(in.Floor * d.uniform())
		d.values[i] = in.Value + gain + floor
	}
}

// uniform is from -1 up to 1; both steps are exact.
func (d *drawer) uniform() float64 { return 2*d.rand.Float64() - 1 }
