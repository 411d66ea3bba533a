package plan

import (
	"context"
	"fmt"
	"math"

	"shuntwright/cmd/shuntwright/internal/asbuilt"
	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/match"
	"shuntwright/match/network"
	"shuntwright/meter/quantity"
	"shuntwright/meter/wiring"
)

// Reason is what stands in the way of a network: the condition without which a
// search finds one.
type Reason string

// The reasons.
const (
	Unmet   Reason = ""        // nothing: a network that would do is free, and the search ended before it was looked at or had better use for it
	Taken   Reason = "taken"   // other positions take the parts
	Parts   Reason = "parts"   // so few parts cannot come near
	Ratings Reason = "ratings" // what comes near may not carry so much
	Within  Reason = "within"  // the nearest is further off than was asked for
	None    Reason = "none"    // no part is small or large enough
)

// farOff is a fraction of the target beyond which nobody solders a network,
// whatever --within says.
const farOff = 0.5

// Why tells why nothing fills a place, or nothing that brings its range within
// the class, and what would help.
type Why struct {
	Reason  Reason
	Text    string
	Helps   string         // the flag that would, with its value; empty: none does
	Network wiring.Network // the nearest that there is within the ratings and the parts allowed; the zero Network: none
	Ohms    float64        // of it
	Error   float64        // of it, in percent of the target
}

// Place is a place for which no network was found that is good enough.
type Place struct {
	Need   match.Need     // Within says what is good enough
	Kept   wiring.Network // what stays in it, where Need.Keep is a number
	Left   []int          // the parts, by index, that no other place takes
	Chosen []int          // all parts that were to be chosen from, Left among them
	Taken  map[int]string // by index, the place that takes the part
	Ohms   float64        // the target that errors are told from, in ohms
}

// found is a network as the search and as the drawer has it.
type found struct {
	network.Network
	wired wiring.Network
	off   float64 // percent of the place's target, with its sign
}

// Explain finds out why: it asks again without one condition after the other.
// Where ctx ends first the conditions not yet looked at count as no help.
func Explain(ctx context.Context, b *asbuilt.Bench, asked asbuilt.Asked, p Place) (Why, error) {
	k := seeker{ctx, b, asked, p, 0}
	near, any, err := k.ask(func(k *seeker) { k.Need.Within = math.Inf(1) })
	if err != nil {
		return Why{}, err
	}
	out := Why{Reason: None}
	if _, free, err := k.ask(func(*seeker) {}); free || err != nil {
		return Why{Reason: Unmet}, err
	}
	if any {
		out.Network, out.Ohms, out.Error = near.wired, near.Value(), near.off
	}
	for _, try := range []struct {
		reason Reason
		change func(*seeker)
		words  func(*seeker, found) string
	}{
		{Taken, (*seeker).withAll, (*seeker).takenWords},
		{Parts, (*seeker).withParts, (*seeker).partsWords},
		{Ratings, (*seeker).withoutRatings, (*seeker).ratingsWords},
		{Ratings, func(k *seeker) { k.withoutRatings(); k.withParts() }, (*seeker).ratingsWords},
	} {
		n, there, err := k.fewest(try.change)
		if err != nil {
			return Why{}, err
		}
		if there {
			out.Reason, out.Text = try.reason, try.words(&k, n)+k.nearestWords(near, any)
			return out, k.addHelp(&out)
		}
	}
	switch {
	case any && math.Abs(near.off) <= 100*farOff:
		out.Reason = Within
		out.Text = fmt.Sprintf("nothing free is near enough%s", k.nearestWords(near, any))
	default:
		out.Text = k.noneWords() + k.nearestWords(near, any)
	}
	return out, k.addHelp(&out)
}

// seeker asks for one place.
type seeker struct {
	ctx context.Context
	*asbuilt.Bench
	asbuilt.Asked
	Place
	most int // parts that fewest may allow
}

func (k *seeker) withAll()   { k.Left = k.Chosen }
func (k *seeker) withParts() { k.most = network.MaxParts }
func (k *seeker) withoutRatings() {
	k.Need.Flow, k.Need.Drop, k.Need.KeepBears = math.NaN(), math.NaN(), math.Inf(1)
}

// fewest asks with something changed, and allows one part after the other more
// where that is what was changed.
func (k seeker) fewest(change func(*seeker)) (n found, there bool, err error) {
	change(&k)
	if k.most == 0 {
		return k.ask(func(*seeker) {})
	}
	for ; !there && err == nil && k.Need.AtMost < k.most; k.Need.AtMost++ {
		n, there, err = k.ask(func(k *seeker) { k.Need.AtMost++ })
	}
	return n, there, err
}

// ask looks for the nearest network of a place with something changed.
func (k seeker) ask(change func(*seeker)) (found, bool, error) {
	change(&k)
	if len(k.Left) == 0 {
		return found{}, false, nil
	}
	stock, err := k.Stock(k.Left, k.Derate)
	if err != nil {
		return found{}, false, err
	}
	picked, err := stock.Pick(k.ctx, match.Query{Need: k.Need, Top: 1})
	if err != nil || len(picked.Choices) == 0 {
		return found{}, false, err
	}
	n := picked.Choices[0].Network
	return found{n, k.Wire(n, k.Left, k.Kept), 100 * (n.Value()/k.Place.Ohms - 1)}, true, nil
}

// words name a network with its value and how far that is off.
func (f found) words() string {
	return fmt.Sprintf("%s, %s (%s)", f.wired, quantity.Format(f.Value(), quantity.Ohm, 4), report.PercentError(f.off, math.NaN()).Text)
}

func (k *seeker) nearestWords(near found, any bool) string {
	if !any || math.Abs(near.off) > 100*farOff {
		return ""
	}
	return "; the nearest as asked is " + near.words()
}

// takenWords name who takes the parts of a network that would do.
func (k *seeker) takenWords(n found) string {
	var by []string
	for _, part := range n.Parts() {
		if place, taken := k.Taken[k.Chosen[part]]; taken {
			by = append(by, fmt.Sprintf("%s by %s", k.Bench.Parts[k.Chosen[part]].ID, place))
		}
	}
	if len(by) == 0 { // a search that was ended
		return fmt.Sprintf("%s would do: the search was ended before that", n.words())
	}
	return fmt.Sprintf("%s would do, but is taken: %s", n.words(), report.List(by))
}

func (k *seeker) partsWords(n found) string {
	return fmt.Sprintf("%s cannot come near, %s can: %s", report.Counted(k.Need.AtMost, "part"), report.Counted(n.Size(), "part"), n.words())
}

// ratingsWords say what each part may have here, and what would be near if
// ratings did not count.
func (k *seeker) ratingsWords(n found) string {
	does := "would do"
	if k.beyond(n) {
		does = "would come nearest"
	}
	return fmt.Sprintf("%s; without ratings %s %s", k.ceilingWords(), n.words(), does)
}

// beyond tells that a network is off by more than twice the class, where there is
// one: what is further outside than that helps nobody.
func (k *seeker) beyond(n found) bool { return math.Abs(n.off) > 2*k.Class }

// ceilingWords say the largest resistance that the ratings of any free part
// allow at the current that the place carries.
func (k *seeker) ceilingWords() string {
	amperes := k.Need.Flow
	if volts := k.Need.Drop; volts > 0 && !(amperes > volts/k.Need.Target) {
		amperes = volts / k.Need.Target
	}
	watts, volts := math.NaN(), math.NaN()
	for _, i := range k.Left {
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

// noneWords say on which side the parts fail.
func (k *seeker) noneWords() string {
	if len(k.Left) == 0 {
		return "no part is free"
	}
	least, most := math.Inf(1), 0.0
	for _, i := range k.Left {
		least, most = min(least, k.Measured[i].Ohms), max(most, k.Measured[i].Ohms)
	}
	switch {
	case k.Place.Ohms < least:
		return "no free part is small enough: the smallest has " + quantity.Format(least, quantity.Ohm, 4)
	case k.Place.Ohms > most:
		return "no free part is large enough: the largest has " + quantity.Format(most, quantity.Ohm, 4)
	}
	return "no free part suits"
}

// addHelp ends the text with what would help most: what the call can allow, or
// else buying, or winding where the target is a length of wire.
func (k *seeker) addHelp(out *Why) error {
	for _, try := range []struct {
		flag   string
		change func(*seeker)
	}{
		{"--parts", (*seeker).withParts},
		{"--derate 1", func(k *seeker) { k.Derate = 1 }},
	} {
		n, there, err := k.fewest(try.change)
		if err != nil {
			return err
		}
		if there && !k.beyond(n) {
			if try.flag == "--parts" {
				try.flag = fmt.Sprintf("--parts %d", n.Size())
			}
			out.Helps = try.flag
			out.Text += fmt.Sprintf("; %s helps", try.flag)
			return nil
		}
	}
	switch {
	case out.Reason == Within:
		out.Helps = fmt.Sprintf("--within %.0f", math.Ceil(math.Abs(out.Error)))
		out.Text += fmt.Sprintf("; %s takes it", out.Helps)
	case k.Place.Ohms < woundBelowOhms:
		out.Text += "; wind it of resistance wire, or buy a part (plan --buy 2)"
	default:
		out.Text += "; buy what is missing (plan --buy 2)"
	}
	return nil
}

// woundBelowOhms is what is easier made of wire than found as a part (common
// practice).
const woundBelowOhms = 2
