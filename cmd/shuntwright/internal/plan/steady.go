package plan

import (
	"context"
	"maps"
	"slices"

	"shuntwright/cmd/shuntwright/internal/asbuilt"
	"shuntwright/inventory"
	"shuntwright/match/solve"
)

// Instead is how the meter stands, once it is planned, with the best network in a
// position of those parts that are not passed over and nowhere else; nil where there
// is none, or where one range more would be beyond the class.
func (p *Planner) Instead(ctx context.Context, made *Outcome, position int, pass func(inventory.Part) bool) (*asbuilt.Setup, error) {
	used := map[string]bool{}
	for at, n := range p.Networks {
		for _, id := range n.IDs() {
			used[id] = used[id] || at != position
		}
	}
	q := &Question{Open: []int{position}, Kept: maps.Clone(made.Kept)}
	q.Chosen = slices.DeleteFunc(slices.Clone(made.Chosen), func(i int) bool { return used[p.Measured[i].ID] || pass(p.Parts[i]) })
	if len(q.Chosen) == 0 {
		return nil, nil
	}
	if err := p.pose(q); err != nil {
		return nil, err
	}
	found, err := solve.Plan(ctx, q.Stock, q.Problem)
	if err != nil || !found.Filled[0] {
		return nil, err
	}
	trial, err := p.tried(q, found.Networks)
	if err != nil || p.outside(trial) > p.outside(p.Setup) {
		return nil, err
	}
	return trial, nil
}

// outside counts the ranges that are beyond the class.
func (p *Planner) outside(s *asbuilt.Setup) (n int) {
	for _, off := range p.counts(s) {
		if off > p.SearchClass() {
			n++
		}
	}
	return n
}
