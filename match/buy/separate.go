package buy

import (
	"cmp"
	"math"
	"slices"

	"shuntwright/match"
	"shuntwright/match/assign"
	"shuntwright/match/assign/sat"
	"shuntwright/match/network"
	"shuntwright/match/objective"
)

// candidate is a network with the |error| of its range, in percent.
type candidate struct {
	net  network.Network
	cost float64
}

// pieceList holds the networks of a slot within the class that take a given
// number of pieces: for each set of parts of the stock the cheapest.
type pieceList struct {
	of    []candidate
	whole bool // whatever the other slots take, nothing that is missing can be wanted
}

// separately looks for the best choice with at most k pieces where every slot
// has a range of its own. A piece is then worth the same in every slot, so the
// choice is one of disjoint parts of the stock and of so many tokens. refuted
// is true if it is proven that there is none.
func (b *buyer) separately(k int) (nets []network.Network, refuted bool, err error) {
	whole := true
	lists := make([][]candidate, len(b.p.Needs))
	for i, need := range b.p.Needs {
		for m := 0; m <= min(k, need.AtMost); m++ {
			l, err := b.list(i, m)
			if err != nil {
				return nil, false, err
			}
			lists[i] = append(lists[i], l.of...)
			whole = whole && l.whole
		}
		if len(lists[i]) == 0 {
			return nil, whole, nil
		}
	}
	picks, err := sat.New(b.tokens(lists, k)).Find(b.ctx, nil)
	if picks == nil {
		return nil, whole && err == nil, nil // an error is the context's
	}
	nets = make([]network.Network, len(lists))
	for i, c := range picks {
		nets[i] = lists[i][c].net
	}
	better, err := b.best(lists, k)
	if better != nil {
		nets = better
	}
	return nets, false, err
}

// tokens asks for one candidate a slot, no part used twice and no more than k pieces.
func (b *buyer) tokens(lists [][]candidate, k int) sat.Problem {
	q := sat.Problem{Room: slices.Repeat([]int32{1}, b.scarce), Groups: make([][]sat.Item, len(lists))}
	token := int32(len(q.Room))
	q.Room = append(q.Room, int32(k))
	for i, list := range lists {
		for _, c := range list {
			item := sat.Item(b.scarceParts(c.net))
			q.Groups[i] = append(q.Groups[i], append(item, slices.Repeat([]int32{token}, b.pieces(c.net))...))
		}
	}
	return q
}

// best returns the choice that comes first, nil if the context ends before one
// is found. Here the tokens are parts, and slots take them in their order.
func (b *buyer) best(lists [][]candidate, k int) ([]network.Network, error) {
	p := assign.Problem{Parts: b.scarce + k, Positions: make([][]assign.Candidate, len(lists))}
	from := make([][]network.Network, len(lists))
	for i, list := range lists {
		for _, c := range list {
			for _, parts := range b.withTokens(c.net, k) {
				p.Positions[i] = append(p.Positions[i], assign.Candidate{Parts: parts, Cost: c.cost})
				from[i] = append(from[i], c.net)
			}
		}
	}
	a, err := assign.Solve(b.ctx, p)
	if err != nil || a.Filled < len(lists) {
		return nil, err
	}
	nets := make([]network.Network, len(lists))
	for i, c := range a.Chosen {
		nets[i] = from[i][c]
	}
	return nets, nil
}

// withTokens returns the parts of the stock in a network together with tokens
// for its pieces, in every way that is needed: neighbours among k of them.
func (b *buyer) withTokens(n network.Network, k int) [][]int32 {
	count := b.pieces(n)
	if count == 0 {
		return [][]int32{b.scarceParts(n)}
	}
	var out [][]int32
	for first := 0; first+count <= k; first++ {
		parts := b.scarceParts(n)
		for t := range count {
			parts = append(parts, int32(b.scarce+first+t))
		}
		out = append(out, parts)
	}
	return out
}

// scarceParts returns the parts of the stock in a network.
func (b *buyer) scarceParts(n network.Network) []int32 {
	set := n.Set()
	return slices.Clone(set[:n.Size()-b.pieces(n)])
}

// list returns the networks of a slot with the given number of pieces.
func (b *buyer) list(slot, pieces int) (l pieceList, err error) {
	if pieces == len(b.lists[slot]) {
		if l, err = b.makeList(slot, pieces); err != nil {
			return l, err
		}
		b.lists[slot] = append(b.lists[slot], l)
	}
	return b.lists[slot][pieces], nil
}

func (b *buyer) makeList(slot, pieces int) (pieceList, error) {
	limit := b.class + match.Equal
	q := b.query(slot, pieces, pieces, pieces)
	for top := min(4*(b.room()+1), 2048); ; top = min(4*top, buyListed) {
		got, err := b.pick(q, top)
		if err != nil {
			return pieceList{}, err
		}
		list := slices.DeleteFunc(b.costed(slot, networks(got)), func(c candidate) bool { return c.cost > limit })
		list = b.onePerSet(list)
		reach := b.covered(slot, got, top)
		if k := b.apart(slot, list); k < len(list) && list[k].cost+objective.Margin <= reach {
			cut := list[k].cost + objective.Margin
			return pieceList{slices.DeleteFunc(list, func(c candidate) bool { return c.cost > cut }), true}, nil
		}
		if reach > limit || top >= buyListed || !got.Proven {
			return pieceList{list, reach > limit}, nil
		}
	}
}

func (b *buyer) pick(q match.Query, top int) (match.Picked, error) {
	q.Top = top
	return b.stock.Pick(b.ctx, q)
}

// costed returns the networks with their costs, ascending.
func (b *buyer) costed(slot int, nets []network.Network) []candidate {
	out := make([]candidate, len(nets))
	b.Reset()
	for k, n := range nets {
		b.Values[slot] = n.Value()
		b.Respond()
		out[k] = candidate{n, math.Abs(b.Errors[b.RangeOf[slot]])}
	}
	slices.SortFunc(out, func(x, y candidate) int {
		return cmp.Or(cmp.Compare(x.cost, y.cost), network.Compare(x.net, y.net))
	})
	return out
}

func networks(p match.Picked) []network.Network {
	out := make([]network.Network, len(p.Choices))
	for i, c := range p.Choices {
		out[i] = c.Network
	}
	return out
}

// covered returns a cost up to which the networks that were picked are all,
// +Inf if there are no more at all.
func (b *buyer) covered(slot int, got match.Picked, top int) float64 {
	if !got.Proven {
		return 0
	}
	if len(got.Choices) < top {
		return math.Inf(1)
	}
	far := 0.0
	for _, c := range got.Choices {
		far = max(far, math.Abs(c.Error))
	}
	return b.CostBeyond(slot, far-pickEqual)
}

// buyListed is how many networks a list is made from at most.
const buyListed = match.MaxTop

// pickEqual is more than what counts as equal in Pick, as a fraction.
const pickEqual = 2e-11

// apart returns the index of the first candidate by which so many share no part
// of the stock among themselves that, whatever the other slots take, one of
// them is left; it takes as many pieces as any that costs more, so that none
// of these can be wanted. It returns len(list) if there are not so many.
func (b *buyer) apart(slot int, list []candidate) int {
	others := b.room() - b.p.Needs[slot].AtMost
	used := map[int32]bool{}
	count := 0
	for k, c := range list {
		parts := b.scarceParts(c.net)
		if slices.ContainsFunc(parts, func(i int32) bool { return used[i] }) {
			continue
		}
		for _, i := range parts {
			used[i] = true
		}
		if count++; count > others || len(parts) == 0 {
			return k
		}
	}
	return len(list)
}

// onePerSet keeps the cheapest network for each set of parts of the stock.
func (b *buyer) onePerSet(list []candidate) []candidate {
	seen := make(map[network.Set]bool, len(list))
	return slices.DeleteFunc(list, func(c candidate) bool {
		set := c.net.Set()
		for k := range set {
			if int(set[k]) >= b.scarce {
				set[k] = -1
			}
		}
		again := seen[set]
		seen[set] = true
		return again
	})
}
