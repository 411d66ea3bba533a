// Package budget combines limits of error into the limit of a result, as the
// GUM (JCGM 100:2008) does it: every limit is a rectangular distribution, what
// one instrument measured shares that instrument's gain error, and the result
// carries a 95 % limit.
//
// It knows numbers with a slope; what they are numbers of is its callers'
// business.
package budget

import (
	"math"
	"slices"
)

// Input is one measured quantity that a result depends on. All half-widths are
// those of rectangular distributions and must be zero or positive.
type Input struct {
	// Name is what the budget calls it: a part's id, "coil".
	Name string
	// Value is the quantity, in its own unit.
	Value float64
	// Slope is the change of the result per unit of the quantity.
	Slope float64
	// GainPercent is the half-width that grows with the value, in percent of it.
	GainPercent float64
	// Shared names the instrument whose gain error this quantity carries;
	// inputs with the same name err in the same direction. Empty: its own.
	Shared string
	// Floor is the half-width that does not depend on the value, in the
	// quantity's unit; it is always the input's own.
	Floor float64
}

// Source is one independent cause of uncertainty.
type Source struct {
	// Name is the instrument's where its gain error is shared, else the input's.
	Name string
	// Gain is true for a gain error, false for a floor.
	Gain bool
	// Half is the half-width that it gives the result, in the result's unit.
	Half float64
}

// Sources turns inputs into independent sources. Gain errors that share an
// instrument are added with their signs (GUM 5.2.2, r = +1: u = |Σ c·u|), so
// that they cancel where the slopes oppose each other; every floor stands
// alone. The order is that of first appearance. A source that is zero, or
// cancels but for rounding, is left out; one that is not a number stays.
func Sources(inputs []Input) []Source {
	var sources []Source
	var gross []float64 // what each source were if nothing cancelled
	shared := map[string]int{}
	for _, in := range inputs {
		half := in.Slope * in.Value * in.GainPercent / 100
		if at, known := shared[in.Shared]; in.Shared != "" && known {
			sources[at].Half += half
			gross[at] += math.Abs(half)
		} else if half != 0 || in.Shared != "" {
			name := in.Name
			if in.Shared != "" {
				name = in.Shared
				shared[in.Shared] = len(sources)
			}
			sources, gross = append(sources, Source{Name: name, Gain: true, Half: half}), append(gross, math.Abs(half))
		}
		if in.Floor != 0 {
			half := math.Abs(in.Slope * in.Floor)
			sources, gross = append(sources, Source{Name: in.Name, Half: half}), append(gross, half)
		}
	}
	for i := range sources {
		sources[i].Half = math.Abs(sources[i].Half)
		if sources[i].Half < rounding*gross[i] {
			sources[i].Half = 0
		}
	}
	return slices.DeleteFunc(sources, func(s Source) bool { return s.Half == 0 })
}

// rounding is the part of a sum that is taken for its rounding errors: slopes
// come from sums and quotients of some ten numbers.
const rounding = 1e-12

// Result is a combined limit, in the unit of the sources.
type Result struct {
	// Limit is the half-width of the 95 % interval: Factor × Standard.
	Limit float64
	// Standard is the combined standard uncertainty.
	Standard float64
	// Factor is the coverage factor: 1.96, or 1.65 where one rectangular
	// source dominates. NaN where there is no uncertainty at all.
	Factor float64
}

// The coverage factors at 95 %: of a normal distribution, and of a rectangular
// one (0.95·√3 = 1.645, given as 1.65 in EA-4/02, S9.14).
const (
	normalFactor      = 1.96
	rectangularFactor = 1.65
)

// dominance is the ratio of all other sources together to the largest one, up
// to which the largest one sets the shape (EA-4/02, S9.14).
const dominance = 0.3

// Combine adds independent rectangular sources: u² = Σ a²/3 (GUM 4.3.7, 5.1.2),
// and chooses the coverage factor by the dominance rule. Without sources, or
// with none that is not zero, the limit is 0 and the factor NaN; a source that
// is not a number makes the limit NaN.
func Combine(sources []Source) Result {
	largest, others := 0.0, 0.0
	for _, s := range sources {
		// The others are summed apart: what is left of all after the largest is
		// taken away is too rough to be held against the dominance limit.
		half := math.Abs(s.Half)
		others = math.Hypot(others, min(half, largest))
		largest = max(largest, half)
	}
	standard := math.Hypot(largest, others) / math.Sqrt(3)
	if standard == 0 {
		return Result{Factor: math.NaN()}
	}
	factor := normalFactor
	if others <= dominance*largest {
		factor = rectangularFactor
	}
	return Result{Limit: factor * standard, Standard: standard, Factor: factor}
}

// Share is the part of the variance that a source of the result contributes, 0
// to 1; the shares of all its sources add up to 1. NaN where there is no
// uncertainty at all.
func (r Result) Share(s Source) float64 {
	ratio := s.Half / r.Standard
	return ratio * ratio / 3
}
