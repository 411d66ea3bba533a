package plan

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"shuntwright/cmd/shuntwright/internal/asbuilt"
	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/inventory"
	"shuntwright/meter/quantity"
	"shuntwright/meter/wiring"
)

// Wound is a position that is made of resistance wire, alone or with a part
// beside it.
type Wound struct {
	Position int
	Ohms     float64        // what it must have, all together
	Amperes  float64        // through it at full scale
	Spool    inventory.Part // the zero Part: the wire is still to be found
	Metres   float64        // off the spool
	Beside   string         // the part beside the wire; empty: none
	Op       wiring.Op      // how the two are joined

	slack float64 // metres that the wire may come out longer or shorter by what the part's reading leaves unsure
}

// toWind is a position as it must be, its wire still to be found. The error is that
// of a range that the movement cannot serve.
func toWind(s *asbuilt.Setup, position int) (Wound, error) {
	stresses, err := s.Meter.Stresses()
	if err != nil {
		return Wound{}, asbuilt.AtRange(s.Path, s.File, err)
	}
	return Wound{Position: position, Ohms: stresses[position].Ohms, Amperes: stresses[position].Amperes}, nil
}

// Spooled tells whether the drawer has the wire.
func (w Wound) Spooled() bool { return w.Spool.ID != "" }

// wireOhms is the resistance of the wire, and wireAmperes what flows through it
// at full scale.
func (w Wound) wireOhms() float64 { return w.Metres * w.Spool.Ohms.Base }

func (w Wound) wireAmperes() float64 {
	if w.Op == wiring.Parallel {
		return w.Amperes * w.Ohms / w.wireOhms()
	}
	return w.Amperes
}

// unsure is the share of the position's resistance that half a millimetre of the
// wire is.
func (w Wound) unsure() float64 {
	half := 0.0005 / w.Metres
	switch w.Op {
	case wiring.Series:
		return half * w.wireOhms() / w.Ohms
	case wiring.Parallel:
		return half * w.Ohms / w.wireOhms()
	}
	return half
}

// Network is what fills the position: wire, or where that is still to be found
// the resistance that it will have, read with as many digits as it is trimmed to.
func (w Wound) Network() wiring.Network {
	if !w.Spooled() {
		text := report.Spelled(w.Ohms, 6)
		v, _ := quantity.Parse(text, quantity.Ohm, quantity.Positive) // written by Spelled
		v.Text = "wire of " + w.Reading()
		v.Step = math.Pow(10, math.Floor(math.Log10(w.Ohms))+1-shownDigits)
		return wiring.Network{Ohms: v}
	}
	wire := wiring.Network{ID: w.Spool.ID, Length: w.Length()}
	if w.Beside == "" {
		return wire
	}
	return wiring.Join(w.Op, wiring.Network{ID: w.Beside}, wire)
}

// Reading is what the position reads once it is made, in ohms, as it is typed.
func (w Wound) Reading() string { return report.Spelled(w.Ohms, shownDigits) }

// Length is the piece off the spool as it is written down.
func (w Wound) Length() quantity.Value {
	text := quantity.Format(w.Metres, quantity.Metre, shownDigits)
	v, _ := quantity.ParseNamed(text, quantity.Positive, quantity.Metre) // written by Format
	return v
}

// shownDigits are those of a length to be cut and of a voltage to trim by.
const shownDigits = 4

// enoughSure is what half a millimetre of the wire may be of the position:
// shorter wire is trimmed as well, and longer is no easier.
const enoughSure = 0.0025

// Wind chooses the wire for a position: of the spools that carry its current and
// hold enough, used being what other positions take, the one with the shortest
// piece that can be trimmed well, else with the one that can be best. Where none
// serves alone, one of the parts beside, by index, in series or in parallel may
// make it. The error says why none serves, and which wire would.
func (p *Planner) Wind(position int, used map[string]float64, beside []int) (Wound, error) {
	bare, err := toWind(p.Setup, position)
	if err != nil {
		return bare, err
	}
	best, refused := windAlone(p.Parts, bare, used)
	if best.Spooled() || len(refused) == 0 {
		return best, nil
	}
	if best = p.windBeside(bare, used, beside); best.Spooled() {
		return best, nil
	}
	return best, fmt.Errorf("no spool serves for %s, %s: %s; %s", p.Positions[position].Name, quantity.Format(bare.Ohms, quantity.Ohm, 4),
		strings.Join(refused, "; "), bare.wouldDo())
}

// windAlone looks for the wire that serves by itself, and says of the others why
// they do not.
func windAlone(parts []inventory.Part, bare Wound, used map[string]float64) (best Wound, refused []string) {
	best = bare
	for _, spool := range parts {
		if !spool.IsSpool() {
			continue
		}
		one := bare
		one.Spool, one.Metres = spool, bare.Ohms/spool.Ohms.Base
		if why := one.refusal(spool.Metres - used[spool.ID]); why != "" {
			refused = append(refused, why)
		} else if one.better(best) {
			best = one
		}
	}
	return best, refused
}

// WindHelp says of which spool a resistance can be wound that carries a current,
// 0 where nobody said it, or what the spools lack and which wire would do. Empty
// where it is no length of wire.
func WindHelp(b *asbuilt.Bench, ohms, amperes float64, used map[string]float64) string {
	bare := Wound{Ohms: ohms, Amperes: amperes}
	best, refused := windAlone(b.Parts, bare, used)
	if best.Spooled() && ohms < woundBelowOhms {
		return fmt.Sprintf("wind it of %s, %s", best.Spool.ID, quantity.Format(best.Metres, quantity.Metre, 3))
	}
	switch would := bare.wires(); {
	case len(would) == 0 || ohms >= woundBelowOhms:
		return ""
	case len(refused) > 0:
		return fmt.Sprintf("no spool serves: %s; wind it of %s", strings.Join(refused, "; "), would[0])
	}
	return "wind it of resistance wire"
}

// Surer tells whether a spool serves for a position of few ohms, where parts are
// read worse than wire is trimmed.
func (p *Planner) Surer(position int) bool {
	bare, err := toWind(p.Setup, position)
	if err != nil || bare.Ohms >= readWellOhms {
		return false
	}
	best, _ := windAlone(p.Parts, bare, nil)
	return best.Spooled()
}

// readWellOhms is what two wires read as well as anything (common practice).
const readWellOhms = 5

// woundBelowOhms is what is easier made of wire than found as a part (common
// practice).
const woundBelowOhms = 2

// woundAtMostOhms is what a length of common wire still makes without being
// metres long (common practice).
const woundAtMostOhms = 10

// windBeside looks for the part with which some wire serves.
func (p *Planner) windBeside(bare Wound, used map[string]float64, beside []int) Wound {
	best := bare
	for _, spool := range p.Parts {
		if !spool.IsSpool() {
			continue
		}
		for _, i := range beside {
			ohms, limit := p.Measured[i].Ohms, p.Measured[i].LimitOhms()
			one := bare
			one.Spool, one.Beside = spool, p.Parts[i].ID
			amperes := bare.Amperes
			if ohms < bare.Ohms {
				one.Op, one.Metres, one.slack = wiring.Series, (bare.Ohms-ohms)/spool.Ohms.Base, limit/spool.Ohms.Base
			} else if wire := 1 / (1/bare.Ohms - 1/ohms); ohms > bare.Ohms {
				one.Op, one.Metres, one.slack = wiring.Parallel, wire/spool.Ohms.Base, limit*(wire/ohms)*(wire/ohms)/spool.Ohms.Base
				amperes *= bare.Ohms / ohms
			} else {
				continue
			}
			if one.refusal(spool.Metres-used[spool.ID]) == "" && amperes <= asbuilt.Bears(p.Parts[i], ohms, p.Derate) && one.better(best) {
				best = one
			}
		}
	}
	return best
}

// refusal says why a piece cannot be wound, so many metres being left; empty
// where it can.
func (w Wound) refusal(left float64) string {
	length := func(m float64) string { return quantity.Format(m, quantity.Metre, 3) }
	switch amperes := w.wireAmperes(); {
	case w.Metres-w.slack < inventory.ShortestMetres:
		return fmt.Sprintf("%s would be %s, too short to be wound", w.Spool.ID, length(w.Metres))
	case w.Metres+w.slack > left:
		return fmt.Sprintf("%s would be %s, and %s are left", w.Spool.ID, length(w.Metres), length(left))
	case amperes > w.Spool.Amperes:
		return fmt.Sprintf("%s may carry %s, and here flow %s", w.Spool.ID, quantity.Format(w.Spool.Amperes, quantity.Ampere, 3), quantity.Format(amperes, quantity.Ampere, 3))
	}
	return ""
}

// better prefers wire of which it is known what it may carry, and of that the
// shortest piece that can be trimmed well, else the one that can be best.
func (w Wound) better(than Wound) bool {
	if !than.Spooled() {
		return true
	}
	known, was := !math.IsNaN(w.Spool.Amperes), !math.IsNaN(than.Spool.Amperes)
	if known != was {
		return known
	}
	if than.unsure() > enoughSure {
		return w.unsure() < than.unsure()
	}
	return w.unsure() <= enoughSure && w.Metres < than.Metres
}

// ToWind are the positions, of those that were to be filled, that a plan leaves
// open or that keep a range out of its class, those first that are furthest
// from what they must be.
func (p *Planner) ToWind(made *Outcome) []int {
	var out []int
	off := map[int]float64{}
	for _, o := range p.places(made) {
		if _, met := off[o.position]; !met {
			out = append(out, o.position)
		}
		off[o.position] = math.Abs(made.Plan.Networks[o.slot].Value()/made.Problem.Needs[o.slot].Target - 1) // 1 where it is open
	}
	slices.SortStableFunc(out, func(a, b int) int { return cmp.Compare(off[b], off[a]) })
	return out
}

// Later are the positions that keep a range out of its class, that move other
// ranges too, and that could be wound of wire that can be bought: the plan makes
// the best of them as they are, and that is not the plan for a meter in which they
// will be right.
func (p *Planner) Later(made *Outcome) []int {
	var out []int
	for _, o := range p.places(made) {
		moved := 0
		for r := range made.Problem.Ranges {
			if made.Problem.Response.Rising(r, o.slot) != 0 {
				moved++
			}
		}
		w, err := toWind(p.Setup, o.position)
		if err == nil && o.r >= 0 && len(w.wires()) > 0 && w.Ohms <= woundAtMostOhms && moved > 1 && !slices.Contains(out, o.position) {
			out = append(out, o.position)
		}
	}
	return out
}

// Unused are the parts, by index, that the plan has in no other position.
func (p *Planner) Unused(made *Outcome, position int) []int {
	taken := map[int]bool{}
	for slot, n := range made.Plan.Networks {
		if made.Open[slot] == position {
			continue
		}
		for _, part := range n.Parts() {
			taken[made.Chosen[part]] = true
		}
	}
	return slices.DeleteFunc(p.Free(p.Taken, p.Wanted), func(i int) bool { return taken[i] })
}
