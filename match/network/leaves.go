package network

import "math"

// Leaves are what networks are made of. Values are positive and finite; what a
// leaf bears is the largest flow through it, positive, +Inf where unlimited.
type Leaves struct {
	Values, Bears          []float64 // by drawer index
	KeptValue, KeptBearing float64   // used by networks with the kept value only
}

// Part returns the network that is one part; i is a drawer index.
func (l *Leaves) Part(i int) Network {
	n := Network{leaves: 1, value: l.Values[i], bears: l.Bears[i]}
	n.leaf[0] = int32(i)
	return n
}

// Kept returns the network that is the kept value alone.
func (l *Leaves) Kept() Network {
	n := Network{leaves: 1, value: l.KeptValue, bears: l.KeptBearing}
	n.leaf[0] = Kept
	return n
}

// Join returns the canonical network of a and b in series or in parallel; a
// zero Network joins nothing, the other is returned. They must share no leaf
// and have no more than MaxParts parts together.
func (l *Leaves) Join(op Op, a, b Network) Network {
	if a.IsZero() {
		return b
	}
	if b.IsZero() {
		return a
	}
	out := Network{op: op}
	i, j := 0, 0
	for i < int(a.leaves) || j < int(b.leaves) {
		if j == int(b.leaves) || i < int(a.leaves) && a.leaf[i] < b.leaf[j] {
			i = out.take(&a, i)
		} else {
			j = out.take(&b, j)
		}
	}
	out.value, out.bears = l.evaluate(&out, 0, int(out.leaves), 0, op)
	return out
}

// take appends the operand of from that starts at leaf i, as an operand of the
// root, and returns where the next one starts. The first leaf of an operand is
// its smallest, so comparing first leaves merges operands in canonical order.
func (n *Network) take(from *Network, i int) int {
	end, deeper := int(from.leaves), uint8(1)
	if from.op == n.op {
		end, deeper = from.operandEnd(i, end, 0), 0
	}
	if n.leaves > 0 {
		n.level[n.leaves-1] = 0
	}
	for k := i; k < end; k++ {
		n.leaf[n.leaves] = from.leaf[k]
		if k < end-1 {
			n.level[n.leaves] = from.level[k] + deeper
		}
		n.leaves++
	}
	return end
}

// evaluate returns the value and the bearing of leaves lo to hi-1, a node at
// the given depth. Series: the sum, and the least flow. Parallel: one over the
// sum of reciprocals, and the least drop over the value.
func (l *Leaves) evaluate(n *Network, lo, hi int, depth uint8, op Op) (value, bears float64) {
	if hi-lo == 1 {
		if n.leaf[lo] == Kept {
			return l.KeptValue, l.KeptBearing
		}
		return l.Values[n.leaf[lo]], l.Bears[n.leaf[lo]]
	}
	sum, least := 0.0, math.Inf(1)
	for start := lo; start < hi; {
		end := n.operandEnd(start, hi, depth)
		v, b := l.evaluate(n, start, end, depth+1, op.Dual())
		if op == Series {
			sum, least = sum+v, min(least, b)
		} else {
			sum, least = sum+1/v, min(least, b*v)
		}
		start = end
	}
	if op == Series {
		return sum, least
	}
	return 1 / sum, least * sum
}
