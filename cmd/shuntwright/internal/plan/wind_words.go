package plan

import (
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

// Wire is cut so many times longer than it will be, to be shortened, and so many
// metres beyond for the two joints (common practice).
const (
	aTenth = 1.1
	joints = 0.02
)

// Cut is the length to cut off the spool, in metres: a tenth longer than it will
// be, more where a table or the part beside it leaves more unsure, and the joints, or
// all that is left.
func (w Wound) Cut() float64 {
	longer := aTenth
	if t := w.Spool.TolerancePercent / 100; t < 1 {
		longer = max(longer, 1/(1-t))
	}
	return min(longer*(w.Metres+w.slack)+joints, w.Spool.Metres)
}

// Trim is the current to trim the position at, in amperes, as near to what flows
// at full scale as two digits are, and the voltage that it must then have.
func (w Wound) Trim() (amperes, volts float64) {
	v, _ := quantity.Parse(quantity.Format(w.Amperes, quantity.Ampere, 2), quantity.Ampere, quantity.Positive) // written by Format
	return v.Base, v.Base * w.Ohms
}

// WattsPerCentimetre is what a centimetre of the wire carries at full scale.
func (w Wound) WattsPerCentimetre() float64 {
	return w.wireAmperes() * w.wireAmperes() * w.Spool.Ohms.Base / 100
}

// Words say how the position is made: cut longer, and shortened until a
// current drops the voltage that it must (common practice), and how sure it then
// is, limit being that of the position in percent.
func (w Wound) Words(position string, limit float64) string {
	across, is := "it", "it is"
	if w.Beside != "" {
		across, is = "both", "they are"
	}
	at, drop := w.Trim()
	trim := fmt.Sprintf("shorten it on the bench (%s) until %s from a supply of a few volts drops %s across %s, taken by two wires of its own",
		trimCaution, quantity.Format(at, quantity.Ampere, 2), quantity.Format(drop, quantity.Volt, shownDigits), across)
	begin := fmt.Sprintf("wind %s to %s: ", position, quantity.Format(w.Ohms, quantity.Ohm, shownDigits))
	if !w.Spooled() {
		return begin + w.wouldDo() + "; cut it a tenth and 20 mm longer and " + trim
	}
	length := quantity.Format(w.Cut(), quantity.Metre, 3)
	cut := fmt.Sprintf("cut %s of %s, a tenth longer than it will be and 20 mm for the joints", length, w.Spool.ID)
	switch usual := aTenth*w.Metres + joints; {
	case w.Cut() < usual*(1-1e-9):
		cut = fmt.Sprintf("cut all %s that are left of %s", length, w.Spool.ID)
	case w.Cut() > usual*(1+1e-9):
		cut = fmt.Sprintf("cut %s of %s, longer than it will be, with 20 mm for the joints", length, w.Spool.ID)
	}
	switch w.Op {
	case wiring.Series:
		cut += ", put it in series with " + w.Beside
	case wiring.Parallel:
		cut += ", put it across " + w.Beside
	}
	return fmt.Sprintf("%s%s, and %s; it is then known to %s, by half a millimetre and what %s read with; %s",
		begin, cut, trim, report.PercentLimit(limit).Text, is, w.loadWords())
}

// trimCaution is what must be so before a position is trimmed: its lead may be at
// hundreds of volts, and the current would go through what is left connected
// (common practice).
const trimCaution = "set dead and discharged, out of its lead, movement not connected"

// loadWords hold what the wire carries against what it may.
func (w Wound) loadWords() string {
	per := quantity.Format(w.WattsPerCentimetre(), quantity.Watt, 2) + " per centimetre"
	flows := quantity.Format(w.wireAmperes(), quantity.Ampere, 3)
	may := w.Spool.Amperes
	if math.IsNaN(may) {
		return fmt.Sprintf("at full scale it carries %s, %s, and what it may is not known: shuntwright drawer change %s --amperes CURRENT", flows, per, w.Spool.ID)
	}
	return fmt.Sprintf("at full scale it carries %s of %s, %s of %s", flows, quantity.Format(may, quantity.Ampere, 3),
		per, quantity.Format(may*may*w.Spool.Ohms.Base/100, quantity.Watt, 2))
}

// mostDensity is what a wire in the open carries without getting warm, in A/mm²
// (Scherz, Practical Electronics for Inventors, table 3.1: 700 circular mils an
// ampere).
const mostDensity = 2.82

// thinnest is wire, in metres, that fingers can still solder (common practice).
const thinnest = 0.1e-3

// handy are lengths of wire in metres, those first that are best: one that is
// trimmed well, what stays that thick, what stays that thin.
var handy = []float64{longEnough, 0.1, 0.05, 0.03, 0.5, 1, 2, 5, 10}

// longEnough is a piece of which half a millimetre is a quarter of a percent.
const longEnough = 0.2

// wires are what serves: of each alloy that is good for it the diameter at which
// the shortest handy piece has the resistance, as thick as the current wants.
func (w Wound) wires() (out []string) {
	for _, name := range []string{"manganin", "constantan"} {
		alloy, err := inventory.FindAlloy(name)
		if err != nil {
			continue
		}
		for _, metres := range handy {
			thick := max(alloy.Diameter(w.Ohms, metres), 2e-3*math.Sqrt(w.Amperes/mostDensity/math.Pi))
			if per, err := alloy.OhmsPerMetre(roundedUp(thick)); err == nil && thick >= thinnest {
				out = append(out, fmt.Sprintf("%s of %g mm, %s", name, math.Round(roundedUp(thick)*1e6)/1e3, quantity.Format(w.Ohms/per, quantity.Metre, 2)))
				break
			}
		}
	}
	return out
}

// wouldDo names wire that serves.
func (w Wound) wouldDo() string {
	if out := w.wires(); len(out) > 0 {
		return "this would do: " + strings.Join(out, ", or ")
	}
	return "no wire that can be wound by hand does"
}

// roundedUp is a diameter in metres with two digits, not smaller.
func roundedUp(d float64) float64 {
	step := math.Pow(10, math.Floor(math.Log10(d))-1)
	return math.Ceil(d/step-1e-9) * step
}

// Fitted is the wire that a position is made of already, alone or with one part
// beside it; false where there is none, or nobody can say what it must be. What
// the part's reading leaves unsure is not allowed for in its Cut.
func Fitted(s *asbuilt.Setup, position int) (Wound, bool) {
	if s.IsOpen(position) {
		return Wound{}, false
	}
	n := s.Networks[position]
	leaves := n.Leaves()
	at := slices.IndexFunc(leaves, wiring.Network.IsWire)
	if at < 0 || len(leaves) > 2 {
		return Wound{}, false
	}
	spool, known := s.Index[leaves[at].ID]
	w, err := toWind(s, position)
	if !known || err != nil {
		return Wound{}, false
	}
	w.Spool, w.Metres = s.Parts[spool], leaves[at].Length.Base
	w.Spool.Metres += w.Metres // it is off the spool
	if len(leaves) == 2 {
		w.Beside, w.Op = leaves[1-at].String(), n.Op
	}
	return w, true
}
