package match

import (
	"testing"

	"shuntwright/match/jointtest"
)

// PublishedInstance reads a folder of testdata/joint for the comparison with
// general solvers, and makes it a problem.
func PublishedInstance(t testing.TB, name string) (jointtest.Instance, *Stock, Problem) {
	in := readInstance(t, name)
	return in.Instance, in.stock, in.problem
}
