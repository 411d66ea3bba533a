package meter

import "math"

// FullScaleSensitivity is the percent of the reading by which every range moves
// for each percent more of the movement's full-scale current: the pointer shows
// less.
const FullScaleSensitivity = -1

// Sensitivity is how a range's reading moves with one resistance.
type Sensitivity struct {
	PerPercent float64 // percent of the reading for each percent of the resistance
	PerOhm     float64 // percent of the reading for each ohm
}

// Sensitivities tells how the reading of every range moves with every
// resistance, as [range][resistor] in the order of Ranges and Resistors: the
// exact derivatives, ∂ln(movement current)/∂R and R times that. NaN where the
// range is not whole. At full scale a percent of the reading is a percent of
// full scale times 1 + error.
func (m *Meter) Sensitivities(st State) [][]Sensitivity {
	out := make([][]Sensitivity, len(m.ranges))
	for r, p := range m.paths {
		row := make([]Sensitivity, len(m.resistors))
		lead, across, branch := m.divider(st, r).slopes()
		for _, part := range []struct {
			list  []int
			slope float64
		}{{p.Lead, lead}, {p.Across, across}, {p.Branch, branch}} {
			for _, i := range part.list {
				row[i] = Sensitivity{part.slope * st.Ohms[i], 100 * part.slope}
			}
		}
		out[r] = row
	}
	return out
}

// slopes are the relative changes of the movement's current for each ohm in the
// three resistances.
func (d divider) slopes() (lead, across, branch float64) {
	l, a, b := d.lead, d.across, d.branch
	switch {
	case !d.voltage && !d.shunted:
		return 0, 0, 0 * b
	case !d.voltage:
		return 0, b / (a * (a + b)), -1 / (a + b)
	case !d.shunted:
		return -1 / (l + b), 0, -1 / (l + b)
	}
	whole := float64(l*(a+b)) + float64(a*b)
	return -(a + b) / whole, l * b / (a * whole), -(l + a) / whole
}

// TrimStep is one step of setting a circuit up.
type TrimStep struct {
	Position int // index into Positions: what is trimmed
	Range    int // index into Ranges: what is read meanwhile
	// Disturbs is the largest percent of the reading by which one percent of
	// this trim moves a range that was finished before.
	Disturbs float64
}

// TrimOrder tells in which order the positions of a circuit are trimmed so that
// each step disturbs the finished ranges least. In a chain that is from the
// smallest range up, and nothing is disturbed. In a ring it is from the largest
// range down: each step moves the finished ranges a little, all by the same
// proportion, so a ring is set up exactly by trimming each range until it
// agrees with the finished ones, and at last what they have in common with the
// resistance in series with the movement.
func (m *Meter) TrimOrder(circuit int, st State) []TrimStep {
	var left []TrimStep
	for i, p := range m.positions {
		if p.Circuit == circuit {
			left = append(left, TrimStep{Position: i, Range: m.ownRange(i)})
		}
	}
	sensitivity := m.Sensitivities(st)
	disturbs := func(k int) float64 { // of trimming left[k] after all others
		worst := 0.0
		for j, other := range left {
			if j != k && other.Range != left[k].Range {
				worst = math.Max(worst, math.Abs(sensitivity[other.Range][m.positions[left[k].Position].Resistor].PerPercent))
			}
		}
		return worst
	}
	out := make([]TrimStep, len(left))
	for n := len(left) - 1; n >= 0; n-- {
		last := n
		for k := n - 1; k >= 0; k-- {
			if disturbs(k) < disturbs(last) {
				last = k
			}
		}
		out[n] = left[last]
		out[n].Disturbs = disturbs(last)
		left = append(left[:last], left[last+1:]...)
	}
	return out
}

// ownRange is the range that a position is named after.
func (m *Meter) ownRange(position int) int {
	p := m.positions[position]
	ranges := m.rangesOf(position)
	for _, r := range ranges {
		if m.ranges[r].Name == p.Key {
			return r
		}
	}
	return ranges[0]
}
