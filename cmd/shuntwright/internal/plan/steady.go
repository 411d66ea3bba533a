package plan

import (
	"context"
	"maps"
	"slices"

	"shuntwright/cmd/shuntwright/internal/asbuilt"
	"shuntwright/inventory"
)

// Instead is how the meter stands, once it is planned, with the best network in a
// position of those parts that are not passed over and nowhere else; nil where there
// is none, or where one range more would be beyond the class.
func (p *Planner) Instead(ctx context.Context, made *Outcome, position int, pass func(inventory.Part) bool) (*asbuilt.Setup, error) {
	used := takenBy(p.Setup, position)
	chosen := slices.DeleteFunc(slices.Clone(made.Chosen), func(i int) bool { return used[p.Measured[i].ID] || pass(p.Parts[i]) })
	trial, err := p.best(ctx, position, chosen, maps.Clone(made.Kept))
	if err != nil || trial == nil || len(p.beyond(trial)) > len(p.beyond(p.Setup)) {
		return nil, err
	}
	return trial, nil
}
