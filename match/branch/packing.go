package branch

import (
	"context"

	"shuntwright/match/assign/sat"
)

// packing answers questions about parts alone: whether slots can be filled at
// once, whatever the errors.
type packing struct {
	lists   [][]int32 // for each slot the candidates that it may take
	solver  *sat.Solver
	allowed [][]bool // beside lists, and one more for staying open
}

// newPacking prepares questions in which so many slots stay open.
func newPacking(g *gauge, lists [][]int32, open int) *packing {
	k := &packing{lists: lists, allowed: make([][]bool, len(lists))}
	p := sat.Problem{Groups: make([][]sat.Item, len(lists)), Room: make([]int32, g.parts+1)}
	for i := range g.parts {
		p.Room[i] = 1
	}
	p.Room[g.parts] = int32(open)
	for i, list := range lists {
		for _, c := range list {
			p.Groups[i] = append(p.Groups[i], g.tables[i].of(c))
		}
		p.Groups[i] = append(p.Groups[i], sat.Item{int32(g.parts)})
		k.allowed[i] = make([]bool, len(list)+1)
		for j := range k.allowed[i] {
			k.allowed[i][j] = true
		}
	}
	k.solver = sat.New(p)
	return k
}

// find returns a choice, for each slot a candidate or open, in which the slots
// of must are filled, or nil if there is none or the context has ended.
func (k *packing) find(ctx context.Context, must []bool) []int32 {
	for i := range k.allowed {
		k.allowed[i][len(k.lists[i])] = !must[i]
	}
	picks, err := k.solver.Find(ctx, k.allowed)
	if err != nil || picks == nil {
		return nil
	}
	chosen := make([]int32, len(picks))
	for i, pick := range picks {
		chosen[i] = open
		if pick < len(k.lists[i]) {
			chosen[i] = k.lists[i][pick]
		}
	}
	return chosen
}
