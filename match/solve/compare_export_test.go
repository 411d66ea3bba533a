package solve

import (
	"testing"

	"shuntwright/match"
	"shuntwright/match/enumerate"
	"shuntwright/match/matchtest"
)

// PublishedInstance reads a folder of testdata/joint for the comparison with
// general solvers, and makes it a problem.
func PublishedInstance(t testing.TB, name string) (matchtest.Instance, *enumerate.Stock, match.Problem) {
	in := readInstance(t, name)
	return in.Instance, in.stock, in.problem
}
