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
	"shuntwright/inventory/wire"
	"shuntwright/meter/quantity"
	"shuntwright/meter/wiring"
)

// Wound is a position that is made of resistance wire.
type Wound struct {
	Position int
	Ohms     float64        // what it must have
	Amperes  float64        // through it at full scale
	Spool    inventory.Part // the zero Part: the wire is still to be found
	Metres   float64        // off the spool
}

// Spooled tells whether the drawer has the wire.
func (w Wound) Spooled() bool { return w.Spool.ID != "" }

// Network is what fills the position: wire, or where that is still to be found
// the resistance that it will have.
func (w Wound) Network() wiring.Network {
	if !w.Spooled() {
		text := report.Spelled(w.Ohms, 6)
		v, _ := quantity.Parse(text, quantity.Ohm, quantity.Positive) // written by Spelled
		return wiring.Network{Ohms: v}
	}
	text := quantity.Format(w.Metres, quantity.Metre, lengthDigits)
	v, _ := quantity.ParseNamed(text, quantity.Positive, quantity.Metre) // written by Format
	return wiring.Network{ID: w.Spool.ID, Length: v}
}

// lengthDigits are those of a length to be cut.
const lengthDigits = 4

// longEnough is a piece of which half a millimetre is a quarter of a percent:
// longer ones are no easier to trim.
const longEnough = 0.2

// Wind chooses the wire for a position: of the spools that carry its current and
// hold enough, used being what other positions take, the one with the shortest
// piece that is long enough to be trimmed well, else with the longest. The error
// says why none serves, and which wire would.
func (p *Planner) Wind(position int, used map[string]float64) (Wound, error) {
	targets, err := p.Meter.Targets()
	if err != nil {
		return Wound{}, asbuilt.AtRange(p.Path, p.Data, err)
	}
	stresses, err := p.Meter.Stresses()
	if err != nil {
		return Wound{}, asbuilt.AtRange(p.Path, p.Data, err)
	}
	out := Wound{Position: position, Ohms: targets[position], Amperes: stresses[position].Amperes}
	var refused []string
	for _, spool := range p.Parts {
		if !spool.IsSpool() {
			continue
		}
		metres := out.Ohms / spool.Ohms.Base
		switch left := spool.Metres - used[spool.ID]; {
		case metres < inventory.ShortestMetres:
			refused = append(refused, fmt.Sprintf("%s would be %s, too short to be wound", spool.ID, quantity.Format(metres, quantity.Metre, 3)))
		case metres > left:
			refused = append(refused, fmt.Sprintf("%s would be %s, and %s are left", spool.ID, quantity.Format(metres, quantity.Metre, 3), quantity.Format(left, quantity.Metre, 3)))
		case out.Amperes > spool.Amperes:
			refused = append(refused, fmt.Sprintf("%s may carry %s, and here flow %s", spool.ID, quantity.Format(spool.Amperes, quantity.Ampere, 3), quantity.Format(out.Amperes, quantity.Ampere, 3)))
		case out.Spooled() && !better(metres, out.Metres):
		default:
			out.Spool, out.Metres = spool, metres
		}
	}
	if !out.Spooled() && len(refused) > 0 {
		return out, fmt.Errorf("no spool serves for %s, %s: %s; %s", p.Positions[position].Name, quantity.Format(out.Ohms, quantity.Ohm, 4),
			strings.Join(refused, "; "), out.WouldDo())
	}
	return out, nil
}

// better prefers the shortest piece that is long enough, else the longest.
func better(metres, than float64) bool {
	if than < longEnough {
		return metres > than
	}
	return metres >= longEnough && metres < than
}

// mostDensity is what a wire in the open carries without getting warm, in A/mm²
// (Scherz, Practical Electronics for Inventors, table 3.1: 700 circular mils an
// ampere).
const mostDensity = 2.82

// WouldDo names wire that serves: of each alloy that is good for it the diameter
// at which the piece is long enough, or as thick as the current wants.
func (w Wound) WouldDo() string {
	var out []string
	for _, name := range []string{"manganin", "constantan"} {
		alloy, err := wire.Find(name)
		if err != nil {
			continue
		}
		thick := max(alloy.Diameter(w.Ohms, longEnough), 2e-3*math.Sqrt(w.Amperes/mostDensity/math.Pi))
		if per, err := alloy.OhmsPerMetre(thick); err == nil {
			out = append(out, fmt.Sprintf("%s of %.2g mm, %s", name, thick*1e3, quantity.Format(w.Ohms/per, quantity.Metre, 2)))
		}
	}
	if len(out) == 0 {
		return "no wire that can be wound by hand does"
	}
	return "this would do: " + strings.Join(out, ", or ")
}

// Words say how the piece is made: cut a tenth longer, and shortened until a
// current drops the voltage that it must (common practice).
func (w Wound) Words(position string) string {
	ohms := quantity.Format(w.Ohms, quantity.Ohm, 4)
	trim := fmt.Sprintf("until %s drops %s across it, taken by two wires of its own", quantity.Format(w.Amperes, quantity.Ampere, 3),
		quantity.Format(w.Amperes*w.Ohms, quantity.Volt, 4))
	if !w.Spooled() {
		return fmt.Sprintf("wind %s to %s: %s; cut it a tenth longer and shorten it %s", position, ohms, w.WouldDo(), trim)
	}
	return fmt.Sprintf("wind %s to %s: cut %s of %s, a tenth longer than it will be, and shorten it %s; at full scale it carries %s per centimetre",
		position, ohms, quantity.Format(1.1*w.Metres, quantity.Metre, 3), w.Spool.ID, trim,
		quantity.Format(w.Amperes*w.Amperes*w.Ohms/w.Metres/100, quantity.Watt, 2))
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
