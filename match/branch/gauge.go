package branch

import (
	"context"

	"shuntwright/match"
)

// attributes returns how many attributes the first candidate has, and whether
// there is one.
func (p Problem) attributes() (count int, any bool) {
	for _, list := range p.Slots {
		for _, c := range list {
			return len(c.Attributes), true
		}
	}
	return 0, false
}

// gauge tells the errors of ranges for values of the slots and counts how often
// it does. It is not for several goroutines at once.
type gauge struct {
	context    context.Context
	tables     []table // of each slot
	links      links
	limits     Limits    // nil where they do not count
	parts      int       // how many there are
	ranges     int       // how many there are
	attributes int       // how many each candidate has, 0 where limits do not count
	floors     bool      // whether limits count and there are candidates
	values     []float64 // of the slots, for eval and evalAll, which leave them alone
	errors     []float64 // of the ranges in percent of full scale, from evalAll
	work       int       // how many times the response has been asked
	ended      bool      // the context has ended or the response has failed
	err        error     // how the response has failed

	response match.Response
	single   match.Single // nil: the response gives all errors or none
	ticks    int
}

// newGauge returns a gauge whose values are those of the first candidates.
func newGauge(ctx context.Context, p Problem) *gauge {
	g := &gauge{context: ctx, parts: p.Parts, ranges: p.Ranges, response: p.Response, limits: p.Limits, tables: make([]table, len(p.Slots)),
		links: newLinks(p.Response, p.Ranges, len(p.Slots)), errors: make([]float64, p.Ranges), values: make([]float64, len(p.Slots))}
	g.single, _ = p.Response.(match.Single)
	attributes, any := p.attributes()
	if p.Limits != nil {
		g.attributes, g.floors = attributes, any
	}
	for i, list := range p.Slots {
		g.tables[i] = newTable(list, int32(p.Parts), attributes)
		g.values[i] = 1
		if len(list) > 0 {
			g.values[i] = list[0].Value
		}
	}
	return g
}

// eval returns the error of range r at values; Errors may change.
func (g *gauge) eval(r int32) float64 {
	if g.single == nil {
		g.evalAll()
		return g.errors[r]
	}
	g.work++
	g.tick()
	return g.single.ErrorOf(int(r), g.values)
}

// evalAll puts the errors of all ranges at values into Errors.
func (g *gauge) evalAll() {
	g.work++
	g.tick()
	g.response.Errors(g.errors, g.values)
}

// tick looks at the context now and then; it is called in every innermost loop.
func (g *gauge) tick() {
	g.ticks++
	if g.ticks&127 == 0 && g.context.Err() != nil {
		g.ended = true
	}
}

// over tells whether to end at once.
func (g *gauge) over() bool {
	g.ended = g.ended || g.context.Err() != nil
	return g.ended
}

// better returns the level of a cost below which one counts as smaller.
func (g *gauge) better(cost float64) float64 { return better(cost, g.limits != nil) }
