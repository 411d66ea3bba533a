package coupled

import (
	"math"
	"shuntwright/match/coupled/candidate"
	"shuntwright/match/coupled/goal"
	"slices"
)

// dfs is one depth-first search for plans that keep to a goal.
type dfs struct {
	*solver
	goal     goal.Goal
	sc       *goal.Scenario
	lists    [][]int32 // for each slot the candidates to look at
	held     []bool    // for each slot whether it must be filled though the scenario lets it stay open
	scarcity scarcity
	first    bool // stop at the first plan; else lower goal.rest below each plan found
	limit    int  // most nodes

	nodes  []*node     // one a depth
	dirty  []bool      // for each range whether its windows must be looked at again
	stale  int         // how many are
	light  []int       // room for weigh
	side   []float64   // room for moved
	sorted []float64   // room for costs
	slopes [][]float64 // for each range how much each of its slots moved it for a step of one when last seen; +Inf: not yet
	doubt  doubt
	market market
	count  int // nodes so far
	found  bool
	cut    bool // ended before everything was looked at
}

func newDFS(s *solver) *dfs {
	d := &dfs{solver: s, dirty: make([]bool, s.p.Ranges), light: make([]int, len(s.p.Slots)), held: make([]bool, len(s.p.Slots)), side: make([]float64, s.p.Ranges),
		slopes: make([][]float64, s.p.Ranges)}
	for r, slots := range s.links.slots {
		d.slopes[r] = slices.Repeat([]float64{math.Inf(1)}, len(slots))
	}
	d.doubt, d.market = newDoubt(s), newMarket(s)
	return d
}

// seek searches one scenario. It tells whether a plan was found and whether everything was looked at: if so and not found, there is none.
func (d *dfs) seek(sc *goal.Scenario, g goal.Goal, lists [][]int32) (found, complete bool) {
	d.goal, d.sc, d.lists = g, sc, lists
	d.count, d.found, d.cut = 0, false, false
	d.scarcity = scarcity{credit: trust}
	if d.root() {
		d.descend(0)
	}
	return d.found, !d.cut && !d.ended
}

// root makes the first node and settles it.
func (d *dfs) root() bool {
	n := d.at(0)
	n.ajar = d.sc.Open
	for p := range n.owner {
		n.owner[p] = candidate.Nobody
	}
	d.forget()
	clear(n.seen)
	clear(n.floor)
	for _, r := range d.sc.Ranges {
		n.caps[r], n.least[r], n.most[r] = d.goal.Level(0), 0, math.Inf(1)
		d.touchRange(r)
	}
	for s := range n.chosen {
		n.chosen[s] = candidate.Undecided
		n.narrow(int32(s), d.lists[s], &d.tables[s])
		if !d.alive(n, int32(s)) {
			return false
		}
	}
	return d.settle(n)
}

func (d *dfs) at(depth int) *node {
	if depth == len(d.nodes) {
		d.nodes = append(d.nodes, newNode(len(d.p.Slots), d.p.Parts, d.p.Ranges, d.doubt.traits))
	}
	return d.nodes[depth]
}

// halt tells whether to leave off.
func (d *dfs) halt() bool {
	d.tick()
	if d.ended || d.count >= d.limit || d.stop() {
		d.cut = true
	}
	return d.cut || d.found && d.first
}

// descend looks at everything below a node that is settled.
func (d *dfs) descend(depth int) {
	d.count++
	n := d.at(depth)
	if !d.packs(n) {
		return
	}
	s := d.scarcest(n)
	if s < 0 {
		d.leaf(n)
		return
	}
	if len(n.live[s]) > few {
		wide, moved := d.widest(n)
		if slot, k := d.doubtful(n, rather*moved); slot >= 0 {
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

// forget drops what a node that was given up has left to look at.
func (d *dfs) forget() {
	clear(d.dirty)
	d.stale = 0
}

// visit makes a child of the node above by a change, settles it and goes on below.
func (d *dfs) visit(depth int, change func(*node)) {
	n := d.at(depth)
	n.follow(d.nodes[depth-1])
	d.forget()
	change(n)
	if d.settle(n) {
		d.descend(depth)
	}
}

// leaf looks at a plan with nothing left to decide.
func (d *dfs) leaf(n *node) {
	p := d.measure(n.chosen, d.sc)
	if p != nil && d.goal.Order != nil {
		if d.goal.Accept(p.costs, p.parts, slices.Equal(p.chosen, d.best.chosen)) {
			d.found = true
			d.improve(p)
		}
		return
	}
	if p == nil || !d.goal.Admits(p.costs, p.parts) {
		return
	}
	d.found = true
	d.improve(p)
	if !d.first && len(d.goal.Top) < len(p.costs) {
		d.goal.Rest = d.better(p.costs[len(d.goal.Top)])
	}
}
