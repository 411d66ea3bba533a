package match

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"

	"shuntwright/match/disjoint"
	"shuntwright/match/network"
)

// Bought answers what to buy.
type Bought struct {
	Values []float64 // ascending, one a piece; empty: nothing is needed, or nothing was found
	// Plan is that of the stock with the pieces behind it, in the order of
	// Values and bearing everything; of the stock alone where nothing was found.
	Plan   Plan
	Found  bool // Plan fills every position, and every range is within the class
	Proven bool // no set of fewer pieces does; where nothing was found, no set of at most so many
}

// Buy names the smallest set of at most most pieces of the given values, each
// to be had as often as wanted, that lets every position be filled with every
// |error| at most class (percent, 1e-9 more forgiven). Problem.Limit is not
// read, since nobody knows yet how far a piece will be off: pieces have their
// values exactly, bear everything, and all goes by errors alone.
//
// Of several sets of one size, it is the one whose plan has the smallest worst
// error, the smallest next worst, and so on, then the fewest parts; Enough does
// not matter to this, and at most class of it to the Plan. What is still equal
// goes by the parts of the stock that are used, position by position, then by
// the smaller values. This holds for the whole of it where every range depends
// on one position only. Where positions are coupled, it holds as far as Plan is
// exact for coupled positions, and the search gives up a number of pieces after
// a certain number of questions; Proven tells whether that mattered.
//
// An error means that it cannot be asked: values must be positive and finite
// (1e-100 to 1e100) and at least one, most at least 1, class positive and
// finite. A context that ends is none: Proven is then false.
func (s *Stock) Buy(ctx context.Context, p Problem, values []float64, most int, class float64) (Bought, error) {
	if err := checkBuy(values, most, class); err != nil {
		return Bought{}, fmt.Errorf("what to buy: %w", err)
	}
	p.Limit, p.Enough = nil, min(p.Enough, class)
	plan, err := s.Plan(ctx, p)
	if err != nil {
		return Bought{}, fmt.Errorf("what to buy: %w", err)
	}
	if plan.within(class) {
		return Bought{Plan: plan, Found: true, Proven: true}, nil
	}
	b, err := newBuyer(ctx, s, p, values, most, class)
	if err != nil {
		return Bought{}, fmt.Errorf("what to buy: %w", err)
	}
	return b.run(plan)
}

func checkBuy(values []float64, most int, class float64) error {
	switch {
	case len(values) == 0:
		return fmt.Errorf("no values to choose from")
	case most < 1:
		return fmt.Errorf("at most %d pieces: it must be at least 1", most)
	case !(class > 0) || math.IsInf(class, 1):
		return fmt.Errorf("class %v %%: it must be positive and finite", class)
	}
	for i, v := range values {
		if !inRange(v) {
			return fmt.Errorf("value %d is %v: it must be positive and finite (%v to %v)", i+1, v, smallest, largest)
		}
	}
	return nil
}

// within reports whether every position is filled and every range within class.
func (p Plan) within(class float64) bool {
	return !slices.Contains(p.Filled, false) && !(p.Worst > class+disjoint.Equal)
}

// buyer looks for what to buy. Its planner works on the stock with copies of
// all values behind it, as many of each as a network may hold.
type buyer struct {
	*planner
	base   *Stock
	asked  Problem // as asked, whatever the planner makes of it
	scarce int     // the parts below this index are those of the stock, there once each; the others are copies of values to be bought
	copies int     // how many there are of each value
	most   int
	class  float64
	lists  [][]pieceList // where positions are separate: of each slot, by number of pieces
}

func newBuyer(ctx context.Context, s *Stock, p Problem, values []float64, most int, class float64) (*buyer, error) {
	b := &buyer{base: s, asked: p, scarce: s.Len(), class: class, lists: make([][]pieceList, len(p.Needs))}
	total := 0
	for _, n := range p.Needs {
		b.copies = max(b.copies, min(n.AtMost, most))
		total += n.AtMost
	}
	b.most = min(most, total) // no more have a place
	parts := slices.Clone(s.parts)
	for _, v := range slices.Compact(slices.Sorted(slices.Values(values))) {
		parts = append(parts, slices.Repeat([]Part{{v, math.Inf(1)}}, b.copies)...)
	}
	whole, err := NewStock(parts)
	if err != nil {
		return nil, err
	}
	b.planner = newPlanner(ctx, whole, p)
	b.equals = append(s.equals(), slices.Repeat([]int32{-1}, whole.Len()-s.Len())...)
	return b, nil
}

// run asks for one number of pieces after the other.
func (b *buyer) run(plan Plan) (Bought, error) {
	out := Bought{Plan: plan}
	if b.fixed() > b.class+disjoint.Equal {
		out.Proven = true // no position can help
		return out, nil
	}
	ask := b.separately
	if !b.separate() {
		ask = b.coupled
		if !b.narrow() {
			out.Proven = true // some range cannot come within the class whatever the values
			return out, nil
		}
	}
	k := 0
	if plan.Proven || !slices.Contains(plan.Filled, false) && plan.Bound > b.class+disjoint.Equal {
		k, out.Proven = 1, true
	}
	for ; k <= b.most && b.ctx.Err() == nil; k++ {
		nets, refuted, err := ask(k)
		if err != nil {
			return Bought{}, fmt.Errorf("what to buy: %w", err)
		}
		if nets != nil {
			return b.finish(nets, out.Proven || k == 0)
		}
		out.Proven = refuted // which refutes fewer pieces too
	}
	out.Proven = out.Proven && k > b.most
	return out, nil
}

// pieces returns how many parts of a network are to be bought.
func (b *buyer) pieces(n Network) int {
	count := 0
	for _, p := range n.Set() {
		if int(p) >= b.scarce {
			count++
		}
	}
	return count
}

// scope narrows a query to networks of at least so many parts and of least to
// most pieces, and of several that differ only in which of equal parts or
// copies they take, to one; see planner.wanted.
func (b *buyer) scope(fewest, least, most int) scope {
	total := 0
	for _, n := range b.p.Needs {
		total += n.AtMost
	}
	first := make(map[int32]bool, b.scarce)
	for _, i := range b.base.firsts(total) {
		first[i] = true
	}
	order := slices.DeleteFunc(slices.Clone(b.stock.order), func(i int32) bool {
		return int(i) < b.scarce && !first[i] || int(i) >= b.scarce && b.copyOf(i) >= most
	})
	return scope{order, fewest, func(n Network) bool {
		count := b.pieces(n)
		return count >= least && count <= most && b.neighbours(n)
	}}
}

// copyOf returns which of the copies of its value a part is, the first being 0.
func (b *buyer) copyOf(part int32) int { return (int(part) - b.scarce) % b.copies }

// neighbours reports whether a network takes neighbours of any equal parts of
// the stock, and the first copies of a value.
func (b *buyer) neighbours(n Network) bool {
	set := n.Set()
	for k, p := range set[:n.Size()] {
		if int(p) >= b.scarce {
			if b.copyOf(p) > 0 && (k == 0 || set[k-1] != p-1) {
				return false
			}
			continue
		}
		if before := b.equals[p]; before >= 0 && !slices.Contains(set[:k], before) && b.hasEqual(set[:k], p) {
			return false
		}
	}
	return true
}

// finish puts the pieces of a choice behind the stock and plans with them. If
// that search ends before it comes within the class, the choice itself will do.
func (b *buyer) finish(nets []Network, proven bool) (Bought, error) {
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
	parts := slices.Clone(b.base.parts)
	for _, q := range pieces {
		parts = append(parts, b.stock.parts[q.part])
		out.Values = append(out.Values, b.stock.parts[q.part].Value)
	}
	s, err := NewStock(parts)
	if err != nil {
		return Bought{}, err
	}
	if out.Plan, err = s.Plan(b.ctx, b.asked); err != nil || out.Plan.within(b.class) {
		return out, err
	}
	known := make([]Network, len(nets))
	for i, n := range nets {
		leaves := s.request(b.asked.Needs[i], nil, 0).Leaves
		known[i] = rebuild(&leaves, n.Tree(), func(part int) int {
			if part < b.scarce {
				return part
			}
			return b.scarce + slices.Index(pieces, piece{part, i})
		})
	}
	end := Narrowed
	if b.ctx.Err() != nil {
		end = Interrupted
	}
	pl := newPlanner(b.ctx, s, b.asked)
	out.Plan = pl.seal(pl.plan(known), 0, end)
	return out, nil
}

// rebuild makes a network again from the parts of another stock.
func rebuild(leaves *network.Leaves, t Tree, index func(part int) int) Network {
	switch {
	case t.Op != Leaf:
		var n Network
		for _, o := range t.Of {
			n = leaves.Join(t.Op, n, rebuild(leaves, o, index))
		}
		return n
	case t.Part == Kept:
		return leaves.Kept()
	}
	return leaves.Part(index(t.Part))
}
