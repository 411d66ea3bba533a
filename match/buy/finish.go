package buy

import (
	"cmp"
	"slices"

	"shuntwright/match"
	"shuntwright/match/enumerate"
	"shuntwright/match/network"
	"shuntwright/match/solve"
)

// finish puts the pieces of a choice behind the stock and plans with them. If
// that search ends before it comes within the class, the choice itself will do.
func (b *buyer) finish(nets []network.Network, proven bool) (Bought, error) {
	type piece struct{ part, slot int }
	var pieces []piece
	for i, n := range nets {
		for _, p := range n.Parts() {
			if p >= b.scarce {
				pieces = append(pieces, piece{p, i})
			}
		}
	}
	slices.SortFunc(pieces, func(x, y piece) int { return cmp.Or(cmp.Compare(x.part, y.part), cmp.Compare(x.slot, y.slot)) })
	out := Bought{Found: true, Proven: proven}
	parts := slices.Clone(b.parts[:b.scarce])
	for _, q := range pieces {
		parts = append(parts, b.parts[q.part])
		out.Values = append(out.Values, b.parts[q.part].Value)
	}
	s, err := enumerate.NewStock(parts)
	if err != nil {
		return Bought{}, err
	}
	if out.Plan, err = solve.Plan(b.ctx, s, b.asked); err != nil || within(out.Plan, b.class) {
		return out, err
	}
	leaves := network.Leaves{}
	for _, p := range parts {
		leaves.Values, leaves.Bears = append(leaves.Values, p.Value), append(leaves.Bears, p.Bears)
	}
	known := make([]network.Network, len(nets))
	for i, n := range nets {
		leaves.KeptValue, leaves.KeptBearing = b.asked.Needs[i].Keep, b.asked.Needs[i].KeepBears
		known[i] = rebuild(&leaves, n.Tree(), func(part int) int {
			if part < b.scarce {
				return part
			}
			return b.scarce + slices.Index(pieces, piece{part, i})
		})
	}
	if out.Plan, err = solve.Judge(s, b.asked, known); b.ctx.Err() != nil {
		out.Plan.End = match.Interrupted
	}
	return out, err
}

// rebuild makes a network again from the parts of another stock.
func rebuild(leaves *network.Leaves, t network.Tree, index func(part int) int) network.Network {
	switch {
	case t.Op != network.Leaf:
		var n network.Network
		for _, o := range t.Of {
			n = leaves.Join(t.Op, n, rebuild(leaves, o, index))
		}
		return n
	case t.Part == network.Kept:
		return leaves.Kept()
	}
	return leaves.Part(index(t.Part))
}
