package instrument

import (
	"slices"
	"testing"
)

// A plan that takes four low parts warns once, and names them.
func TestWarningsOfAKindAreOne(t *testing.T) {
	hand, zeroed := HandHeld(), Instrument{GainPercent: 1, Wires: 2, LeadsFloorOhms: 0.1}
	low, same, metre := hand.ReadThrough("part R033", 1), hand.ReadThrough("part R044", 4), hand.ReadThrough("a metre of W001", 2)
	well := zeroed.ReadThrough("part R050", 2)
	for _, test := range []struct {
		all  []*TwoWires
		want []string
	}{
		{nil, nil},
		{[]*TwoWires{nil, hand.ReadThrough("part R001", 5), nil}, nil},
		{[]*TwoWires{low, same, low}, []string{"parts R033, R044 by two wires may be 500 mΩ off (12 to 50 %): help limits"}},
		{[]*TwoWires{metre, low}, []string{"a metre of W001, R033 by two wires may be 500 mΩ off (25 to 50 %): help limits"}},
		{[]*TwoWires{low, nil, well, low}, []string{
			"part R033: 1.000 Ω by two wires may be 500 mΩ off (50 %): help limits",
			"part R050: 2.000 Ω by two wires may be 100 mΩ off (5 %): help limits"}},
		{[]*TwoWires{hand.ReadThrough("", 0.05)}, []string{"50.00 mΩ by two wires may be 500 mΩ off (1000 %): help limits"}},
		{[]*TwoWires{hand.ReadThrough("", 0.006)}, []string{"6.000 mΩ is less than two wires can read: if it is marked, drawer add --nominal 0.006ohm --tolerance 0.5, then fit its id; if four wires read it, name them with --instrument"}},
	} {
		if got := Warnings(test.all); !slices.Equal(got, test.want) {
			t.Errorf("%q, want %q", got, test.want)
		}
	}
}
