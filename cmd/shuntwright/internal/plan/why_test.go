package plan

import (
	"context"
	"fmt"
	"math"
	"strings"
	"testing"

	"shuntwright/cmd/shuntwright/internal/asbuilt"
	"shuntwright/cmd/shuntwright/internal/asbuilt/asbuilttest"
	"shuntwright/match"
)

// manyParts are so many invented half-watt resistors up to 150 kΩ, and one more
// where it is not empty.
func manyParts(n int, more string) string {
	var out strings.Builder
	out.WriteString("id,ohms,watts,volts\n")
	for i := range n {
		fmt.Fprintf(&out, "R%03d,%.5g,0.5,350\n", i, 1000*math.Pow(150, float64(i)/float64(n-1)))
	}
	return out.String() + more
}

// place is a position of 1 MΩ that takes 1 mA.
func place(b *asbuilt.Setup) Place {
	chosen := b.Free(nil, asbuilt.Wanted{})
	return Place{Need: match.Need{Target: 1e6, Within: 0.02, AtMost: 2, Keep: math.NaN(), KeepBears: math.Inf(1), Flow: 1e-3, Drop: math.NaN()},
		Chosen: chosen, Window: true}
}

const anyMeter = `{"movement": {"full_scale": "1 mA", "coil": "100 ohm"}, "circuits": [{"circuit": "multiplier", "range": "1000 V"}]}`

// What was not looked at is not claimed: with no time at all nothing is said to be
// missing, too few or too weak.
func TestReasonsClaimNothingInNoTime(t *testing.T) {
	b := asbuilttest.Open(t, anyMeter, manyParts(200, ""), "{}")
	ended, end := context.WithCancel(context.Background())
	end()
	p := place(b)
	p.Need.AtMost = 4
	why, err := Explain(ended, b.Bench, asbuilt.Asked{AtMost: 4, Derate: 0.5, Class: math.NaN()}, p)
	if err != nil {
		t.Fatal(err)
	}
	if why.Why == tooWeak || why.Why == tooFewParts || why.Why == takenElse || strings.Contains(why.Text, "no free part") || strings.Contains(why.Text, "near enough;") {
		t.Errorf("with no time: %q: %s", why.Why, why.Text)
	}
	if !strings.Contains(why.Text, "in the time there was") {
		t.Errorf("with no time: %q", why.Text)
	}
}

// The same questions with time, and a condition lifted each.
func TestReasons(t *testing.T) {
	for _, test := range []struct {
		name, more string
		change     func(*Place)
		want       string
		says       string
	}{
		{"ratings", "BIG,1.001M,0.25,350\n", func(*Place) {}, tooWeak, "at 1.00 mA half of 500 mW allows a part up to 250 kΩ, 350 V up to 350 kΩ; without ratings BIG"},
		{"ratings by volts", "BIG,1.001M,0.25,350\n", func(p *Place) { p.Need.Flow, p.Need.Drop = math.NaN(), 1000 }, tooWeak, "350 V up to 350 kΩ; without ratings BIG"},
		{"none", "", func(*Place) {}, noneThere, "no free part is large enough: the largest has 150.0 kΩ"},
		{"within", "BIG,1.047M,5,2000\n", func(*Place) {}, tooFar, "nothing free is near enough; the nearest as asked is BIG, 1.047 MΩ (+4.70 %); --within 5 takes it"},
		{"within, overdriven", "BIG,1.047M,5,2000\n", func(p *Place) { p.Over = func(ohms float64) float64 { return ohms/1e4 - 80 } }, tooFar,
			"BIG, 1.047 MΩ (+4.70 %), with which full scale drives the movement to 1.2 times its own; buy what is missing"},
		{"within, nearly overdriven", "BIG,1.047M,5,2000\n", func(p *Place) { p.Over = func(float64) float64 { return 20 } }, tooFar, "(+4.70 %); --within 5 takes it"},
		{"within a class", "BIG,1.047M,5,2000\n", func(p *Place) { p.Window = false }, tooFar, "(+4.70 %); buy what is missing"},
		{"parts", "A,495k,5,2000\nB,300k,5,2000\nC,199k,5,2000\n", func(*Place) {}, tooFewParts, "2 parts cannot come near, 3 parts can: A + B + C"},
		{"taken", "BIG,1.001M,5,2000\n", func(p *Place) {
			p.Taken = map[int]string{60: "multiplier 2000 V"}
		}, takenElse, "BIG, 1.001 MΩ (+0.10 %) would do, but is taken: BIG by multiplier 2000 V"},
		{"free", "BIG,1.001M,5,2000\n", func(*Place) {}, unmet, ""},
	} {
		b := asbuilttest.Open(t, anyMeter, manyParts(60, test.more), "{}")
		p := place(b)
		test.change(&p)
		why, err := Explain(context.Background(), b.Bench, asbuilt.Asked{AtMost: 2, Derate: 0.5, Class: math.NaN()}, p)
		if err != nil || why.Why != test.want || !strings.Contains(why.Text, test.says) {
			t.Errorf("%s: %q: %s, %v; want %q: %s", test.name, why.Why, why.Text, err, test.want, test.says)
		}
		if near := why.Nearest; test.name == "ratings" && near.Network != "R058 + R059" || test.name == "ratings by volts" && near != nil {
			t.Errorf("%s: %v is the nearest within the ratings", test.name, near)
		}
	}
}

// Ratings are asked about only where there are any: what a search that ended early
// missed, one without ratings may find.
func TestRated(t *testing.T) {
	for _, test := range []struct {
		parts string
		keeps float64
		want  bool
	}{
		{"id,ohms\nA,1M\n", math.Inf(1), false},
		{"id,ohms\nA,1M\n", 0.01, true},
		{"id,ohms,watts\nA,1M,\nB,2M,0.5\n", math.Inf(1), true},
		{"id,ohms,volts\nA,1M,350\n", math.Inf(1), true},
	} {
		b := asbuilttest.Open(t, anyMeter, test.parts, "{}")
		k := &seeker{Bench: b.Bench, Place: place(b), left: b.Free(nil, asbuilt.Wanted{})}
		if k.Need.KeepBears = test.keeps; k.rated() != test.want {
			t.Errorf("%q, what stays bears %v: %v", test.parts, test.keeps, k.rated())
		}
	}
}
