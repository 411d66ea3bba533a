package node

import (
	"context"

	"shuntwright/match"
)

// Spec is what a gauge asks and of what.
type Spec struct {
	Parts    int            // how many there are
	Lists    [][]Candidate  // for each slot
	Ranges   int            // how many Response knows
	Response match.Response // may be nil where there are no ranges
	Limits   Limits         // nil where they do not count
}

// Attributes returns how many attributes the first candidate has, and whether
// there is one.
func (p Spec) Attributes() (count int, any bool) {
	for _, list := range p.Lists {
		for _, c := range list {
			return len(c.Attributes), true
		}
	}
	return 0, false
}

// Gauge tells the errors of ranges for values of the slots and counts how often
// it does. It is not for several goroutines at once.
type Gauge struct {
	Context    context.Context
	Tables     []Table // of each slot
	Links      Links
	Limits     Limits    // nil where they do not count
	Parts      int       // how many there are
	Ranges     int       // how many there are
	Attributes int       // how many each candidate has, 0 where limits do not count
	Floors     bool      // whether limits count and there are candidates
	Values     []float64 // of the slots, for Eval and EvalAll, which leave them alone
	Errors     []float64 // of the ranges in percent of full scale, from EvalAll
	Work       int       // how many times the response has been asked
	Ended      bool      // the context has ended or the response has failed
	Err        error     // how the response has failed

	response match.Response
	single   match.Single // nil: the response gives all errors or none
	ticks    int
}

// NewGauge returns a gauge whose Values are those of the first candidates.
func NewGauge(ctx context.Context, p Spec) *Gauge {
	g := &Gauge{Context: ctx, Parts: p.Parts, Ranges: p.Ranges, response: p.Response, Limits: p.Limits, Tables: make([]Table, len(p.Lists)),
		Links: newLinks(p.Response, p.Ranges, len(p.Lists)), Errors: make([]float64, p.Ranges), Values: make([]float64, len(p.Lists))}
	g.single, _ = p.Response.(match.Single)
	attributes, any := p.Attributes()
	if p.Limits != nil {
		g.Attributes, g.Floors = attributes, any
	}
	for i, list := range p.Lists {
		g.Tables[i] = newTable(list, int32(p.Parts), attributes)
		g.Values[i] = 1
		if len(list) > 0 {
			g.Values[i] = list[0].Value
		}
	}
	return g
}

// Eval returns the error of range r at Values; Errors may change.
func (g *Gauge) Eval(r int32) float64 {
	if g.single == nil {
		g.EvalAll()
		return g.Errors[r]
	}
	g.Work++
	g.Tick()
	return g.single.ErrorOf(int(r), g.Values)
}

// EvalAll puts the errors of all ranges at Values into Errors.
func (g *Gauge) EvalAll() {
	g.Work++
	g.Tick()
	g.response.Errors(g.Errors, g.Values)
}

// Tick looks at the context now and then; it is called in every innermost loop.
func (g *Gauge) Tick() {
	g.ticks++
	if g.ticks&127 == 0 && g.Context.Err() != nil {
		g.Ended = true
	}
}

// Over tells whether to end at once.
func (g *Gauge) Over() bool {
	g.Ended = g.Ended || g.Context.Err() != nil
	return g.Ended
}

// Better returns the level of a cost below which one counts as smaller.
func (g *Gauge) Better(cost float64) float64 { return better(cost, g.Limits != nil) }
