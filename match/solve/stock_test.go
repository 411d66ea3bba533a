package solve

import (
	"testing"

	"shuntwright/match"
	"shuntwright/match/enumerate"
	"shuntwright/match/matchtest"
)

func need(target float64, atMost int) match.Need { return matchtest.Need(target, atMost) }

func stockOf(t testing.TB, values ...float64) *enumerate.Stock {
	t.Helper()
	s, err := enumerate.NewStock(matchtest.Parts(values))
	if err != nil {
		t.Fatal(err)
	}
	return s
}
