package buy

import (
	"context"
	"slices"
)

// run is some values that follow one another, by their indexes: from, and below to.
type run struct{ from, to int }

func (r run) len() int { return r.to - r.from }

// mostUnited is how many values are asked about at once.
const mostUnited = 12

// halving looks for a set with any choice of values, however little it promises. Runs
// of which one value each is to be taken are halved until it is known that no choice
// from them does, since plenty of all their values do not, or until one value each
// is left, which is then asked about. It notes whether all are refuted.
func (b *buyer) halving(ctx context.Context, v view) (best *candidate, err error) {
	b.refuted = true
	for i, n := range v.needs {
		if !b.any(ctx, v, i, n.AtMost) {
			return nil, nil
		}
	}
	a := asking{ctx, v.needs, false, forOne}
	all := slices.Repeat([]run{{0, len(b.pieces)}}, min(b.most, len(b.pieces)))
	for open := [][]run{all}; len(open) > 0; {
		node := open[len(open)-1]
		open = open[:len(open)-1]
		if ctx.Err() != nil {
			b.refuted = false
			return nil, nil
		}
		values := united(node)
		switch {
		case len(values) <= mostUnited && b.futile(a, values):
		case longest(node).len() > 1:
			open = append(open, halves(node)...)
		default:
			var known verdict
			if best, known, err = b.askAndShed(a, copiesOf(values, b.room())); best != nil || err != nil {
				return best, err
			}
			b.refuted = b.refuted && known == doesNot
		}
	}
	return nil, nil
}

func longest(node []run) run {
	return slices.MaxFunc(node, func(x, y run) int { return x.len() - y.len() })
}

// united are the values of some runs, ascending.
func united(node []run) (values []int) {
	for _, r := range node {
		for v := r.from; v < r.to; v++ {
			values = append(values, v)
		}
	}
	slices.Sort(values)
	return slices.Compact(values)
}

// halves are a node with its longest runs, alike or one, halved in every way.
func halves(node []run) (below [][]run) {
	long := longest(node)
	rest := slices.DeleteFunc(slices.Clone(node), func(r run) bool { return r == long })
	mid, of := (long.from+long.to)/2, len(node)-len(rest)
	for n := range of + 1 {
		below = append(below, slices.Concat(rest, slices.Repeat([]run{{long.from, mid}}, n), slices.Repeat([]run{{mid, long.to}}, of-n)))
	}
	return below
}
