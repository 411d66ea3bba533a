// Package matchtest helps to test what has to do with matching: a kit that
// holds a Response to its contract, and brute force, slow and obvious, to hold
// a fast search against.
//
// Check asks a Response at random points of its domain and compares what it
// says with what it does. Every and Networks build all networks of a few parts, and
// Best and BestPlan try every assignment of them to slots. Nothing here shares code
// with the searches it tests but the networks themselves. Read reads the drawers and
// meters with proven optima in testdata/joint, and a Meter knows what these do by
// closed formulas.
package matchtest

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"

	"shuntwright/match"
)

// TB is the part of testing.TB that Check needs.
type TB interface {
	Helper()
	Errorf(format string, args ...any)
}

// Check reports to t where resp breaks the contract of a Response with so many
// ranges and slots: Errors fills dst for every range with finite numbers, gives
// the same at the same point, ErrorOf, if there is one, gives the same too,
// Errors leaves ohms alone, and moves as Rising says when one slot grows, not
// at all where Rising is 0. sample returns a point of the domain, drawn with
// rng; any box between two such points must belong to the domain. So many
// trials are made, the same in every run; each moves a slot to where it stands
// at another point, and by the last digits alone, where rounding shows.
// match.Rounding is forgiven, in proportion for errors beyond 100 %.
func Check(t TB, resp match.Response, ranges, slots int, sample func(rng *rand.Rand) []float64, trials int) {
	t.Helper()
	rng := rand.New(rand.NewPCG(1, 2))
	for r := range ranges {
		for s := range slots {
			if sign := resp.Rising(r, s); sign < -1 || sign > 1 {
				t.Errorf("Rising(%d, %d) = %d; want -1, 0 or +1", r, s, sign)
				return
			}
		}
	}
	for range trials {
		a, b := sample(rng), sample(rng)
		if len(a) != slots || len(b) != slots {
			t.Errorf("sample returns %d and %d values; want %d", len(a), len(b), slots)
			return
		}
		if err := checkAt(resp, ranges, a, b, rng.IntN(max(slots, 1))); err != nil {
			t.Errorf("%v", err)
			return
		}
	}
}

// checkAt looks at point a, and at it with slot s moved to where it stands in b
// and by a few units in the last place.
func checkAt(resp match.Response, ranges int, a, b []float64, s int) error {
	before, err := errorsAt(resp, ranges, a)
	if err != nil || len(a) == 0 {
		return err
	}
	beside := a[s]
	for range 5 {
		beside = math.Nextafter(beside, b[s])
		for _, to := range []float64{beside, b[s]} {
			if err := checkMove(resp, before, a, s, to); err != nil {
				return err
			}
		}
	}
	return nil
}

// checkMove moves slot s of point a, where the errors are those before.
func checkMove(resp match.Response, before, a []float64, s int, to float64) error {
	moved := slices.Clone(a)
	moved[s] = to
	after, err := errorsAt(resp, len(before), moved)
	if err != nil {
		return err
	}
	for r := range before {
		step := after[r] - before[r]
		if to < a[s] {
			step = -step
		}
		if err := checkStep(resp.Rising(r, s), step, max(1, math.Abs(before[r])/100, math.Abs(after[r])/100)); err != nil {
			return fmt.Errorf("range %d, slot %d between %v and %v of %v: %w", r, s, a[s], to, a, err)
		}
	}
	return nil
}

// checkStep holds the change of an error of that many hundred percent for a
// slot that grows against the sign that was promised.
func checkStep(sign int, step, hundreds float64) error {
	switch {
	case sign == 0 && step != 0:
		return fmt.Errorf("moves by %v where Rising is 0", step)
	case float64(sign)*step < -match.Rounding*hundreds:
		return fmt.Errorf("moves by %v as the slot grows, where Rising is %+d", step, sign)
	}
	return nil
}

// errorsAt asks for the errors twice, into memory filled with different things,
// and returns them if all is as it should be.
func errorsAt(resp match.Response, ranges int, ohms []float64) ([]float64, error) {
	given := slices.Clone(ohms)
	first, second := make([]float64, ranges), make([]float64, ranges)
	for r := range ranges {
		first[r], second[r] = math.NaN(), math.Inf(1)
	}
	resp.Errors(first, given)
	resp.Errors(second, given)
	if !slices.Equal(given, ohms) {
		return nil, fmt.Errorf("ohms are changed by Errors from %v to %v", ohms, given)
	}
	for r := range ranges {
		if math.IsNaN(first[r]) || math.IsInf(first[r], 0) || math.IsNaN(second[r]) || math.IsInf(second[r], 0) {
			return nil, fmt.Errorf("the error of range %d at %v is %v and %v; want it finite", r, ohms, first[r], second[r])
		}
		if first[r] != second[r] {
			return nil, fmt.Errorf("the error of range %d at %v is %v at first and %v then", r, ohms, first[r], second[r])
		}
		if one, is := resp.(match.Single); is && one.ErrorOf(r, given) != first[r] {
			return nil, fmt.Errorf("the error of range %d at %v is %v among others and %v alone", r, ohms, first[r], one.ErrorOf(r, given))
		}
	}
	return first, nil
}
