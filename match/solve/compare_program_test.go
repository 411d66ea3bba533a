package solve_test

import (
	"bufio"
	"fmt"
	"io"
)

// program is a feasibility problem: one column a position, each part in at
// most one of them, and every row within its bounds.
type program struct {
	lists [][]column
	rows  []row
}

// row is the sum of coefficients of the chosen columns, at most 1.
type row [][]float64 // by position and column; nil for a position that the row does not hold

// first returns the number of each position's first variable, counted from 1,
// and at last how many variables there are, plus one.
func (p program) first() []int {
	out := []int{1}
	for i, list := range p.lists {
		out = append(out, out[i]+len(list))
	}
	return out
}

// uses returns the variables that use each part, of the parts used twice or more.
func (p program) uses() [][]int {
	var uses [][]int
	variable := 0
	for _, list := range p.lists {
		for _, c := range list {
			variable++
			for _, part := range c.parts {
				for int(part) >= len(uses) {
					uses = append(uses, nil)
				}
				uses[part] = append(uses[part], variable)
			}
		}
	}
	var several [][]int
	for _, u := range uses {
		if len(u) > 1 {
			several = append(several, u)
		}
	}
	return several
}

// lpWriter writes the terms of a row in LP format, a few a line, because
// readers of that format limit the length of lines.
type lpWriter struct {
	*bufio.Writer
	terms int
}

func (w *lpWriter) term(coefficient float64, variable int) {
	if w.terms++; w.terms%8 == 0 {
		fmt.Fprintln(w)
	}
	switch {
	case coefficient == 1:
		fmt.Fprintf(w, " + x%d", variable)
	case coefficient < 0:
		fmt.Fprintf(w, " - %.17g x%d", -coefficient, variable)
	case coefficient > 0:
		fmt.Fprintf(w, " + %.17g x%d", coefficient, variable)
	}
}

// writeLP writes the 0/1 program in LP format, without an objective. Variables
// appear in the order of their numbers.
func (p program) writeLP(to io.Writer) error {
	w := &lpWriter{Writer: bufio.NewWriter(to)}
	first := p.first()
	fmt.Fprint(w, "Minimize\n o: 0 x1\nSubject To\n")
	for i := range p.lists {
		fmt.Fprintf(w, " p%d:", i+1)
		for v := first[i]; v < first[i+1]; v++ {
			w.term(1, v)
		}
		fmt.Fprintln(w, " = 1")
	}
	for k, variables := range p.uses() {
		fmt.Fprintf(w, " u%d:", k+1)
		for _, v := range variables {
			w.term(1, v)
		}
		fmt.Fprintln(w, " <= 1")
	}
	for k, r := range p.rows {
		fmt.Fprintf(w, " r%d:", k+1)
		for i, coefficients := range r {
			for j, c := range coefficients {
				w.term(c, first[i]+j)
			}
		}
		fmt.Fprintln(w, " <= 1")
	}
	fmt.Fprintln(w, "Binary")
	for v := 1; v < first[len(p.lists)]; v++ {
		fmt.Fprintf(w, " x%d\n", v)
	}
	fmt.Fprintln(w, "End")
	return w.Flush()
}

// pairwise is the largest number of uses of a part that are told apart pair by
// pair; more of them go through a sequential counter.
const pairwise = 5

// clauses returns the problem without its rows as clauses: at least one column
// a position, at most one use a part.
func (p program) clauses() (clauses [][]int, variables int) {
	first := p.first()
	variables = first[len(p.lists)] - 1
	for i := range p.lists {
		var some []int
		for v := first[i]; v < first[i+1]; v++ {
			some = append(some, v)
		}
		clauses = append(clauses, some)
	}
	for _, u := range p.uses() {
		if len(u) <= pairwise {
			for k, a := range u {
				for _, b := range u[:k] {
					clauses = append(clauses, []int{-a, -b})
				}
			}
			continue
		}
		for k, v := range u { // the counter's variable k: one of the first k+1 is chosen
			counter := variables + 1 + k
			if k < len(u)-1 {
				clauses = append(clauses, []int{-v, counter})
			}
			if k > 0 {
				clauses = append(clauses, []int{-v, -(counter - 1)})
			}
			if k > 0 && k < len(u)-1 {
				clauses = append(clauses, []int{-(counter - 1), counter})
			}
		}
		variables += len(u) - 1
	}
	return clauses, variables
}

// writeCNF writes the clauses in DIMACS format.
func (p program) writeCNF(to io.Writer) error {
	w := bufio.NewWriter(to)
	clauses, variables := p.clauses()
	fmt.Fprintf(w, "p cnf %d %d\n", variables, len(clauses))
	for _, clause := range clauses {
		for _, literal := range clause {
			fmt.Fprintf(w, "%d ", literal)
		}
		fmt.Fprintln(w, 0)
	}
	return w.Flush()
}
