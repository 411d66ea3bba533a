package node

import "shuntwright/match"

// Bar is what plans must come before in an order with a resolution.
type Bar struct {
	Order  match.Order
	Key    match.Key // of the plan to come before
	Others match.Key // what counts beside the slots and ranges of the problem, at least
}

// Start makes k the key of a plan that fills and makes whole what a scenario
// says, with no ranges counted as yet.
func (b *Bar) Start(k *match.Key, c *Scenario) {
	k.Copy(&b.Others)
	k.Filled += len(c.Must) - c.Open
}

// KeyOf puts the key of a plan into k.
func (b *Bar) KeyOf(k *match.Key, p *Plan, c *Scenario) {
	b.Start(k, c)
	k.Parts += p.Parts
	for _, cost := range p.Costs {
		k.Add(b.Order.Tally(cost), cost)
	}
}
