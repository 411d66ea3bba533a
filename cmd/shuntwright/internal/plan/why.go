package plan

import (
	"context"
	"fmt"
	"math"
	"slices"

	"shuntwright/cmd/shuntwright/internal/asbuilt"
	"shuntwright/cmd/shuntwright/internal/predict"
	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/match"
	"shuntwright/match/network"
	"shuntwright/meter/quantity"
	"shuntwright/meter/wiring"
)

// What stands in the way of a network: the condition without which a search finds
// one.
const (
	unmet        = ""        // nothing: a network that would do is free
	takenElse    = "taken"   // other positions take the parts
	tooFewParts  = "parts"   // so few parts cannot come near
	tooWeak      = "ratings" // what comes near may not carry so much
	tooFar       = "within"  // the nearest is further off than was asked for
	noneThere    = "none"    // no part is small or large enough, or nothing was found in time
	othersSuffer = "others"  // what would do would put other ranges off
)

// farOff is a fraction of the target beyond which nobody solders a network,
// whatever --within says.
const farOff = 0.5

// Place is a place for which no network was found that is good enough.
type Place struct {
	Need   match.Need                 // Within says what is good enough
	Kept   wiring.Network             // what stays in it, where Need.Keep is a number
	Chosen []int                      // the parts, by index, that were to be chosen from
	Taken  map[int]string             // by index, the place that takes the part
	Window bool                       // what is good enough is what the call asks, not a class
	Winds  string                     // how it could be wound; empty: it could not, or nobody looked
	Over   func(ohms float64) float64 // how far a range reads high at most with that in it, in percent; nil: nobody knows
}

// Explain finds out why nothing fills a place, or nothing that brings its range
// within the class, and what would help: it asks again without one condition after
// the other. What is not found out before ctx ends is not claimed. Where a network
// that would do is free, the reason is empty.
func Explain(ctx context.Context, b *asbuilt.Bench, asked asbuilt.Asked, p Place) (predict.Why, error) {
	k := &seeker{ctx: ctx, Bench: b, Asked: asked, Place: p}
	k.left = slices.DeleteFunc(slices.Clone(p.Chosen), func(i int) bool { return p.Taken[i] != "" })
	free, err := k.ask(func(*seeker) {})
	if err != nil {
		return predict.Why{}, err
	}
	if free.there {
		return predict.Why{Nearest: free.nearest()}, nil
	}
	for _, try := range []struct {
		reason string
		change func(*seeker)
		words  func(*seeker, found) string
	}{
		{takenElse, (*seeker).withAll, (*seeker).takenWords},
		{tooFewParts, (*seeker).withParts, (*seeker).partsWords},
		{tooWeak, (*seeker).withoutRatings, (*seeker).ratingsWords},
		{tooWeak, func(k *seeker) { k.withoutRatings(); k.withParts() }, (*seeker).ratingsWords},
	} {
		if try.reason == tooWeak && !k.rated() {
			continue // whatever a search finds, ratings did not keep it away
		}
		n, err := k.fewest(try.change)
		if err != nil {
			return predict.Why{}, err
		}
		if n.there {
			return k.finish(predict.Why{Why: try.reason, Text: try.words(k, n)})
		}
	}
	return k.finish(predict.Why{Why: noneThere})
}

// finish adds the nearest network that there is and what would help, and where
// nothing stands in the way but the distance, says that.
func (k *seeker) finish(out predict.Why) (predict.Why, error) {
	near, err := k.ask((*seeker).anyDistance)
	if err != nil {
		return out, err
	}
	if near.there {
		out.Nearest = near.nearest()
	}
	switch {
	case out.Why != noneThere:
	case near.there && math.Abs(near.off) <= 100*farOff:
		out.Why, out.Text = tooFar, "nothing free is near enough"
		if k.unsure {
			out.Text = "nothing near enough was found in the time there was"
		}
	case k.unsure:
		out.Text = "nothing was found in the time there was, and not what stands in the way; --time-limit 1m looks longer"
	default:
		out.Text = k.noneWords()
	}
	if near.there && math.Abs(near.off) <= 100*farOff {
		out.Text += "; the nearest as asked is " + near.words()
		if over := k.over(near); over > match.Overdrive {
			out.Text += fmt.Sprintf(", with which full scale drives the movement to %.2g times its own", 1+over/100)
		}
	}
	return out, k.addHelp(&out, near)
}

// over is how far a range reads high at most with a network, NaN where nobody
// knows.
func (k *seeker) over(n found) float64 {
	if k.Over == nil || !n.there {
		return math.NaN()
	}
	return k.Over(n.Value())
}

// found is a network as the search and as the drawer has it.
type found struct {
	network.Network
	there bool
	wired wiring.Network
	off   float64 // percent of the place's target, with its sign
}

// seeker asks for one place.
type seeker struct {
	ctx context.Context
	*asbuilt.Bench
	asbuilt.Asked
	Place
	left   []int // the parts that no other place takes
	most   int   // parts that fewest may allow
	unsure bool  // a question found nothing before its time was up
}

func (k *seeker) withAll()   { k.left = k.Chosen }
func (k *seeker) withParts() { k.most = network.MaxParts }
func (k *seeker) withoutRatings() {
	k.Need.Flow, k.Need.Drop, k.Need.KeepBears = math.NaN(), math.NaN(), math.Inf(1)
}

// anyDistance takes what is nearest.
func (k *seeker) anyDistance() { k.Need.Within = math.Inf(1) }

// fewest asks with something changed, and allows one part after the other more
// where that is what was changed.
func (k *seeker) fewest(change func(*seeker)) (n found, err error) {
	changed := *k
	change(&changed)
	defer func() { k.unsure = k.unsure || changed.unsure }()
	if changed.most == 0 {
		return changed.ask(func(*seeker) {})
	}
	for ; !n.there && err == nil && changed.Need.AtMost < changed.most; changed.Need.AtMost++ {
		n, err = changed.ask(func(k *seeker) { k.Need.AtMost++ })
	}
	return n, err
}

// patience is the share of the time left that one question may take.
const patience = 0.3

// ask looks for the nearest network of a place with something changed.
func (k *seeker) ask(change func(*seeker)) (found, error) {
	changed := *k
	change(&changed)
	if len(changed.left) == 0 {
		return found{}, nil
	}
	stock, err := changed.Stock(changed.left, changed.Derate)
	if err != nil {
		return found{}, err
	}
	ctx, stop := ShareOf(k.ctx, patience)
	defer stop()
	picked, err := stock.Pick(ctx, match.Query{Need: changed.Need, Top: 1})
	if err != nil {
		return found{}, err
	}
	if len(picked.Choices) == 0 {
		k.unsure = k.unsure || !picked.Proven
		return found{}, nil
	}
	n := picked.Choices[0].Network
	return found{n, true, k.Wire(n, changed.left, k.Kept), 100 * (n.Value()/k.Need.Target - 1)}, nil
}

// nearest is a network in JSON.
func (f found) nearest() *predict.Nearest {
	return &predict.Nearest{Network: f.wired.String(), Ohms: f.Value(), ErrorPercent: f.off}
}

func (f found) words() string { return inWords(f.nearest()) }

// inWords name a network with its value and how far that is off.
func inWords(n *predict.Nearest) string {
	return fmt.Sprintf("%s, %s (%s)", n.Network, quantity.Format(n.Ohms, quantity.Ohm, 4), report.PercentError(n.ErrorPercent, math.NaN()).Text)
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
	cannot := "cannot come near"
	if weak, err := k.ask((*seeker).withoutRatings); err == nil && weak.there {
		cannot += " within their ratings"
	}
	if k.unsure {
		cannot = "were not found to come near"
	}
	return fmt.Sprintf("%s %s, %s can: %s", report.Counted(k.Need.AtMost, "part"), cannot, report.Counted(n.Size(), "part"), n.words())
}

// noneWords say on which side the parts fail.
func (k *seeker) noneWords() string {
	if len(k.left) == 0 {
		return "no part is free"
	}
	least, most := math.Inf(1), 0.0
	for _, i := range k.left {
		least, most = min(least, k.Measured[i].Ohms), max(most, k.Measured[i].Ohms)
	}
	switch {
	case k.Need.Target < least:
		return "no free part is small enough: the smallest has " + quantity.Format(least, quantity.Ohm, 4)
	case k.Need.Target > most:
		return "no free part is large enough: the largest has " + quantity.Format(most, quantity.Ohm, 4)
	}
	return "no free part suits"
}

// addHelp ends the text with what would help most: what the call can allow, or
// else winding, where that is possible, or buying.
func (k *seeker) addHelp(out *predict.Why, near found) error {
	for _, try := range []struct {
		flag   string
		change func(*seeker)
	}{
		{"--parts", (*seeker).withParts},
		{"--derate 1", func(k *seeker) { k.Derate = 1 }},
	} {
		n, err := k.fewest(try.change)
		if err != nil {
			return err
		}
		if n.there && !k.beyond(n) {
			if out.Helps = try.flag; out.Helps == "--parts" {
				out.Helps = fmt.Sprintf("--parts %d", n.Size())
			}
			out.Text += fmt.Sprintf("; %s helps", out.Helps)
			return nil
		}
	}
	switch {
	case out.Why == tooFar && k.Window && !(k.over(near) > match.Overdrive):
		out.Helps = fmt.Sprintf("--within %.0f", math.Ceil(math.Abs(near.off)))
		out.Text += fmt.Sprintf("; %s takes it", out.Helps)
	case k.Winds != "":
		out.Text += "; " + k.Winds + ", or buy a part (plan --buy 2)"
	default:
		out.Text += "; buy what is missing (plan --buy 2)"
	}
	return nil
}
