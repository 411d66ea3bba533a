package plan

import (
	"context"
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"shuntwright/cmd/shuntwright/internal/asbuilt"
	"shuntwright/cmd/shuntwright/internal/asbuilt/asbuilttest"
	"shuntwright/inventory"
	"shuntwright/meter/wiring"
)

// drifted is a multiplier of 9900 ohm with something else fitted in its place.
const drifted = `{"class": 1, "movement": {"full_scale": "1 mA", "coil": "100 ohm"},
 "circuits": [{"circuit": "multiplier", "range": "10 V", "fitted": "K"}]}`

// trimmed is a trim of a meter with up to so many parts a place, in a class.
func trimmed(t *testing.T, meter, drawer string, atMost int, class float64) (map[int]wiring.Network, Outcome) {
	t.Helper()
	p := &Planner{asbuilttest.Open(t, meter, drawer, "{}"), asbuilt.Asked{AtMost: atMost, Within: 0.2, Derate: 0.5, Class: class, Trim: true, Resolution: 0.05}}
	q, err := p.Ask(map[int]wiring.Network{})
	if err != nil {
		t.Fatal(err)
	}
	found := NewOutcome(p, q)
	networks, err := p.Search(t.Context(), &found)
	if err != nil {
		t.Fatal(err)
	}
	return networks, found
}

// TestHalfDecides: what stays must decide half of the value. Just above that a
// trim is one, and the part that would do alone is left in the drawer; just below
// the part replaces all, and where there is none it is said how little the old one
// decides. What is fitted has drifted by less than a fifth, else it goes anyhow: a
// part across it and one before that leave it a share of v²/(K·R), v being the two
// across; one before it and one across both K·R/s², s being the two in series.
func TestHalfDecides(t *testing.T) {
	const wanted, kept = 9900., 10300.
	across := func(share float64) (a, b float64) {
		v := math.Sqrt(share * kept * wanted)
		return 1 / (1/v - 1/kept), wanted - v
	}
	before := func(share float64) (a, b float64) {
		s := math.Sqrt(kept * wanted / share)
		return s - kept, 1 / (1/wanted - 1/s)
	}
	for name, made := range map[string]func(float64) (float64, float64){"first across": across, "first before": before} {
		for _, share := range []float64{0.49, 0.51} {
			for _, alone := range []bool{true, false} {
				a, b := made(share)
				drawer := fmt.Sprintf("id,ohms\nK,%.0f\nA,%.6f\nB,%.6f\n", kept, a, b)
				if alone {
					drawer += "C,9900\n"
				}
				networks, found := trimmed(t, drifted, drawer, 2, 1)
				n, little := networks[0].String(), share < 0.5
				if (n == "C") != (alone && little) || found.Replaced[0] != (alone && little) {
					t.Errorf("%s, %v of the value, a part that would do alone %v: %s, replaced %v", name, share, alone, n, found.Replaced)
				}
				if said, is := found.Swamped[0]; is != (!alone && little) || is && math.Abs(said-share) > 1e-6 {
					t.Errorf("%s, %v of the value, a part that would do alone %v: swamped %v", name, share, alone, found.Swamped)
				}
			}
		}
	}
}

// TestKeptIsDerated: what stays is held to the same share of its watts as what
// is added.
func TestKeptIsDerated(t *testing.T) {
	p := &Planner{asbuilttest.Open(t, drifted, "id,ohms,watts\nK,10k,0.1\nA,1M,1\n", "{}"), asbuilt.Asked{AtMost: 1, Within: 0.2, Derate: 0.25, Class: 1}}
	q, err := p.Ask(map[int]wiring.Network{0: p.Networks[0]})
	if err != nil {
		t.Fatal(err)
	}
	if got, want := q.Problem.Needs[0].KeepBears, math.Sqrt(1.01*0.25*0.1/10e3); math.Abs(got/want-1) > 1e-12 {
		t.Errorf("what stays may carry %v A, want %v", got, want)
	}
}

// TestHalfOfTime: the surest plan is sought in half of the time that is left, so
// that there is as much for the plans that it is then held against.
func TestHalfOfTime(t *testing.T) {
	const left = time.Hour
	ctx, stop := context.WithTimeout(t.Context(), left)
	defer stop()
	soon, halt := ShareOf(ctx, forSurest)
	defer halt()
	end, limited := soon.Deadline()
	if got := time.Until(end); !limited || got < left/2-time.Minute || got > left/2 {
		t.Errorf("%v of %v, limited %v", got, left, limited)
	}
	endless, halt := ShareOf(t.Context(), forSurest)
	defer halt()
	if _, limited := endless.Deadline(); limited {
		t.Error("half of no limit is one")
	}
}

// What was added goes again where the range is within the class without it, or as
// far beyond it as with it; what brings it nearer stays, and so does what is beside a
// position that was replaced as a whole. The multiplier should have 9900 ohm.
func TestUntrim(t *testing.T) {
	for _, test := range []struct {
		kept, added string
		replaced    bool
		want        string
	}{
		{"9900", "1.5M", false, "K"},         // reads true, 0.65 % high with what was added
		{"9985", "1.17M", false, "K"},        // 0.84 % low within the class
		{"10300", "254925", false, "K || A"}, // 3.8 % low, and true with it
		{"12000", "100k", false, "K || A"},   // beyond both times, and nearer with it
		{"12000", "100M", false, "K"},        // beyond both times, by a tenth of a step less
		{"10300", "1.1M", false, "K || A"},   // 3.8 % low, 2.9 % with it
		{"9900", "1.5M", true, "K || A"},
	} {
		p := &Planner{asbuilttest.Open(t, drifted, fmt.Sprintf("id,ohms\nK,%s\nA,%s\n", test.kept, test.added), "{}"),
			asbuilt.Asked{AtMost: 2, Within: 0.2, Derate: 0.5, Class: 1, Trim: true, Resolution: 0.05}}
		made := NewOutcome(p, &Question{Open: []int{0}, Kept: map[int]wiring.Network{0: p.Networks[0]}})
		made.Replaced, made.Swamped = map[int]bool{0: test.replaced}, map[int]float64{}
		n, err := wiring.Parse("K || A")
		if err != nil {
			t.Fatal(err)
		}
		networks := map[int]wiring.Network{0: n}
		if err := p.untrim(&made, networks); err != nil || networks[0].String() != test.want {
			t.Errorf("%+v: %s, error %v", test, networks[0], err)
		}
	}
}

// TestUntrimWhatWasReplacedFor: the first resistor of a chain has 1300 ohm for 900,
// which nothing added mends; 10 V, 3.85 % low with it, is brought within the class by
// A across the second. With B in the place of the first all reads true without A.
func TestUntrimWhatWasReplacedFor(t *testing.T) {
	const chain = `{"class": 3, "movement": {"full_scale": "1 mA", "coil": "100 ohm"},
 "circuits": [{"circuit": "chain", "ranges": ["1 V", "10 V"], "fitted": {"1 V": "1300 ohm", "10 V": "9 kohm"}}]}`
	for drawer, want := range map[string][]string{"A,531k\n": {"1300 ohm", "9 kohm || A"}, "A,531k\nB,900\n": {"B", "9 kohm"}} {
		networks, made := trimmed(t, chain, "id,ohms\n"+drawer, 1, 3)
		if networks[0].String() != want[0] || networks[1].String() != want[1] || made.Replaced[0] != (want[0] == "B") {
			t.Errorf("of %q: %v, replaced %v; want %v", drawer, networks, made.Replaced, want)
		}
	}
}

// TestInstead: with B, 10300 ohm for 9900, the range reads 3.8 % low. That is no
// stand-in for what reads true where it is beyond the class, and one where it is
// within, or where the range was beyond it before; but none where another position
// has it.
func TestInstead(t *testing.T) {
	other := strings.Replace(drifted, "]}", `, {"circuit": "multiplier", "range": "10.4 V", "fitted": "B"}]}`, 1)
	for _, test := range []struct {
		meter, kept string
		class       float64
		is          bool
	}{{drifted, "9900", 1, false}, {drifted, "9900", 5, true}, {drifted, "12000", 1, true}, {other, "12000", 1, false}} {
		p := &Planner{asbuilttest.Open(t, test.meter, "id,ohms\nK,"+test.kept+"\nB,10300\n", "{}"),
			asbuilt.Asked{AtMost: 1, Within: 0.2, Derate: 0.5, Class: test.class, Resolution: 0.05}}
		made := NewOutcome(p, &Question{Open: []int{0}, Chosen: []int{0, 1}, Kept: map[int]wiring.Network{}})
		trial, err := p.Instead(t.Context(), &made, 0, func(part inventory.Part) bool { return part.ID == "K" })
		if err != nil || (trial != nil) != test.is || test.is && trial.Networks[0].String() != "B" {
			t.Errorf("%+v: %v, error %v", test, trial != nil, err)
		}
	}
}
