// Package asbuilt is what lies on the bench: the drawer and the instruments,
// measured, and a meter with what is fitted in it, each with how sure it is.
package asbuilt

import (
	"fmt"
	"math"
	"slices"

	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/inventory"
	"shuntwright/match"
	"shuntwright/match/enumerate"
	"shuntwright/match/network"
	"shuntwright/meter/budget"
	"shuntwright/meter/quantity"
	"shuntwright/meter/wiring"
)

// Bench is the drawer and the instruments, measured and ready for use.
type Bench struct {
	Drawer      *inventory.Drawer
	Instruments inventory.Instruments
	Parts       []inventory.Part     // of the drawer, in its order
	Measured    []inventory.Measured // what each of them is
	Index       map[string]int       // of a part by its id
}

// Measure works out what every part of a drawer is and how sure that is; an
// error is that of a part whose instrument is not known.
func Measure(drawer *inventory.Drawer, instruments inventory.Instruments) (*Bench, error) {
	b := &Bench{Drawer: drawer, Instruments: instruments, Parts: drawer.All(),
		Measured: make([]inventory.Measured, 0, drawer.Len()), Index: make(map[string]int, drawer.Len())}
	for i, p := range b.Parts {
		m, err := drawer.Measure(instruments, i)
		if err != nil {
			return nil, err
		}
		b.Measured = append(b.Measured, m)
		b.Index[p.ID] = i
	}
	return b, nil
}

// Has tells whether the drawer has a part of that id.
func (b *Bench) Has(id string) bool {
	_, has := b.Index[id]
	return has
}

// Resistors measures the resistors of a network, in the order of its text;
// resistances that stand in it were measured with the instrument of that name,
// empty where none is known. A part that is not in the drawer is an error.
func (b *Bench) Resistors(n wiring.Network, instrument string) ([]Leaf, error) {
	var out []Leaf
	for _, l := range n.Leaves() {
		if l.ID == "" {
			m, err := b.Instruments.Measure(Unlisted(l.Ohms, instrument))
			if err != nil {
				return nil, err
			}
			out = append(out, Leaf{l.Ohms.Text, m})
			continue
		}
		i, known := b.Index[l.ID]
		if !known {
			return nil, b.unknown(l.ID)
		}
		m := b.Measured[i]
		switch spool := b.Parts[i].IsSpool(); {
		case l.IsWire():
			var err error
			if m, err = b.Instruments.MeasureWire(b.Parts[i], l.Length.Base); err != nil {
				return nil, err
			}
		case spool:
			return nil, fmt.Errorf("%q is a spool of wire; say how much of it is there, such as %s[43.3 mm]", l.ID, l.ID)
		}
		out = append(out, Leaf{l.String(), m})
	}
	return out, nil
}

// unknown refuses an id that the drawer does not have, and says what else it
// could be.
func (b *Bench) unknown(id string) error {
	if _, err := quantity.Parse(id, quantity.Ohm, quantity.Positive); err == nil && id[0] >= '0' && id[0] <= '9' {
		return fmt.Errorf("%q without a unit is taken for a part's id, and the drawer %s has none of that name; write \"%s ohm\" for a resistance that is not in the drawer",
			id, b.Drawer.Path(), id)
	}
	or := "write a resistance with its unit"
	if ohms, write := wiring.LetterCode(id); ohms != "" {
		or = fmt.Sprintf("write %s where its letter code, %s, is meant", write, ohms)
	}
	return fmt.Errorf("part %q is not in the drawer %s%s; add it with shuntwright drawer add --id %s OHMS, or %s", id, b.Drawer.Path(), report.Meant(id, IDs(b.Parts)), id, or)
}

// rated tells a part of which watts or volts are known, and which is held to
// that.
func rated(p inventory.Part) bool { return !math.IsNaN(p.Watts) || !math.IsNaN(p.Volts) }

// Stock prepares the chosen parts, by their indexes, for the search; derate is
// the share of the rated watts that they may carry, above 0 and up to 1.
func (b *Bench) Stock(chosen []int, derate float64) (*enumerate.Stock, error) {
	parts := make([]match.Part, len(chosen))
	for k, i := range chosen {
		ohms := b.Measured[i].Ohms
		parts[k] = match.Part{Value: ohms, Bears: Bears(b.Parts[i], ohms, derate)}
	}
	return enumerate.NewStock(parts)
}

// Bears is the largest current, in amperes, that a part of so many ohms may carry,
// +Inf where it is not rated: by its watts, of which only the derated share is
// used, above 0 and up to 1, by its limiting element voltage and, of wire, by its
// amperes.
func Bears(p inventory.Part, ohms, derate float64) float64 {
	most := math.Inf(1)
	if p.IsSpool() && !math.IsNaN(p.Amperes) {
		most = p.Amperes
	}
	if !math.IsNaN(p.Watts) {
		most = min(most, math.Sqrt(Share(derate)*p.Watts/ohms))
	}
	if !math.IsNaN(p.Volts) {
		most = min(most, p.Volts/ohms)
	}
	return most
}

// Share is what a part may use of its rated watts where derate is asked for: one in
// a hundred more, which nobody sees in two digits, and never more than all.
func Share(derate float64) float64 { return min(1, 1.01*derate) }

// Unrated are those of the ids, all of the drawer, that are not rated.
func (b *Bench) Unrated(ids []string) []string {
	return slices.DeleteFunc(slices.Clone(ids), func(id string) bool { return rated(b.Parts[b.Index[id]]) })
}

// Wire turns a network of the search into the text form of the drawer. chosen
// are the drawer indexes of the stock's parts, kept is what stays.
func (b *Bench) Wire(n network.Network, chosen []int, kept wiring.Network) wiring.Network {
	leaf := func(part int) wiring.Network { return wiring.Network{ID: b.Parts[chosen[part]].ID} }
	return WireTree(n.Tree(), leaf, kept)
}

// WireTree joins what leaf makes of the parts of the stock.
func WireTree(t network.Tree, leaf func(part int) wiring.Network, kept wiring.Network) wiring.Network {
	if t.Op == network.Leaf {
		if t.Part == network.Kept {
			return kept
		}
		return leaf(t.Part)
	}
	op := wiring.Series
	if t.Op == network.Parallel {
		op = wiring.Parallel
	}
	var of []wiring.Network
	for _, operand := range t.Of {
		of = append(of, WireTree(operand, leaf, kept))
	}
	return wiring.Join(op, of...)
}

// IDs are the ids of parts.
func IDs(parts []inventory.Part) []string {
	var out []string
	for _, p := range parts {
		out = append(out, p.ID)
	}
	return out
}

// LeastLimit is what the limit of a network of at most so many parts is at
// least, as a fraction of its value: that of its gain errors alone. The shares
// of the parts in a network's value add up to one, so errors that are not
// shared are least together where every part has a share in inverse proportion
// to the square of its gain error; where one dominates the factor is smallest.
func (b *Bench) LeastLimit(chosen []int, kept []Leaf, parts int) float64 {
	gains := map[string]float64{}
	var own []float64
	meet := func(m inventory.Measured) {
		switch known, met := gains[m.Shared]; {
		case m.Shared == "":
			own = append(own, m.GainPercent)
		case !met || m.GainPercent < known:
			gains[m.Shared] = m.GainPercent
		}
	}
	for _, i := range chosen {
		meet(b.Measured[i])
	}
	for _, l := range kept {
		meet(l.Measured)
	}
	parts += len(kept)
	for _, gain := range gains {
		own = append(own, gain)
	}
	slices.Sort(own)
	sum := 0.0
	for _, gain := range own[:min(parts, len(own))] {
		sum += 1 / (gain * gain)
	}
	return budget.Combine([]budget.Source{{Half: 1 / math.Sqrt(sum)}}).Limit / 100
}
