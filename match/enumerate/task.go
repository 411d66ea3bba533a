package enumerate

import "shuntwright/match/network"

// A task is one family of networks: sides x and y joined with op, the result
// joined in turn with the operands of outer, the last of them nearest. At most
// one outer operand holds a part, so a task takes one loop over the parts and
// one sweep over two sorted lists.
type task struct {
	outer []operand
	op    network.Op
	x, y  side
	rule  rule
}

// operand is one network joined with op to all that is within.
type operand struct {
	op   network.Op
	what side // nothing stands for the kept value alone; else single or onKept
}

// rule says which of several labellings of one network is taken. Two places meet in
// one part only where it may be taken again.
type rule uint8

const (
	all       rule = iota
	ascending      // x and y are the same list, and only i <= j is taken
	rising         // likewise, and the outer part comes before both
	before         // every part of x before every part of y
	earlier        // the first part of x before the first of y
)

var (
	ops  = [2]network.Op{network.Series, network.Parallel}
	none = side{form: nothing}
	one  = side{form: single}
)

func two(op network.Op) side { return side{form: pair(op)} }

// plain returns the tasks for all networks of m parts. inLoop says that they
// will stand inside a loop over another part already, and must do without one.
func plain(m int, inLoop bool) []task {
	if m == 1 {
		return []task{{op: network.Series, x: none, y: one}}
	}
	var out []task
	for _, op := range ops {
		dual := op.Dual()
		loop := []operand{{op, one}}
		switch {
		case m == 2:
			out = append(out, task{op: op, x: one, y: one, rule: ascending})
		case m == 3 && inLoop:
			out = append(out,
				task{op: op, x: one, y: two(op), rule: before},
				task{op: op, x: one, y: two(dual)})
		case m == 3:
			out = append(out,
				task{outer: loop, op: op, x: one, y: one, rule: rising},
				task{outer: loop, op: dual, x: one, y: one, rule: ascending})
		case m == 4:
			out = append(out,
				task{op: op, x: two(op), y: two(op), rule: before},
				task{op: op, x: two(op), y: two(dual)},
				task{op: op, x: two(dual), y: two(dual), rule: earlier},
				task{outer: loop, op: dual, x: one, y: two(dual), rule: before},
				task{outer: loop, op: dual, x: one, y: two(op)})
		}
	}
	return out
}

// roundKept returns the tasks for all networks of m parts round the kept value
// whose root is op. Such a network is a chain ((kept ∘ X1) ∘' X2) ∘ … with
// alternating operations, each X being any network without the kept value; the
// size of the last X tells the cases apart.
func roundKept(m int, op network.Op, inLoop bool) []task {
	dual := op.Dual()
	out := within(operand{op, none}, plain(m, inLoop))
	onOne := side{onKept, dual}
	switch m {
	case 2:
		out = append(out, task{op: op, x: one, y: onOne})
	case 3:
		if inLoop {
			for _, s := range onTwo(dual) {
				out = append(out, task{op: op, x: one, y: s})
			}
			for _, o := range ops {
				out = append(out, task{op: op, x: onOne, y: two(o)})
			}
			break
		}
		out = append(out, within(operand{op, one}, roundKept(2, dual, true))...)
		out = append(out, within(operand{op, onOne}, plain(2, true))...)
	case 4:
		out = append(out, within(operand{op, one}, roundKept(3, dual, true))...)
		for _, s := range onTwo(dual) {
			for _, o := range ops {
				out = append(out, task{op: op, x: two(o), y: s})
			}
		}
		out = append(out, within(operand{op, onOne}, plain(3, true))...)
	}
	return out
}

// onTwo returns the forms of two parts round the kept value with the given root.
func onTwo(root network.Op) []side {
	return []side{{flatKept, root}, {tuckedKept, root}, {nestedKept, root}}
}

// within puts an operand outside of every task.
func within(o operand, tasks []task) []task {
	out := make([]task, len(tasks))
	for i, t := range tasks {
		t.outer = append([]operand{o}, t.outer...)
		out[i] = t
	}
	return out
}

// tasks returns all families of exactly m parts.
func tasks(m int, kept bool) []task {
	if !kept {
		return plain(m, false)
	}
	var out []task
	for _, op := range ops {
		out = append(out, roundKept(m, op, false)...)
	}
	return out
}
