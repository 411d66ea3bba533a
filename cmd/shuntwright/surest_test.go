package main

import (
	"fmt"
	"math"
	"math/rand/v2"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// unlikeParts is a drawer of parts that several instruments read, or none.
func unlikeParts(rng *rand.Rand, seed uint64) string {
	var text strings.Builder
	text.WriteString("id,ohms,instrument,gain_percent,floor_ohms\n")
	for i := range 24 {
		x := 20 * math.Exp(0.7*rng.NormFloat64())
		how := []string{",,", "bridge,,", "rough,,", fmt.Sprintf(",%.2g,0.001", 0.01+rng.Float64())}
		switch {
		case seed%4 == 1:
			how = []string{",,"}
		case seed%4 == 3:
			how = []string{",,", ",1,0.001", "rough,,"} // a bound that is worth something
		case seed%5 == 0:
			how = append(how, ",0,0.002")
		}
		fmt.Fprintf(&text, "P%d,%.3f,%s\n", i, x, how[rng.IntN(len(how))])
	}
	return text.String()
}

// TestPickSurest: the few best of a short list are those of the list of all
// networks, which no bound has cut; the drawer has parts of several
// instruments, of none, and some known exactly but for a floor.
func TestPickSurest(t *testing.T) {
	t.Parallel()
	other := 0
	for seed := range uint64(8) {
		rng := rand.New(rand.NewPCG(seed, 5))
		drawer := put(t, t.TempDir(), "drawer.csv", unlikeParts(rng, seed))
		put(t, filepath.Dir(drawer), "instruments.json", `{"bridge": {"gain_percent": 0.05, "floor": "0.5 mohm", "wires": 4}, "rough": {"gain_percent": 2}}`)
		args := []string{"pick", "24.65", "--drawer", drawer, "--within", "60", "--parts", "2", "--sure"}
		if seed%3 == 0 {
			args = append(args, "--keep", "23.9 ohm", "--instrument", "bridge")
		}
		step := []float64{0, 0.001, 0.5}[seed%3]
		args = append(args, "--resolution", fmt.Sprint(step))
		type row struct {
			Network      string
			Error, Limit float64
			steps        [2]int // and parts, where steps count
		}
		read := func(more ...string) (rows []row) {
			var got struct {
				Choices []struct {
					Network string
					Parts   []string
					Ohms    float64
					Error   float64 `json:"error_percent"`
					Limit   float64 `json:"limit_percent"`
				}
			}
			answered(t, &got, append(slices.Clone(args), more...)...)
			for _, one := range got.Choices {
				r := row{Network: one.Network, Error: math.Abs(one.Error), Limit: one.Limit * one.Ohms / 24.65}
				if step > 0 {
					r.steps = [2]int{int((r.Error + r.Limit) / step * (1 + 1e-9)), len(one.Parts)}
				}
				rows = append(rows, r)
			}
			return rows
		}
		all, few := read("--top", "200000"), read("--top", "6")
		if !slices.Equal(few, all[:len(few)]) || len(few) < 6 {
			t.Errorf("seed %d: %v, want %v", seed, few, all[:6])
		}
		if !slices.IsSortedFunc(all, func(a, b row) int {
			if a.steps != b.steps {
				return slices.Compare(a.steps[:], b.steps[:])
			}
			if d := a.Error + a.Limit - b.Error - b.Limit; math.Abs(d) > 1e-8 {
				return int(math.Copysign(1, d))
			}
			return 0
		}) {
			t.Errorf("seed %d: not in order of error plus limit in steps of %v %%", seed, step)
		}
		if slices.ContainsFunc(few[1:], func(r row) bool { return r.Error < few[0].Error }) {
			other++
		}
	}
	if other < 2 {
		t.Errorf("only in %d of 8 drawers is the surest not the nearest", other)
	}
}
