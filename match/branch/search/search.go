// Package search looks for plans that keep to a goal, depth first: at each node
// it draws what conclusions follow, from the levels of the goal (cutter) and
// from the parts that are left (rules), and then tries the candidates of a slot
// one by one or cuts a window in two. A search that comes to its end without a
// plan is a proof that there is none.
package search

import (
	"slices"

	"shuntwright/match/branch/node"
)

// Question is what a search is asked.
type Question struct {
	Case  *node.Scenario
	Goal  node.Goal // finding plans tightens what its Order holds
	Lists [][]int32 // for each slot the candidates to look at
	First bool      // stop at the first plan; else look for better ones than each found
	Limit int       // most nodes that Seek looks at, at least 1
}

// Search answers one question after the other; what it finds goes into the
// record. It is not for several goroutines at once.
type Search struct {
	*node.Record
	frame   *node.Frame // with the scenario and the goal of the question, which finding plans tightens
	windows *cutter
	rules   *rules
	asked   Question

	nodes []*node.Node // one a depth
	side  []float64    // room for moved
	count int          // nodes so far
	found bool
	cut   bool // ended before everything was looked at
}

// New returns a search for plans that are measured by the gauge of a record.
func New(s *node.Record) *Search {
	f := node.NewFrame(s.Gauge)
	return &Search{Record: s, frame: f, windows: newCutter(f), rules: newRules(f), side: make([]float64, s.Ranges)}
}

// Hold says whether searches from now on must fill slot s even where their
// scenario lets it stay open.
func (d *Search) Hold(s int, must bool) { d.frame.Held[s] = must }

// Seek searches one scenario. It tells whether a plan was found and whether
// everything was looked at: if so and not found, there is none.
func (d *Search) Seek(q Question) (found, complete bool) {
	d.asked, d.count, d.found, d.cut = q, 0, false, false
	if d.Root(q) != nil {
		d.descend(0)
	}
	return d.found, !d.cut && !d.Ended
}

// Root returns the first node of a search with all that follows there, until
// the next search, or nil if nothing is possible.
func (d *Search) Root(q Question) *node.Node {
	d.frame.Goal, d.frame.Case = q.Goal, q.Case
	d.windows.fewest = 0
	for s, must := range q.Case.Must {
		if must {
			d.windows.fewest += int(d.Tables[s].Least)
		}
	}
	n := d.at(0)
	if !d.frame.Start(n, q.Lists) || !d.settle(n) {
		return nil
	}
	return n
}

// at returns the node of a depth, one deeper than the last at most.
func (d *Search) at(depth int) *node.Node {
	if depth == len(d.nodes) {
		d.nodes = append(d.nodes, node.New(d.Gauge))
	}
	return d.nodes[depth]
}

// halt tells whether to leave off.
func (d *Search) halt() bool {
	d.Tick()
	if d.Ended || d.count >= d.asked.Limit || d.Stop() {
		d.cut = true
	}
	return d.cut || d.found && d.asked.First
}

// descend looks at everything below a node that is settled.
func (d *Search) descend(depth int) {
	d.count++
	n := d.at(depth)
	s := d.scarcest(n)
	if s < 0 {
		d.leaf(n)
		return
	}
	if len(n.Live[s]) > few {
		wide, moved := d.widest(n)
		if slot, k := d.windows.Doubtful(n, rather*moved); slot >= 0 {
			d.part(depth, slot, k)
			return
		}
		if wide >= 0 {
			d.halve(depth, wide)
			return
		}
	}
	d.each(depth, s)
}

// visit makes a child of the node above by a change, settles it and goes on below.
func (d *Search) visit(depth int, change func(*node.Node)) {
	n := d.at(depth)
	n.Follow(d.nodes[depth-1])
	d.frame.Forget()
	change(n)
	if d.settle(n) {
		d.descend(depth)
	}
}

// leaf looks at a plan with nothing left to decide.
func (d *Search) leaf(n *node.Node) {
	g := &d.frame.Goal
	p := d.Measure(n.Chosen, d.frame.Case.Whole)
	if p != nil && g.Order != nil {
		if g.Accept(p.Costs, p.Parts, slices.Equal(p.Chosen, d.Best.Chosen)) {
			d.found = true
			d.Improve(p)
		}
		return
	}
	if p != nil && g.Bar != nil {
		d.overBar(p)
		return
	}
	if p == nil || !g.Admits(p.Costs, p.Parts) {
		return
	}
	d.found = true
	d.Improve(p)
	if !d.asked.First && len(g.Top) < len(p.Costs) {
		g.Rest = d.Better(p.Costs[len(g.Top)])
	}
}

// settle draws every conclusion at n: windows, levels and parts, until none
// follows any more. It returns false where nothing is possible below n.
func (d *Search) settle(n *node.Node) bool {
	for !d.Ended {
		if !d.windows.Shrink(n) || !d.windows.Rank(n) {
			return false
		}
		if d.frame.Stale > 0 {
			continue
		}
		if !d.windows.Mistrust(n) {
			return false
		}
		if d.frame.Stale > 0 {
			continue
		}
		changed, ok := d.rules.Share(n)
		if !ok {
			return false
		}
		if !changed {
			return true
		}
	}
	return false
}
