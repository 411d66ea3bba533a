package plan

import (
	"fmt"
	"math"
	"slices"

	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/meter/quantity"
)

// ratingsWords say what each part may have here, and what would be near if
// ratings did not count.
func (k *seeker) ratingsWords(n found) string {
	does := "would do"
	if k.beyond(n) {
		does = "would come nearest"
	}
	return fmt.Sprintf("%s; without ratings %s %s", k.ceilingWords(), n.words(), does)
}

// rated reports whether any free part has a rating, or what stays.
func (k *seeker) rated() bool {
	return k.Need.KeepBears < math.Inf(1) || slices.ContainsFunc(k.left, func(i int) bool { return k.Bench.Parts[i].Watts > 0 || k.Bench.Parts[i].Volts > 0 })
}

// beyond tells that a network is off by more than twice the class, where there is
// one: what is further outside than that helps nobody.
func (k *seeker) beyond(n found) bool { return math.Abs(n.off) > 2*k.Class }

// ceilingWords say the largest resistance that the ratings of any free part
// allow at the current that the place carries.
func (k *seeker) ceilingWords() string {
	amperes := k.amperes()
	watts, volts := math.NaN(), math.NaN()
	for _, i := range k.left {
		watts, volts = larger(watts, k.Bench.Parts[i].Watts), larger(volts, k.Bench.Parts[i].Volts)
	}
	var said []string
	if watts > 0 {
		said = append(said, fmt.Sprintf("%s%s allows a part up to %s", shareWords(k.Derate), quantity.Format(watts, quantity.Watt, 3),
			quantity.Format(k.Derate*watts/(amperes*amperes), quantity.Ohm, 3)))
	}
	if volts > 0 {
		said = append(said, fmt.Sprintf("%s up to %s", quantity.Format(volts, quantity.Volt, 3), quantity.Format(volts/amperes, quantity.Ohm, 3)))
	}
	return fmt.Sprintf("at %s %s", quantity.Format(amperes, quantity.Ampere, 3), report.List(said))
}

// amperes is what flows through the place where it has its target.
func (k *seeker) amperes() float64 { return larger(k.Need.Flow, k.Need.Drop/k.Need.Target) }

func larger(a, b float64) float64 {
	if b > a || math.IsNaN(a) {
		return b
	}
	return a
}

// shareWords are the share of the rated watts that a part may carry.
func shareWords(derate float64) string {
	switch derate {
	case 1:
		return ""
	case 0.5:
		return "half of "
	}
	return fmt.Sprintf("%g of ", derate)
}
