package assign

import (
	"context"
	"math"
	"slices"

	"shuntwright/match/assign/sat"
)

const (
	effort   = 4000        // looks that cost less than a relaxation
	thorough = 16 * effort // looks for the first choice
	fixed    = 20          // what a step of repairing costs besides, in looks
	heavy    = 10          // weight of a part from which on all weights are halved
	random   = 4           // prices are told apart in units of so many chances
)

// repairer moves a choice towards the rules by min-conflicts search: a position
// that has lost its option takes another and throws out whoever holds a part of
// it; these take another in turn, and so on. A part that is fought for gains
// weight, and is wanted less: without weights there are 1.4 times as many
// failures in the searches that follow.
type repairer struct {
	choice
	lists [][]option // what each position may take, but open
	table
	weight []int32
	shared []shared // what options take besides parts
	rules  rules
	above  []counter // those of the rules
	uses   []sat.Use // room for useOf
	bare   int       // positions that can only stay open
	lost   []int32   // other positions without an option, in the order in which they get one
	draw   uint32    // the last number drawn
	looks  int
}

// repair looks for a choice that keeps the rules near one that need not, for so
// many looks at options. It returns nil if that does not do, which says
// nothing.
func repair(c choice, r rules, parts, looks int) choice {
	m := newRepairer(c, r, parts)
	for m.looks < looks && !m.done() && len(m.lost) > 0 {
		i := m.lost[0]
		m.lost = m.lost[1:]
		m.give(i)
	}
	if m.done() && r.keeps(m.choice) {
		return m.choice
	}
	return nil
}

func newRepairer(c choice, r rules, parts int) *repairer {
	m := &repairer{choice: slices.Clone(c), table: newTable(parts), weight: make([]int32, parts), rules: r}
	m.share()
	for i, o := range c {
		list := r.within(i)
		if last := len(list) - 1; last >= 0 && list[last].isOpen() {
			list = list[:last]
		}
		m.lists = append(m.lists, list)
		if len(list) == 0 {
			m.choice[i] = open
			m.bare++
		} else if o.isOpen() || !slices.ContainsFunc(list, func(x option) bool { return x.index == o.index }) {
			m.choice[i] = open
			m.lost = append(m.lost, int32(i))
		} else {
			m.hold(int32(i), o)
		}
	}
	for k := range m.shared {
		m.evict(k, -1)
	}
	return m
}

// done tells whether all that are lost may stay open. If none may, that is
// where none is lost.
func (m *repairer) done() bool {
	return len(m.lost)+m.bare <= m.rules.opens && !slices.ContainsFunc(m.lost, func(i int32) bool {
		return !slices.ContainsFunc(m.rules.within(int(i)), option.isOpen)
	})
}

// give lets position i have the first option that is free, or else the one of
// the lowest price, with a little chance.
func (m *repairer) give(i int32) {
	best, least := open, int32(0)
	m.looks += len(m.lists[i]) + fixed
	for _, o := range m.lists[i] {
		price := m.price(i, o)
		if price == 0 {
			best = o
			break
		}
		price = price*random + int32(m.next()>>30)
		if best.isOpen() || price < least {
			best, least = o, price
		}
	}
	for _, part := range best.parts {
		if k := m.table[part] - 1; k >= 0 {
			m.weigh(part)
			m.lose(k)
		}
	}
	m.choice[i] = best
	m.hold(i, best)
	for k := range m.shared {
		m.evict(k, i)
	}
}

// price is how heavy the parts of an option of position i are that others have,
// and what else there is no room for.
func (m *repairer) price(i int32, o option) int32 {
	sum := int32(0)
	for _, part := range o.parts {
		if m.table[part] != 0 {
			sum += 1 + m.weight[part]
		}
	}
	for _, u := range m.useOf(i, o) {
		if s := &m.shared[u.Resource]; s.used+u.Units > s.room {
			sum += 1 + s.weight
		}
	}
	return sum
}

func (m *repairer) weigh(part int32) {
	if m.weight[part]++; m.weight[part] > heavy {
		for p := range m.weight {
			m.weight[p] /= 2
		}
	}
}

// improve repairs a choice again and again, as long as that does and ctx lets it
// (published instances take 1.7 times as long from a choice that is not improved):
// each time for one more position filled, then for a smaller worst cost.
func improve(ctx context.Context, c choice, r rules, parts int) choice {
	for better := c; better != nil && ctx.Err() == nil && c.filled() < len(c); {
		r.opens = len(c) - c.filled() - 1
		if better = repair(c, r, parts, thorough); better != nil {
			c = better
		}
	}
	r.opens = len(c) - c.filled()
	for better := c; better != nil && ctx.Err() == nil && c.filled() > 0 && c.points() == 0; {
		if better = repair(c, r.limited(0, math.Nextafter(c.worst(), -1)), parts, thorough); better != nil {
			c = better
		}
	}
	return c
}
