package check

import (
	"context"
	"math"
	"slices"

	"shuntwright/cmd/shuntwright/internal/asbuilt"
	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/match"
	"shuntwright/match/enumerate"
	"shuntwright/match/network"
	"shuntwright/meter"
	"shuntwright/meter/quantity"
	"shuntwright/meter/reading"
	"shuntwright/meter/wiring"
)

// staying is what a trim of a position is wired to. Where parts of the drawer
// are fitted it is all that is fitted: they stay in the circuit, and are not to
// be offered again. Else it is the implied resistance as text, with the digits
// that its limit lets stand; it says what the movement's instrument would show,
// leads included, because that is how the meter file is read.
func (k *finding) staying(position int, a reading.Amount) wiring.Network {
	if math.IsInf(a.Implied, 1) || !(a.Implied > 0) {
		return wiring.Network{}
	}
	if position >= 0 && len(k.Networks[position].IDs()) > 0 {
		return k.Networks[position]
	}
	shown := a.Implied + k.Instruments[k.Meter.Movement.Instrument].LeadsOhms
	v, err := quantity.Parse(report.Spelled(shown, report.ByLimit(100*a.Limit/a.Implied)), quantity.Ohm, quantity.Positive)
	if err != nil {
		return wiring.Network{}
	}
	return wiring.Network{Ohms: v}
}

// byReadings tells whether the value of what stays comes from the readings rather
// than from what was measured of it by itself.
func (p suspect) byReadings() bool { return !math.IsNaN(p.limit) }

// kept is what stays in a suspect's place, in ohms: what the readings imply for
// parts of the drawer; a text is read as any other resistance in the meter file.
func (r *search) kept(p suspect) (float64, error) {
	if p.byReadings() && !math.IsInf(p.now, 1) && len(p.stays.IDs()) > 0 {
		return p.now, nil
	}
	return r.onPaper(p)
}

// onPaper is what stays in a suspect's place by the files, in ohms. A part that
// is not in the drawer is an error.
func (r *search) onPaper(p suspect) (float64, error) {
	found, err := r.Bench.Resistors(p.stays, r.Meter.Movement.Instrument)
	if err != nil {
		return 0, err
	}
	return p.stays.Resistance(asbuilt.Values(found)), nil
}

// moved is how many times as much what stays has as by the files. Of several
// resistors it is not known which has drifted; all are taken to be off alike.
func (r *search) moved(p suspect) (float64, error) {
	kept, err := r.kept(p)
	if err != nil {
		return 0, err
	}
	paper, err := r.onPaper(p)
	return kept / paper, err
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

// doubtKept gives what stays the value and the limit that the readings give it,
// in place of its instrument's: nobody has measured it as it is now. A limit of
// k·u becomes the half-width of the rectangle with the same u.
func (r *search) doubtKept(leaves []asbuilt.Leaf, n wiring.Network, p suspect) error {
	moved, err := r.moved(p)
	if err != nil {
		return err
	}
	for i, l := range n.Leaves() {
		for _, stays := range p.stays.Leaves() {
			if l.ID == stays.ID && l.Ohms == stays.Ohms {
				m := &leaves[i].Measured
				m.Ohms *= moved
				m.GainPercent, m.Shared, m.FloorOhms = 100*p.limit/p.now/1.96*math.Sqrt(3), "readings of "+p.name, 0
				break
			}
		}
	}
	return nil
}

// asItIs is the remedy that leaves a suspect alone, to be weighed with the others.
func (r *search) asItIs(p suspect, state meter.State) (remedy, error) {
	kept, err := r.kept(p)
	if err != nil {
		return remedy{}, err
	}
	return r.weighed(remedy{suspect: p, action: leave, network: p.stays, ohms: kept, class: r.class}, r.served(p.resistor), state)
}

// near returns the networks nearest to a target, as many as nearest says at most.
// Where something is kept, only those count in which it still decides the value.
func (r *search) near(ctx context.Context, stock *enumerate.Stock, need match.Need) ([]network.Network, error) {
	const most = 64 * nearest // as many are looked at for the few in which it does
	for top := nearest; ; top *= 8 {
		picked, err := stock.Pick(ctx, match.Query{Need: need, Top: top})
		if err != nil {
			return nil, err
		}
		var out []network.Network
		for _, choice := range picked.Choices {
			if choice.Network.Size() > 0 && len(out) < nearest && (math.IsNaN(need.Keep) || r.decides(choice.Network.Tree(), need.Keep)) {
				out = append(out, choice.Network)
			}
		}
		if len(out) == nearest || len(picked.Choices) < top || top >= most {
			return out, nil
		}
	}
}

// decides tells whether what is kept still decides the value of a network: a
// change of it by one part in a thousand moves the whole by half of that or
// more. Else the new parts replace it, and it is a burden.
func (r *search) decides(t network.Tree, kept float64) bool {
	const half = 0.5 * (1 - 1e-12)
	_, share := r.shareOf(t, kept)
	return share >= half
}

// shareOf is the resistance of a network and by how many percent it moves for
// one percent of what is kept.
func (r *search) shareOf(t network.Tree, kept float64) (ohms, share float64) {
	switch {
	case t.Op == network.Leaf && t.Part == network.Kept:
		return kept, 1
	case t.Op == network.Leaf:
		return r.Measured[r.chosen[t.Part]].Ohms, 0
	}
	power := 1.0 // of a resistance that adds up
	if t.Op == network.Parallel {
		power = -1
	}
	sum := 0.0
	for _, operand := range t.Of {
		x, s := r.shareOf(operand, kept)
		sum += math.Pow(x, power)
		share += math.Pow(x, power) * s
	}
	return math.Pow(sum, power), share / sum
}
