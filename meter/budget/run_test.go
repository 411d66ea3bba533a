package budget

import (
	"context"
	"errors"
	"math"
	"slices"
	"strings"
	"testing"
)

// The values are the same on every machine: those of the first trial were
// worked out with whole numbers of any size from the published generator,
// PCG with 128 bits of state and the DXSM output, state 1·2⁶⁴ before it starts.
func TestSameSeedSameValues(t *testing.T) {
	record := func(seed uint64) (drawn []float64) {
		m := values(Input{Value: 1000, GainPercent: 1, Floor: 0.1, Shared: "bridge"}, Input{Value: 50, Floor: 1})
		m.Outcome = func(values, dst []float64) { drawn = append(drawn, values...); copy(dst, values) }
		if d := run(t, m, 50, seed); d.Summary(0).Nominal != 1000 || d.Summary(1).Nominal != 50 {
			t.Errorf("nominal %g and %g, want the inputs' own", d.Summary(0).Nominal, d.Summary(1).Nominal)
		}
		return drawn
	}
	one := record(1)
	if !slices.Equal(one, record(1)) {
		t.Error("other values for the same seed")
	}
	if slices.Equal(one, record(2)) {
		t.Error("the same values for another seed")
	}
	if want := []float64{1000, 50, 994.6784636398389, 49.978926293847735}; !slices.Equal(one[:4], want) {
		t.Errorf("%v, want the inputs' own values and those drawn first, %v", one[:4], want)
	}
}

func TestRunRefuses(t *testing.T) {
	good := values(Input{Name: "R1", Value: 1, Floor: 1})
	with := func(in Input) Model { in.Name = "R1"; return values(in) }
	tests := []struct {
		name   string
		model  Model
		trials int
		want   string
	}{
		{"no trials", good, 0, "0 trials are not enough for a 95 % interval; that takes 40"},
		{"fewer than none", good, -1, "-1 trials are not enough"},
		{"too few trials", good, 39, "39 trials are not enough"},
		{"too many trials", good, 1<<24 + 1, "at most 16777216 trials fit"},
		{"far too many trials", good, math.MaxInt, "256 MiB"},
		{"too many results", Model{Results: 1 << 24, Outcome: good.Outcome}, 40, "at most 1 trials fit"},
		{"no results", Model{Outcome: good.Outcome}, 40, "without results"},
		{"no outcome", Model{Results: 1}, 40, "without results"},
		{"not a number", with(Input{Value: math.NaN()}), 40, `input "R1": a value of NaN`},
		{"infinite", with(Input{Value: math.Inf(-1)}), 40, `input "R1": a value of -Inf`},
		{"negative gain", with(Input{GainPercent: -1}), 40, `input "R1": a half-width of -1`},
		{"unknown floor", with(Input{Floor: math.NaN()}), 40, `input "R1": a half-width of NaN`},
		{"infinite floor", with(Input{Floor: math.Inf(1)}), 40, `input "R1": a half-width of +Inf`},
	}
	for _, test := range tests {
		d, err := Run(t.Context(), test.model, test.trials, 1)
		if err == nil || d != nil || !strings.Contains(err.Error(), test.want) {
			t.Errorf("%s: %v, want an error with %q", test.name, err, test.want)
		}
	}
	if _, err := Run(t.Context(), good, 40, 1); err != nil {
		t.Errorf("40 trials: %v", err)
	}
}

func TestRunHeedsTheContext(t *testing.T) {
	for _, last := range []int{0, 300, 1000} { // trials until the context ends
		ctx, cancel := context.WithCancel(t.Context())
		trials := 0
		m := values(Input{Value: 1, Floor: 1})
		m.Outcome = func(values, dst []float64) {
			if trials == last {
				cancel()
			}
			trials++
		}
		if d, err := Run(ctx, m, 1000, 1); d != nil || !errors.Is(err, context.Canceled) || trials > last+65 {
			t.Errorf("cancelled in trial %d: %v after %d", last, err, trials)
		}
		cancel()
	}
}
