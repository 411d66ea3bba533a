// Package solve fills all positions at once: it chooses the method by how the
// positions hang together.
//
// # In steps
//
// With a resolution (match.Order, match.Key) plans go by what can be seen:
// points of the ranges outside the class, then steps within it. match/local
// finds a good plan in milliseconds. Then match/solve chooses every circuit
// alone, as if the parts were its own. The plan found says what each range may
// cost at most, all others costing what they must (match.Order.Most); that
// leaves each position a window, in which all networks are listed, and
// match/branch looks for a choice that comes earlier: the bound of a box is the
// key of what its ranges cost at least. All circuits together are a bound of
// the whole, and where they take no part twice they are the plan; else one of
// those that take a part is given it in turn, and the others are chosen again
// without it, best bound first. Positions that share nothing but parts are not
// branched on: match/assign takes all networks in their windows and the plan
// that is there, and settles points, steps and parts with its clause learning
// (steps.go, stage.go). As soon as nothing but fewer parts can come earlier,
// larger networks are not listed. At the end the local search runs once more,
// so that however a search ends no refit of one position, nor of two of a
// circuit by pairs, comes earlier; so does the exact order. What that may take
// once the time is up is counted, not timed (local/late.go): without any time
// the plan is the same everywhere, too.
//
// # Separate circuits, exact
//
// For one position and one set of parts only the best network matters. A quick
// choice is made from twice as many of the nearest networks as the other
// positions could block; it is mostly as good as the best, and lists that reach
// as far as it costs hold all that could do better: whatever lies above cannot
// be part of a better plan. Where they do not reach that far, or a position
// stays open, they are widened and chosen from again. So few networks are
// listed, and they decide the whole order. match/assign then asks yes-or-no
// questions: the worst level first, then the next worst with the worst held,
// and so on down, then the number of parts, then the order of the drawer. Most
// that are answered yes are answered by repairing a choice: positions throw one
// another out until all have a network. So the first choice is mostly optimal
// already, and what takes time is one proof, just below it. The engine for that
// (assign/sat) learns clauses from failures, counts, and solves a linear
// relaxation whose dual prices rule candidates out; see the package comments
// for the bound and why it is exact.
//
// # Coupled circuits, exact
//
// Each error is monotone in each resistance, so over a box of resistances its
// extremes stand at two corners. match/branch shrinks the box of every position
// to what the level in question leaves possible, drops candidates outside, and
// branches. The worst error is settled first; all others are then settled in
// one search, which looks for any plan that comes before the best one, and if
// it meets no other plan with the same errors, nothing is left to settle. Where
// parts are scarce, prices of the parts bound what can be had at once
// (a Lagrangian bound). match/branch lists the nearest
// networks first; what the plan from these is worth leaves each position a
// window outside of which no network is in a better plan, and what is in the
// windows is then listed whole and chosen from. Where memory forbids that, the
// bound is the level up to which all is listed (Plan.End is Narrowed), and
// solve.Foresee estimates it beforehand from a sample of networks.
//
// # Fewer parts
//
// The networks nearest to the targets, which coupled positions are listed by,
// have many parts. So with Enough the positions may have one part at first, and
// those wanted for a range still beyond one more, until a plan is good enough
// (match/branch/fewparts.go); what more allowed parts could better must take no
// more in all, and as every other position needs its fewest, that leaves each
// so few that lists are whole again. Whoever allows more parts so never, where
// all positions can be filled, gets a plan with more of them.
//
// Where the time ends a search of more than one part a position, what one part
// fewer does is asked about, and the search goes on from the best that is known
// (fewer.go). So no plan comes later because more parts are allowed, as far as
// fewer do it in seven tenths of the time; without any time, as far as they do it
// at all.
//
// # The surest plan
//
// With --sure a range counts for its error plus its limit. For separate
// positions that is one more number a network. In coupled circuits the limit
// depends on all networks at once, by slopes that depend on all values; so
// match.LimitFloor bounds it over a box: slopes lie between what the box allows
// (meter.Response.Slopes: each is quasi-concave in each resistance, so its
// smallest magnitude stands at a corner), independent sources and each
// instrument's gain error between those of the networks left (gains keep their
// signs, so that they may cancel), and the smaller coverage factor counts as
// soon as one source may dominate (budget.Floor). Error bound plus floor is a
// bound of the sum, and what a level leaves beside the floor cuts the windows.
// The attributes of networks have windows of their own.
package solve
