package solve

import (
	"math"
	"math/rand/v2"
	"testing"

	"shuntwright/match"
	"shuntwright/match/enumerate"
	"shuntwright/match/matchtest"
	"shuntwright/match/network"
	"shuntwright/match/objective"
)

// anyPlan fills the slots one after the other with any networks whose parts are
// free; nil where one cannot be filled.
func anyPlan(rng *rand.Rand, s *enumerate.Stock, p match.Problem) []network.Network {
	used, nets := map[int]bool{}, make([]network.Network, len(p.Needs))
	for i, n := range p.Needs {
		all := matchtest.Every(s.Parts(), n)
		rng.Shuffle(len(all), func(a, b int) { all[a], all[b] = all[b], all[a] })
		for _, net := range all {
			if d := net.Value()/n.Target - 1; max(d, -d) <= n.Within && free(net, used) {
				nets[i] = net
				break
			}
		}
		if nets[i].IsZero() {
			return nil
		}
		for _, part := range nets[i].Parts() {
			used[part] = true
		}
	}
	return nets
}

func free(n network.Network, used map[int]bool) bool {
	for _, part := range n.Parts() {
		if used[part] {
			return false
		}
	}
	return true
}

// Whatever plan there is, the first of all is found among what it leaves,
// whether circuits have been chosen alone or not; where nobody sees a
// difference in errors that is the one of the fewest parts.
func TestTogetherFromAnyPlan(t *testing.T) {
	bettered := 0
	for seed := range matchtest.Seeds(600) {
		rng := rand.New(rand.NewPCG(seed, 38))
		s, p := drawMeter(t, rng)
		if seed%2 == 0 {
			p.Class, p.Resolution, p.Enough = 30, 30, 0
		}
		nets := anyPlan(rng, s, p)
		if nets == nil {
			continue
		}
		j := newJoint(objective.New(t.Context(), s, p))
		j.nets = nets
		j.everything().count(&j.best, nets)
		j.split()
		before := j.best
		alone := j.state()
		if seed%3 == 0 {
			j.alone(alone, 1<<30)
		}
		if !j.together(alone, many) {
			t.Fatalf("seed %d: not chosen to the end", seed)
		}
		want, _ := matchtest.BestPlan(s.Parts(), p)
		got := j.Plan(j.nets)
		costs, parts := got.Errors, got.Parts()
		for r, e := range costs {
			costs[r] = math.Abs(e)
		}
		if matchtest.CompareByWords(p.Order(), costs, want.PerRange(), parts, want.Parts) != 0 {
			t.Fatalf("seed %d: %+v: %v with %d parts, want %v with %d", seed, p.Order(), costs, parts, want.PerRange(), want.Parts)
		}
		if got.Key.Compare(&before) < 0 {
			bettered++
		}
	}
	if bettered < 66 {
		t.Errorf("only %d plans were bettered", bettered)
	}
}
