package meter

import (
	"fmt"
	"slices"
	"strings"
)

// fed is a circuit in front of a ring that stays across the movement: it feeds
// the tap of one of the ring's ranges.
type fed struct {
	Circuit
	tap string // the range, by name
}

// NoRing is the error of a circuit that is to feed a tap which no ring of the
// meter has.
type NoRing struct {
	Circuit   int // index among those given to New
	What, Way string
}

func (e *NoRing) Error() string { return e.What + "; " + e.Way }

// joinRings puts the rings behind the circuits that feed them: what such a
// circuit has in the lead stays in the lead of the tap's range, so that the
// sections below the tap lie across the movement and those above it are in its
// branch.
func (m *Meter) joinRings() error {
	m.taps = slices.Repeat([]int{-1}, len(m.Circuits))
	for i, c := range m.Circuits {
		f, feeds := c.(fed)
		if !feeds {
			continue
		}
		at, known := m.FindRange(f.tap)
		if known {
			_, known = m.Circuits[m.ranges[at].Circuit].(ring)
		}
		if !known {
			return m.noRing(i, f.tap)
		}
		m.taps[i] = at
	}
	for r, rng := range m.ranges {
		if at := m.taps[rng.Circuit]; at >= 0 {
			m.paths[r] = Path{append(m.paths[r].Lead, m.paths[at].Lead...), m.paths[at].Across, m.paths[at].Branch}
		}
	}
	return nil
}

func (m *Meter) noRing(circuit int, tap string) error {
	var taps []string
	for _, r := range m.ranges {
		if _, is := m.Circuits[r.Circuit].(ring); is {
			taps = append(taps, fmt.Sprintf("%q", r.Name))
		}
	}
	e := &NoRing{circuit, fmt.Sprintf("%q is not one range of a ring", tap), "name the one that is fed: " + strings.Join(taps, ", ")}
	if len(taps) == 0 {
		e.Way = "this meter has no ring"
	}
	return e
}

// Tap is the range of a ring, by index, whose tap circuit i of Circuits feeds
// while the ring stays across the movement; false where it feeds the movement
// itself.
func (m *Meter) Tap(circuit int) (r int, feeds bool) { return m.taps[circuit], m.taps[circuit] >= 0 }

// RingsSwitchedOut reports whether the meter has a ring, and voltage ranges
// that could be fed to its taps, and none of them is.
func (m *Meter) RingsSwitchedOut() bool {
	rings, multipliers := false, false
	for _, c := range m.Circuits {
		_, is := c.(ring)
		rings = rings || is
		kind, _ := FindKind(c.Kind())
		multipliers = multipliers || kind.Feeds
	}
	return rings && multipliers && !slices.ContainsFunc(m.taps, func(at int) bool { return at >= 0 })
}

// targetsOf is what the positions of a circuit must be. The tap of a ring is to
// it what the movement is to others: it takes the current of the tap's range
// for the last mark, and has the resistance between that range's terminals:
// Im·L/T amperes and T·(L − T)/L ohms, where L is the loop of ring and movement
// and T the ring below the tap.
func (m *Meter) targetsOf(circuit int) ([]float64, error) {
	at, feeds := m.Tap(circuit)
	if !feeds {
		return m.Circuits[circuit].Targets(m.Movement)
	}
	ringAt := m.ranges[at].Circuit
	sections, err := m.targetsOf(ringAt)
	if err != nil {
		return nil, err
	}
	st := m.State(slices.Repeat([]float64{nan}, len(m.positions)))
	for _, p := range m.positions {
		if p.Circuit == ringAt {
			st.Ohms[p.Resistor], sections = sections[0], sections[1:]
		}
	}
	return m.Circuits[circuit].Targets(NewMovement(m.ranges[at].FullScale, m.divider(st, at).input()))
}
