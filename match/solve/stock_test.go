package solve

import (
	"testing"

	"shuntwright/match/enumerate"
	"shuntwright/match/matchtest"
)

func stockOf(t testing.TB, values ...float64) *enumerate.Stock {
	t.Helper()
	s, err := enumerate.NewStock(matchtest.Parts(values))
	if err != nil {
		t.Fatal(err)
	}
	return s
}
