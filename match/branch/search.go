package branch

import "slices"

// question is what a search is asked.
type question struct {
	scenario *scenario
	goal     goal      // finding plans tightens what its Order holds
	lists    [][]int32 // for each slot the candidates to look at
	first    bool      // stop at the first plan; else look for better ones than each found
	limit    int       // most nodes that seek looks at, at least 1
}

// search answers one question after the other; what it finds goes into the
// record. It is not for several goroutines at once.
type search struct {
	*record
	frame   *frame // with the scenario and the goal of the question, which finding plans tightens
	windows *cutter
	rules   *rules
	asked   question

	nodes []*node   // one a depth
	side  []float64 // room for moved
	count int       // nodes so far
	found bool
	cut   bool // ended before everything was looked at
}

// newSearch returns a search for plans that are measured by the gauge of a record.
func newSearch(s *record) *search {
	f := newFrame(s.gauge)
	return &search{record: s, frame: f, windows: newCutter(f), rules: newRules(f), side: make([]float64, s.ranges)}
}

// hold says whether searches from now on must fill slot s even where their
// scenario lets it stay open.
func (d *search) hold(s int, must bool) { d.frame.held[s] = must }

// seek searches one scenario. It tells whether a plan was found and whether
// everything was looked at: if so and not found, there is none.
func (d *search) seek(q question) (found, complete bool) {
	d.asked, d.count, d.found, d.cut = q, 0, false, false
	if d.root(q) != nil {
		d.descend(0)
	}
	return d.found, !d.cut && !d.ended
}

// root returns the first node of a search with all that follows there, until
// the next search, or nil if nothing is possible.
func (d *search) root(q question) *node {
	d.frame.goal, d.frame.scenario = q.goal, q.scenario
	d.windows.fewest = 0
	for s, must := range q.scenario.must {
		if must {
			d.windows.fewest += int(d.tables[s].least)
		}
	}
	n := d.at(0)
	if !d.frame.start(n, q.lists) || !d.settle(n) {
		return nil
	}
	return n
}

// at returns the node of a depth, a new one where no search has been so deep.
func (d *search) at(depth int) *node {
	if depth == len(d.nodes) {
		d.nodes = append(d.nodes, newNode(d.gauge))
	}
	return d.nodes[depth]
}

// halt tells whether to leave off: with the first plan where that is what was
// asked for, or else before everything was looked at, which cut remembers.
func (d *search) halt() bool {
	d.tick()
	if d.ended || d.count >= d.asked.limit || d.stop() {
		d.cut = true
	}
	return d.cut || d.found && d.asked.first
}

// descend looks at everything below a node that is settled.
func (d *search) descend(depth int) {
	d.count++
	n := d.at(depth)
	s := d.scarcest(n)
	if s < 0 {
		d.leaf(n)
		return
	}
	if len(n.live[s]) > few {
		if wide := d.widest(n); wide >= 0 {
			d.halve(depth, wide)
			return
		}
	}
	d.each(depth, s)
}

// visit makes a child of the node above by a change, settles it and goes on below.
func (d *search) visit(depth int, change func(*node)) {
	n := d.at(depth)
	n.follow(d.nodes[depth-1])
	d.frame.forget()
	change(n)
	if d.settle(n) {
		d.descend(depth)
	}
}

// leaf looks at a plan with nothing left to decide.
func (d *search) leaf(n *node) {
	g := &d.frame.goal
	p := d.measure(n.chosen, d.frame.scenario.whole)
	if p != nil && g.order != nil {
		if g.accept(p.costs, p.parts, slices.Equal(p.chosen, d.best.chosen)) {
			d.found = true
			d.improve(p)
		}
		return
	}
	if p != nil && g.bar != nil {
		d.overBar(p)
		return
	}
	if p == nil || !g.admits(p.costs, p.parts) {
		return
	}
	d.found = true
	d.improve(p)
	if !d.asked.first && len(g.top) < len(p.costs) {
		g.rest = d.better(p.costs[len(g.top)])
	}
}

// settle draws every conclusion at n: windows, levels and parts, until none
// follows any more. It returns false where nothing is possible below n.
func (d *search) settle(n *node) bool {
	for !d.ended {
		if !d.windows.shrink(n) || !d.windows.rank(n) {
			return false
		}
		if d.frame.stale > 0 {
			continue
		}
		if !d.windows.mistrust(n) {
			return false
		}
		if d.frame.stale > 0 {
			continue
		}
		changed, ok := d.rules.share(n)
		if !ok {
			return false
		}
		if !changed {
			return true
		}
	}
	return false
}
