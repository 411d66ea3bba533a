package main

import (
	"fmt"
	"math"
	"math/rand/v2"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"shuntwright/cmd/shuntwright/internal/predict"
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
			var got pickAnswer
			answered(t, &got, append(slices.Clone(args), more...)...)
			for _, one := range got.Choices {
				r := row{Network: one.Network, Error: math.Abs(one.ErrorPercent), Limit: *one.LimitPercent * one.Ohms / 24.65}
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

// TestSurestRing: in a ring a part known to 0.1 % wins over one known to 5 %
// that reads closer, and the plan is proven. All is invented.
func TestSurestRing(t *testing.T) {
	folder := t.TempDir()
	meter := put(t, folder, "ring.json", `{"name": "ring", "movement": {"full_scale": "1 mA", "coil": "90 ohm", "coil_gain_percent": 0.1},
		"circuits": [{"circuit": "ring", "ranges": ["10 mA", "100 mA"]}]}`)
	// The ring is 10 ohm: 9 ohm and 1 ohm.
	drawer := put(t, folder, "drawer.csv", "id,ohms,gain_percent,floor_ohms,instrument\n"+
		"well9,9.02,0.1,0,bridge\nbadly9,9.000,5,0,old meter\nwell1,1.003,0.1,0,bridge\nbadly1,1.0000,5,0,old meter\n")
	put(t, folder, "instruments.json", `{"bridge": {"gain_percent": 0.1}, "old meter": {"gain_percent": 5}}`)
	for _, test := range []struct {
		flag string
		want [2]string
	}{{"", [2]string{"badly9", "badly1"}}, {"--sure", [2]string{"well9", "well1"}}} {
		var got predict.Answer
		answered(t, &got, strings.Fields("plan "+meter+" --drawer "+drawer+" --instruments "+filepath.Join(folder, "instruments.json")+" --parts 1 "+test.flag)...)
		if !*got.Proven || got.Positions[0].Network != test.want[0] || got.Positions[1].Network != test.want[1] {
			t.Errorf("plan %s: %+v, proven %v; want %v", test.flag, got.Positions, *got.Proven, test.want)
		}
		sum := 0.0
		for _, r := range got.Ranges {
			sum = max(sum, math.Abs(*r.FullScaleError)+*r.LimitPercent)
		}
		if sure := test.flag != ""; sure && !(sum < 1) || !sure && !(sum > 3) {
			t.Errorf("plan %s: error and limit together %v", test.flag, sum)
		}
	}
}

// TestSureNamesWorst: with --sure the range named as worst is the one with the
// largest error and limit together, not the one with the largest error.
func TestSureNamesWorst(t *testing.T) {
	drawer := put(t, t.TempDir(), "drawer.csv", "id,ohms,gain_percent\nA,9.8k,0.1\nB,49.9k,3\n")
	meter := put(t, t.TempDir(), "m.json", `{"movement": {"full_scale": "1 mA", "coil": "98.6 ohm"}, "circuits": [
		{"circuit": "multiplier", "range": "10 V"}, {"circuit": "multiplier", "range": "50 V"}]}`)
	for sure, want := range map[string]string{"--sure=false": "worst range 10 V, +1.0", "--sure": "worst range 50 V, 0.0"} {
		if s := program("plan", meter, "--drawer", drawer, sure); !strings.Contains(s.out, want) {
			t.Errorf("%s: want %q in %s%s", sure, want, s.out, s.err)
		}
	}
	classed := put(t, t.TempDir(), "classed.json", `{"class": 2, "movement": {"full_scale": "1 mA", "coil": "98.6 ohm"}, "circuits": [
		{"circuit": "multiplier", "range": "10 V"}, {"circuit": "multiplier", "range": "50 V"}]}`)
	if s := program("plan", classed, "--drawer", drawer, "--sure"); !strings.Contains(plainText(s.out), "undecided: 10 V, +1.02 ±0.98 %, 50 V, 0.0 ±2.9 %") {
		t.Errorf("the limit is what puts it in doubt, and is not said: %s%s", s.out, s.err)
	}
}
