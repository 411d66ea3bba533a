package assign

import (
	"math"
	"slices"

	"shuntwright/match/assign/sat"
)

// shared is something of which options of several positions take units, while a
// choice is repaired.
type shared struct {
	room, used, weight int32
	holders            []int32 // positions
}

// share lays out what the rules make options share: what earlier stages left
// room for, the counters, the sum of costs and of parts.
func (m *repairer) share() {
	room := slices.Clone(m.rules.room)
	m.above = m.rules.counters(&room)
	room = append(room, int32(min(m.rules.sum, math.MaxInt32)), int32(min(m.rules.parts, math.MaxInt32)))
	m.shared = make([]shared, len(room))
	for k, r := range room {
		m.shared[k].room = r
	}
}

// useOf returns what an option of position i takes of what is shared, until it
// is called again.
func (m *repairer) useOf(i int32, o option) []sat.Use {
	m.uses = m.uses[:0]
	if o.isOpen() {
		return nil
	}
	for _, t := range o.takes {
		m.uses = append(m.uses, sat.Use{Resource: t, Units: 1})
	}
	for _, c := range m.above {
		if !m.rules.carried[i] && o.cost > c.above {
			m.uses = append(m.uses, sat.Use{Resource: c.resource, Units: 1})
		}
	}
	last := int32(len(m.shared) - 1)
	if m.rules.sum < math.MaxInt && o.cost > 0 {
		m.uses = append(m.uses, sat.Use{Resource: last - 1, Units: int32(o.cost)})
	}
	if m.rules.parts < math.MaxInt && len(o.parts) > 0 {
		m.uses = append(m.uses, sat.Use{Resource: last, Units: int32(len(o.parts))})
	}
	return m.uses
}

// hold lets position i have an option whose parts are free.
func (m *repairer) hold(i int32, o option) {
	m.put(int(i), o)
	for _, u := range m.useOf(i, o) {
		s := &m.shared[u.Resource]
		s.used += u.Units
		s.holders = append(s.holders, i)
	}
}

// lose takes the option of position i away.
func (m *repairer) lose(i int32) {
	o := m.choice[i]
	m.take(o)
	for _, u := range m.useOf(i, o) {
		s := &m.shared[u.Resource]
		s.used -= u.Units
		at := slices.Index(s.holders, i)
		s.holders = slices.Delete(s.holders, at, at+1)
	}
	m.choice[i] = open
	m.lost = append(m.lost, i)
}

// evict throws out holders of something shared, but not position but, until
// there is room for those that are left.
func (m *repairer) evict(k int, but int32) {
	s := &m.shared[k]
	for s.used > s.room {
		s.weight = min(s.weight+1, heavy)
		from := int(m.next()>>8) % len(s.holders)
		for n := 1; s.holders[from] == but && n < len(s.holders); n++ {
			from = (from + 1) % len(s.holders)
		}
		m.lose(s.holders[from])
	}
}

// next draws a number; any without a pattern do.
func (m *repairer) next() uint32 {
	m.draw = m.draw*1664525 + 1013904223
	return m.draw
}
