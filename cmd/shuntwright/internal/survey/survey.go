// Package survey tells which resistors of a set have drifted out of tolerance,
// and what the drawer has for them.
package survey

import (
	"context"
	"math"

	"shuntwright/cmd/shuntwright/internal/asbuilt"
	"shuntwright/inventory"
	"shuntwright/match"
	"shuntwright/match/solve"
	"shuntwright/meter/budget"
	"shuntwright/meter/reading"
	"shuntwright/meter/wiring"
)

// The verdicts on a part. One that was not measured has none.
const (
	within    = "in"
	outside   = "out"
	undecided = "undecided"
)

// part is a resistor of the set, judged.
type part struct {
	inventory.Part // ID is what the set's diagram calls it
	open           bool
	measured       inventory.Measured
	drift          float64       // percent of the nominal value; NaN where there is no reading
	limit          budget.Result // of the drift
	verdict        string
	usualVolts     bool // Volts is not marked, and is what such parts bear

	network wiring.Network // what takes its place; the zero Network for nothing
	leaves  []asbuilt.Leaf
}

// replaced tells whether something was found to take the part's place.
func (p part) replaced() bool { return len(p.leaves) > 0 }

// out tells whether the part is broken, or has drifted out of its tolerance.
func (p part) out() bool { return p.verdict == outside }

// ohms is what takes the part's place.
func (p part) ohms() float64 { return p.network.Resistance(asbuilt.Values(p.leaves)) }

// Survey is a set on the bench.
type Survey struct {
	Bench  *asbuilt.Bench
	Chosen []int // parts of the drawer that may be taken, by index
	AtMost int   // parts in one place, 1 to 4
	Enough bool  // any value within the tolerance will do, and fewer parts win

	parts  []part
	proven bool // no better choice of replacements exists
}

// Judge holds every part of a set against its tolerance, by the decision rule of
// check: with the limit of the reading as guard band on both sides. An error is
// that of a part whose instrument is not known.
func (s *Survey) Judge(set []inventory.SetPart) (err error) {
	for _, one := range set {
		p := part{Part: one.Part, open: one.Open, drift: math.NaN()}
		p.ID = one.Ref
		if math.IsNaN(p.Volts) {
			p.Volts = usualVolts(p.Watts)
			p.usualVolts = !math.IsNaN(p.Volts)
		}
		switch {
		case p.open:
			p.verdict = outside
		case p.Measured():
			if p.measured, err = s.Bench.Instruments.Measure(p.Part); err != nil {
				return err
			}
			perOhm := 100 / p.Nominal.Base
			p.drift = perOhm*p.measured.Ohms - 100
			p.limit = budget.Combine(budget.Sources([]budget.Input{asbuilt.Leaf{Measured: p.measured}.Input(perOhm)}))
			p.verdict = map[reading.Verdict]string{reading.Pass: within, reading.Fail: outside, reading.Undecided: undecided}[reading.Decide(p.drift, p.limit.Limit, p.TolerancePercent)]
		}
		s.parts = append(s.parts, p)
	}
	return nil
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

// rated tells whether watts or volts of the part are known.
func (p part) rated() bool { return !math.IsNaN(p.Watts) || !math.IsNaN(p.Volts) }

// Replace finds what takes the place of the parts that are out, no part of the
// drawer twice: within the tolerance, and rated for what the old part bore at its
// nominal resistance. The largest error, as a share of the tolerance, is as small
// as it can be, then the next; then it takes fewer parts.
func (s *Survey) Replace(ctx context.Context) error {
	var at []int
	var resp response
	p := match.Problem{Class: 100, Resolution: step}
	for i, one := range s.parts {
		if !one.out() {
			continue
		}
		flow := math.NaN()
		if one.rated() {
			flow = asbuilt.Bears(one.Part, one.Nominal.Base, 1)
		}
		at, resp = append(at, i), append(resp, one.Part)
		p.Needs = append(p.Needs, match.Need{Target: one.Nominal.Base, Within: one.TolerancePercent / 100, AtMost: s.AtMost,
			Keep: math.NaN(), KeepBears: math.Inf(1), Flow: flow, Drop: math.NaN()})
	}
	s.proven = true
	if len(at) == 0 || len(s.Chosen) == 0 {
		return nil
	}
	p.Ranges, p.Response = len(resp), resp
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
	s.proven = plan.Proven
	for k, n := range plan.Networks {
		if n.IsZero() {
			continue
		}
		p := &s.parts[at[k]]
		p.network = s.Bench.Wire(n, s.Chosen, wiring.Network{})
		if p.leaves, err = s.Bench.Resistors(p.network, ""); err != nil {
			return err
		}
	}
	return nil
}

// step is what counts as a difference between two errors, in percent of the
// tolerance: a twentieth of it is no reason for one more part.
const step = 5

// response tells how far networks in the places of parts are off, each in percent
// of its tolerance.
type response []inventory.Part

func (r response) Errors(dst, ohms []float64) {
	for i := range r {
		dst[i] = r.ErrorOf(i, ohms)
	}
}

// ErrorOf is the error of one part's place alone.
func (r response) ErrorOf(i int, ohms []float64) float64 {
	return 1e4 * (ohms[i]/r[i].Nominal.Base - 1) / r[i].TolerancePercent
}

func (r response) Rising(i, slot int) int {
	if i == slot {
		return 1
	}
	return 0
}
