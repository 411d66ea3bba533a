package main

import (
	"context"
	"fmt"

	"shuntwright/cmd/shuntwright/internal/plan"
	"shuntwright/match/solve"
)

// foresee tells on standard error, before the search begins, where it is likely
// to be cut short so that memory stays below 1 GiB; the answer will say so too.
func (c *call) foresee(ctx context.Context, p *plan.Planner, q *plan.Question) (warning string, err error) {
	f, err := solve.Foresee(ctx, q.Stock, q.Problem)
	if err != nil || !f.Exceeds() {
		return "", err
	}
	warning = fmt.Sprintf("some %.0e networks may matter for %s and %d are held so that memory stays below 1 GiB: "+
		"the plan may miss the best by a little; fewer --parts or a narrower --within make it sure",
		f.Networks, p.Positions[q.Open[f.Position]].Name, f.Held)
	_, err = fmt.Fprintf(c.err, "shuntwright %s: %s\n", c.command.name, warning)
	return warning, err
}
