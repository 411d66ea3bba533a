// Package survey tells which resistors of a set have drifted out of tolerance,
// and what the drawer has for them.
package survey

import (
	"context"
	"math"

	"shuntwright/cmd/shuntwright/internal/asbuilt"
	"shuntwright/inventory"
	"shuntwright/match"
	"shuntwright/match/network"
	"shuntwright/match/solve"
	"shuntwright/meter/budget"
	"shuntwright/meter/wiring"
)

// The verdicts on a part. One that was not measured has none.
const (
	verdictIn        = "in"
	verdictOut       = "out"
	verdictUndecided = "undecided"
)

// Part is a resistor of the set, judged.
type Part struct {
	inventory.SetPart
	Measured inventory.Measured
	Drift    float64       // percent of the nominal value; NaN where there is no reading
	Limit    budget.Result // of the drift
	Verdict  string

	Network  wiring.Network // what takes its place; the zero Network for nothing
	Leaves   []asbuilt.Leaf
	Demanded rating // what its place may ask of a part
}

// replaced tells whether something was found to take the part's place.
func (p Part) replaced() bool { return len(p.Leaves) > 0 }

// Ohms is what takes the part's place.
func (p Part) Ohms() float64 { return p.Network.Resistance(asbuilt.Values(p.Leaves)) }

// rating is what is marked on a resistor; NaN where nobody knows.
type rating struct {
	watts, volts float64
	usual        bool // volts is not marked, and is what such parts bear
}

// Survey is a set on the bench.
type Survey struct {
	Bench  *asbuilt.Bench
	Parts  []Part
	Chosen []int // parts of the drawer that may be taken, by index
	Wishes
	Proven bool // no better choice of replacements exists
}

// Wishes are what is asked of replacements.
type Wishes struct {
	AtMost int  // parts verdictIn one place, 1 to 4
	Enough bool // any value within the tolerance will do, and fewer parts win
}

// Judge holds every part against its tolerance, by the decision rule of check:
// with the limit of the reading as guard band on both sides. An error is that of
// a part whose instrument is not known.
func Judge(b *asbuilt.Bench, set []inventory.SetPart, w Wishes) (*Survey, error) {
	s := &Survey{Bench: b, Wishes: w, Proven: true}
	for _, one := range set {
		p := Part{SetPart: one, Drift: math.NaN(), Demanded: demand(one.Part)}
		switch {
		case one.Open:
			p.Verdict = verdictOut
		case one.Part.Measured():
			var err error
			one.Part.ID = one.Ref // for the words of errors and warnings
			if p.Measured, err = b.Instruments.Measure(one.Part); err != nil {
				return nil, err
			}
			perOhm := 100 / one.Part.Nominal.Base
			p.Drift = perOhm*p.Measured.Ohms - 100
			p.Limit = budget.Combine(budget.Sources([]budget.Input{{Value: p.Measured.Ohms, Slope: perOhm, GainPercent: p.Measured.GainPercent, Floor: p.Measured.FloorOhms}}))
			p.Verdict = map[string]string{"pass": verdictIn, "fail": verdictOut, "undecided": verdictUndecided}[asbuilt.Decide(p.Drift, p.Limit.Limit, one.Part.TolerancePercent)]
		}
		s.Parts = append(s.Parts, p)
	}
	return s, nil
}

// count is how many parts have this verdict.
func (s *Survey) count(verdict string) int {
	n := 0
	for _, p := range s.Parts {
		if p.Verdict == verdict {
			n++
		}
	}
	return n
}

// usualVolts is the limiting element voltage of carbon composition parts by
// their watts (two makers' data sheets: 250, 350 and 500 V for a quarter, a
// half and one watt; that of two watts from memory), NaN for others.
func usualVolts(watts float64) float64 {
	for _, one := range []struct{ watts, volts float64 }{{0.25, 250}, {0.5, 350}, {1, 500}, {2, 750}} {
		if math.Abs(watts/one.watts-1) < 1e-9 {
			return one.volts
		}
	}
	return math.NaN()
}

// demand is what is marked on a part, with the usual volts where they are not.
func demand(p inventory.Part) rating {
	r := rating{watts: p.Watts, volts: p.Volts}
	if math.IsNaN(r.volts) {
		r.volts = usualVolts(p.Watts)
		r.usual = !math.IsNaN(r.volts)
	}
	return r
}

// amperes is the largest current that a part of this rating bears at its
// nominal resistance: what takes its place has to bear that too. NaN where
// nothing is known.
func (r rating) amperes(ohms float64) float64 {
	most := math.Inf(1)
	if !math.IsNaN(r.watts) {
		most = math.Sqrt(r.watts / ohms)
	}
	if !math.IsNaN(r.volts) {
		most = min(most, r.volts/ohms)
	}
	if math.IsInf(most, 1) {
		return math.NaN()
	}
	return most
}

// Replace finds what takes the place of the parts that are out, no part of the
// drawer twice: within the tolerance, and rated for what the old part bore. The
// largest error, as a share of the tolerance, is as small as it can be, then the
// next; then it takes fewer parts.
func (s *Survey) Replace(ctx context.Context) error {
	var at []int
	var p match.Problem
	var resp response
	for i, one := range s.Parts {
		if one.Verdict != verdictOut {
			continue
		}
		nominal, tolerance := one.Part.Nominal.Base, one.Part.TolerancePercent
		at = append(at, i)
		p.Needs = append(p.Needs, match.Need{Target: nominal, Within: tolerance / 100, AtMost: s.AtMost,
			Keep: math.NaN(), KeepBears: math.Inf(1), Flow: one.Demanded.amperes(nominal), Drop: math.NaN()})
		resp = append(resp, tolerated{nominal, tolerance})
	}
	if len(at) == 0 || len(s.Chosen) == 0 {
		return nil
	}
	p.Ranges, p.Response, p.Class, p.Resolution = len(resp), resp, 100, step
	if s.Enough {
		p.Enough = p.Class
	}
	stock, err := s.Bench.Stock(s.Chosen, 1) // rating against rating: neither is derated
	if err != nil {
		return err
	}
	plan, err := solve.Plan(ctx, stock, p)
	if err != nil {
		return err
	}
	s.Proven = plan.Proven
	for k, n := range plan.Networks {
		if err := s.take(&s.Parts[at[k]], n); err != nil {
			return err
		}
	}
	return nil
}

// step is what counts as a difference between two errors, verdictIn percent of the
// tolerance: a twentieth of it is no reason for one more part.
const step = 5

// take puts a network of the search verdictIn the place of a part.
func (s *Survey) take(p *Part, n network.Network) (err error) {
	if n.IsZero() {
		return nil
	}
	p.Network = s.Bench.Wire(n, s.Chosen, wiring.Network{})
	p.Leaves, err = s.Bench.Resistors(p.Network, "")
	return err
}

// tolerated is a nominal value and its tolerance verdictIn percent.
type tolerated struct{ nominal, percent float64 }

// response tells how far networks are off, each verdictIn percent of its tolerance.
type response []tolerated

func (r response) Errors(dst, ohms []float64) {
	for i := range r {
		dst[i] = r.ErrorOf(i, ohms)
	}
}

// ErrorOf is the error of one part's place alone.
func (r response) ErrorOf(i int, ohms []float64) float64 {
	return 1e4 * (ohms[i]/r[i].nominal - 1) / r[i].percent
}

func (r response) Rising(i, slot int) int {
	if i == slot {
		return 1
	}
	return 0
}
