package plan

import (
	"fmt"
	"testing"

	"shuntwright/cmd/shuntwright/internal/asbuilt"
	"shuntwright/cmd/shuntwright/internal/asbuilt/asbuilttest"
	"shuntwright/meter/wiring"
)

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
