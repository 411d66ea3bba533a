package coupled

import (
	"math"
	"slices"

	"shuntwright/match/coupled/candidate"
	"shuntwright/match/coupled/goal"
	"shuntwright/match/coupled/plan"
)

// dfs is one depth-first search for plans that keep to a goal.
type dfs struct {
	*plan.Record
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

func newDFS(s *plan.Record) *dfs {
	d := &dfs{Record: s, dirty: make([]bool, s.Ranges), light: make([]int, len(s.Tables)), held: make([]bool, len(s.Tables)), side: make([]float64, s.Ranges),
		slopes: make([][]float64, s.Ranges)}
	for r, slots := range s.Links.Slots {
		d.slopes[r] = slices.Repeat([]float64{math.Inf(1)}, len(slots))
	}
	d.doubt, d.market = newDoubt(s.Gauge), newMarket(s.Gauge)
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
	return d.found, !d.cut && !d.Ended
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
		n.narrow(int32(s), d.lists[s], &d.Tables[s])
		if !d.alive(n, int32(s)) {
			return false
		}
	}
	return d.settle(n)
}

func (d *dfs) at(depth int) *node {
	if depth == len(d.nodes) {
		d.nodes = append(d.nodes, newNode(len(d.Tables), d.Parts, d.Ranges, d.doubt.traits))
	}
	return d.nodes[depth]
}

// halt tells whether to leave off.
func (d *dfs) halt() bool {
	d.Tick()
	if d.Ended || d.count >= d.limit || d.Stop() {
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
	p := d.Measure(n.chosen, d.sc.Whole)
	if p != nil && d.goal.Order != nil {
		if d.goal.Accept(p.Costs, p.Parts, slices.Equal(p.Chosen, d.Best.Chosen)) {
			d.found = true
			d.Improve(p)
		}
		return
	}
	if p == nil || !d.goal.Admits(p.Costs, p.Parts) {
		return
	}
	d.found = true
	d.Improve(p)
	if !d.first && len(d.goal.Top) < len(p.Costs) {
		d.goal.Rest = d.Better(p.Costs[len(d.goal.Top)])
	}
}
