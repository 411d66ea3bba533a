package match

import (
	"path/filepath"
	"testing"
)

// What the comparison with general solvers asks of this package's test data.

// PublishedInstance reads a folder of testdata/joint: the drawer, the problem
// with every position open, the optimum in percent, and how many candidate
// networks its maker counted.
func PublishedInstance(t testing.TB, name string) (s *Stock, p Problem, worst float64, columns int) {
	t.Helper()
	var answer struct{ Columns int }
	readJSON(t, filepath.Join("..", "testdata", "joint", name, "answer.json"), &answer)
	in := readInstance(t, name)
	return in.stock, in.problem, in.worst, answer.Columns
}

// PublishedMeter is the response of such a problem.
type PublishedMeter = circuits

// Movement returns its full-scale current in amperes and its coil in ohms.
func (c *circuits) Movement() (amperes, ohms float64) { return c.im, c.rm }

// Circuit returns the kind of the circuit that position i belongs to, and the
// full-scale value there in amperes or volts.
func (c *circuits) Circuit(i int) (kind string, fullScale float64) { return c.kind[i], c.full[i] }

// Values returns the parts' values in drawer order.
func (s *Stock) Values() []float64 { return s.values }
