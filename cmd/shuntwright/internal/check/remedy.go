package check

import (
	"cmp"
	"math"
	"slices"

	"shuntwright/cmd/shuntwright/internal/asbuilt"
	"shuntwright/meter"
	"shuntwright/meter/reading"
	"shuntwright/meter/wiring"
)

// suspect is one resistor that is to be put right.
type suspect struct {
	resistor int            // index into the meter's resistors
	position int            // index into its positions, -1 where it is none
	name     string         // of the position, or of the resistor
	now      float64        // ohms that it has by the readings, or as fitted; +Inf: open
	limit    float64        // 95 % limit of that, ohms; NaN: as good as the measurement of what is fitted
	from     float64        // ohms that should be there
	stays    wiring.Network // what a trim is wired to; with parts of the drawer, all that is fitted
}

// byReadings tells whether the value of what stays comes from the readings rather
// than from what was measured of it by itself.
func (p suspect) byReadings() bool { return !math.IsNaN(p.limit) }

// isOpen tells whether the readings have it open.
func (p suspect) isOpen() bool { return p.byReadings() && math.IsInf(p.now, 1) }

// hypothesis is one way to see what is wrong: the resistors that are to be put
// right together, and the meter as it is by that view.
type hypothesis struct {
	explanation reading.Explanation
	suspects    []suspect
}

// remedy is one thing to do for one suspect.
type remedy struct {
	suspect
	action  string         // replace, trim or leave
	network wiring.Network // what is then in the place, with what stays
	ohms    float64        // of that
	parts   int            // of the drawer that are put in
	errors  []float64      // full-scale errors of all ranges afterwards, percent
	limits  []float64      // 95 % limits of them; NaN where the resistor is no position
	worst   float64        // the error of the range that is furthest off, of those that the resistor serves, percent
	limit95 float64        // limit of that error, percent; NaN where it is not known
	sure    float64        // largest sum of error and limit of those ranges, percent; NaN where limits are not known
	class   float64
	state   meter.State    // the meter afterwards
	then    *asbuilt.Setup // what is fitted afterwards
}

// The actions of a remedy: the resistor goes, or stays and gets parts beside it,
// or is left as it is: not what the files say, it serves all the same.
const (
	replace = "replace"
	trim    = "trim"
	leave   = "leave"
)

// grade orders remedies: 0 are those that pass for sure, 1 those that are within
// the class, 2 all others. Without a class all are 2.
func (m remedy) grade() int {
	switch {
	case m.sure <= m.class:
		return 0
	case math.Abs(m.worst) <= m.class:
		return 1
	}
	return 2
}

// hopeless tells that a remedy does not bring its ranges within the class.
func (m remedy) hopeless() bool { return !math.IsNaN(m.class) && m.grade() == 2 }

// compare is negative where a remedy is better than another: the better grade, then
// the fewer parts if it is within the class, then the smaller error, with its
// limit where that is known, which counts only where it is worth the digits.
func (m remedy) compare(other remedy) int {
	apart := func(x, y float64) int {
		if math.Abs(x-y) > 1e-9 {
			return cmp.Compare(x, y)
		}
		return 0
	}
	parts, within := cmp.Compare(m.parts, other.parts), 0
	if m.grade() < 2 {
		within = parts
	}
	return cmp.Or(cmp.Compare(m.grade(), other.grade()), within, apart(m.sure, other.sure), apart(math.Abs(m.worst), math.Abs(other.worst)), parts)
}

// leaves are the parts of the drawer that a remedy leaves where they are.
func (m remedy) leaves() []string {
	return slices.DeleteFunc(m.stays.IDs(), func(id string) bool { return !slices.Contains(m.network.IDs(), id) })
}

// added are the parts of the drawer that a remedy takes.
func (m remedy) added() []string {
	stays := m.leaves()
	return slices.DeleteFunc(m.network.IDs(), func(id string) bool { return slices.Contains(stays, id) })
}

// leftBehind are the parts of the drawer that the meter file has in the
// position now and that the remedy's text does not name.
func (k *Checkup) leftBehind(m remedy) []string {
	return slices.DeleteFunc(k.Networks[m.position].IDs(), func(id string) bool { return slices.Contains(m.network.IDs(), id) })
}

// burnt is the fraction by which a part has drifted from which on it is not to
// be trusted any longer: it goes rather than being trimmed (common practice).
const burnt = 0.2

// drifted tells a suspect that has drifted so far, or is of carbon that will go
// on drifting.
func (k *Checkup) drifted(p suspect) bool {
	ids, _ := k.unsteady(p)
	return math.Abs(p.now/p.from-1) > burnt || len(ids) > 0
}

// unsteady are the parts in a suspect's place that will go on drifting, by their
// ids, and how that is said, with how far each has: by the readings, where these say
// what is there, and only of those that could be what moved it.
func (k *Checkup) unsteady(p suspect) (ids, said []string) {
	moved, err := k.moved(p)
	if err != nil {
		return nil, nil
	}
	for at, l := range p.stays.Leaves() {
		i, is := k.Index[l.ID]
		if !is || moved != 1 && !k.couldMove(p, at) {
			continue
		}
		id := l.ID
		if far := k.Parts[i].Unsteady(k.Measured[i].Ohms * moved); far != "" {
			ids, said = append(ids, id), append(said, id+" ("+far+")")
		}
	}
	return ids, said
}

// mostDrift is the factor, up or down, beyond which a part has not drifted but is
// broken (common practice).
const mostDrift = 2

// couldMove tells whether one leaf of what stays, drifting by itself, can make of a
// suspect what the readings have it be: no part far above the one beside it can.
func (k *Checkup) couldMove(p suspect, leaf int) bool {
	values := asbuilt.Values(k.Leaves[p.position])
	values[leaf] /= mostDrift
	least := p.stays.Resistance(values)
	values[leaf] *= mostDrift * mostDrift
	return p.now+p.limit >= least && p.now-p.limit <= p.stays.Resistance(values)
}

// kept is what stays in a suspect's place, in ohms: what the readings imply for
// parts of the drawer; a text is read as any other resistance in the meter file.
func (k *Checkup) kept(p suspect) (float64, error) {
	if p.byReadings() && !p.isOpen() && len(p.stays.IDs()) > 0 {
		return p.now, nil
	}
	return k.onPaper(p)
}

// onPaper is what stays in a suspect's place by the files, in ohms. A part that
// is not in the drawer is an error.
func (k *Checkup) onPaper(p suspect) (float64, error) {
	found, err := k.Bench.Resistors(p.stays, k.Meter.Movement.Instrument)
	if err != nil {
		return 0, err
	}
	return p.stays.Resistance(asbuilt.Values(found)), nil
}

// moved is how many times as much what stays has as by the files. Of several
// resistors it is not known which has drifted; all are taken to be off alike.
func (k *Checkup) moved(p suspect) (float64, error) {
	kept, err := k.kept(p)
	if err != nil {
		return 0, err
	}
	paper, err := k.onPaper(p)
	return kept / paper, err
}
