package nodal

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/gonum/mat"
)

// Solution is the state of a circuit.
type Solution struct {
	net *Netlist
	x   []float64 // node voltages, then element currents
}

// Solve finds the node voltages and element currents. The error names an
// element with a value that it cannot have, a node that nothing ties to ground,
// sources that contradict each other, or diodes for which no solution was
// found.
func (n *Netlist) Solve() (*Solution, error) {
	if len(n.faults) > 0 {
		return nil, errors.New("solving a circuit: " + strings.Join(n.faults, ", "))
	}
	if len(n.names) == 0 {
		return nil, errors.New("solving a circuit: it has no node besides ground")
	}
	if name := n.floating(); name != "" {
		return nil, fmt.Errorf("solving a circuit: nothing ties node %q to ground", name)
	}
	s := &Solution{net: n, x: make([]float64, len(n.names)+len(n.elements))}
	linear := !slices.ContainsFunc(n.elements, func(e element) bool { return e.kind == diode })
	for range 500 {
		next, err := s.step()
		if err != nil {
			return nil, fmt.Errorf("solving a circuit: %w", err)
		}
		moved := s.moved(next)
		if s.x = next; linear || !moved {
			return s, nil
		}
	}
	return nil, errors.New("solving a circuit: the diodes settle at no voltage")
}

// moved reports whether a node voltage still changes; the steps shrink
// quadratically, so what is left is far below the last one.
func (s *Solution) moved(next []float64) bool {
	for i := range s.net.names {
		if d := math.Abs(next[i] - s.x[i]); !(d <= 1e-12*math.Abs(next[i])+1e-15) {
			return true
		}
	}
	return false
}

// step solves the tableau with the diodes replaced by their tangents at s.x:
// one row a node, Σ currents = 0, and one an element.
func (s *Solution) step() ([]float64, error) {
	nodes, size := len(s.net.names), len(s.x)
	a, b := mat.NewDense(size, size, nil), mat.NewVecDense(size, nil)
	for k, e := range s.net.elements {
		row := nodes + k
		volts, amperes, right := s.row(e)
		for _, end := range []struct {
			node int
			sign float64
		}{{e.a, 1}, {e.b, -1}} {
			if end.node >= 0 {
				a.Set(end.node, row, a.At(end.node, row)+end.sign)
				a.Set(row, end.node, a.At(row, end.node)+end.sign*volts)
			}
		}
		a.Set(row, row, amperes)
		b.SetVec(row, right)
	}
	var lu mat.LU
	lu.Factorize(a)
	var x mat.VecDense
	if err := lu.SolveVecTo(&x, false, b); err != nil && !errors.As(err, new(mat.Condition)) || math.IsInf(lu.Cond(), 1) {
		return nil, errors.New("its sources or shorts contradict each other")
	}
	return x.RawVector().Data, nil
}

// row gives an element's own equation: volts·(Va − Vb) + amperes·I = right.
func (s *Solution) row(e element) (volts, amperes, right float64) {
	switch e.kind {
	case voltSource:
		return 1, 0, e.value
	case currentSource:
		return 0, 1, e.value
	case diode:
		v := s.across(e)
		i, g := e.diode.Amperes(v)
		return -g, 1, i - g*v
	}
	switch {
	case math.IsInf(e.value, 1):
		return 0, 1, 0
	case e.value > 1:
		return 1 / e.value, -1, 0
	}
	return 1, -e.value, 0
}

func (s *Solution) across(e element) float64 { return s.at(e.a) - s.at(e.b) }

func (s *Solution) at(node int) float64 {
	if node < 0 {
		return 0
	}
	return s.x[node]
}

// Volts is the voltage of a node against ground; NaN where there is no such node.
func (s *Solution) Volts(name string) float64 {
	if name == Ground {
		return 0
	}
	at, ok := s.net.index[name]
	if !ok {
		return math.NaN()
	}
	return s.at(at)
}

// Across is the voltage across an element, from its first node to its second.
func (s *Solution) Across(e Element) float64 { return s.across(s.net.elements[e]) }

// Through is the current in an element, from its first node to its second.
func (s *Solution) Through(e Element) float64 { return s.x[len(s.net.names)+int(e)] }
