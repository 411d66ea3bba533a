package main

import (
	"fmt"
	"math"
	"slices"

	"shuntwright/cmd/shuntwright/internal/wording"
	"shuntwright/inventory"
	"shuntwright/match"
	"shuntwright/meter/budget"
	"shuntwright/meter/quantity"
	"shuntwright/meter/wiring"
)

// bench is the drawer and the instruments, measured and ready for use.
type bench struct {
	drawer      *inventory.Drawer
	instruments inventory.Instruments
	parts       []inventory.Part
	measured    []inventory.Measured
	index       map[string]int
}

// openBench reads the drawer and the instruments and measures every part.
func (c *call) openBench() (*bench, error) {
	drawer, err := c.readDrawer()
	if err != nil {
		return nil, err
	}
	return c.measure(drawer)
}

// measure works out what every part of a drawer is and how sure that is.
func (c *call) measure(drawer *inventory.Drawer) (*bench, error) {
	instruments, err := c.readInstruments()
	if err != nil {
		return nil, err
	}
	b := &bench{drawer: drawer, instruments: instruments, parts: drawer.Parts(), index: map[string]int{}}
	for i, p := range b.parts {
		m, err := drawer.Measure(instruments, i)
		if err != nil {
			return nil, err
		}
		b.measured = append(b.measured, m)
		b.index[p.ID] = i
	}
	return b, nil
}

// leaf is what is known of one resistor of a network.
type leaf struct {
	name     string
	measured inventory.Measured
}

// leaves measures the resistors of a network. resistances that stand in the
// text were measured with the instrument of that name.
func (b *bench) leaves(n wiring.Network, instrument string) ([]leaf, error) {
	var out []leaf
	for _, l := range n.Leaves() {
		if l.ID == "" {
			m, err := b.instruments.Measure(unlisted(l.Ohms, instrument))
			if err != nil {
				return nil, err
			}
			out = append(out, leaf{l.Ohms.Text, m})
			continue
		}
		i, known := b.index[l.ID]
		if _, err := quantity.Parse(l.ID, quantity.Ohm, quantity.Positive); !known && err == nil && l.ID[0] >= '0' && l.ID[0] <= '9' {
			return nil, fmt.Errorf("%q without a unit is taken for a part's id, and the drawer %s has none of that name; write \"%s ohm\" for a resistance that is not in the drawer",
				l.ID, b.drawer.Path(), l.ID)
		}
		if !known {
			return nil, fmt.Errorf("part %q is not in the drawer %s%s; add it with shuntwright drawer add --id %s OHMS, or write a resistance with its unit",
				l.ID, b.drawer.Path(), wording.Meant(l.ID, ids(b.parts)), l.ID)
		}
		out = append(out, leaf{l.ID, b.measured[i]})
	}
	return out, nil
}

// unlisted is a resistance that is not in the drawer, as a part.
func unlisted(ohms quantity.Value, instrument string) inventory.Part {
	p := inventory.NewPart(ohms)
	p.Instrument = instrument
	return p
}

// ohms are the leaves' resistances.
func ohms(leaves []leaf) []float64 {
	out := make([]float64, len(leaves))
	for i, l := range leaves {
		out[i] = l.measured.Ohms
	}
	return out
}

// inputs tells the budget of a result how far each leaf of a network moves it,
// slope being the change of the result per ohm of the network.
func inputs(n wiring.Network, leaves []leaf, slope float64) []budget.Input {
	slopes := n.Slopes(ohms(leaves))
	out := make([]budget.Input, len(leaves))
	for i, l := range leaves {
		out[i] = budget.Input{
			Name: l.name, Value: l.measured.Ohms, Slope: slope * slopes[i],
			GainPercent: l.measured.GainPercent, Shared: l.measured.Shared, Floor: l.measured.FloorOhms,
		}
	}
	return out
}

// valueLimit is the 95 % limit of a network's value, in percent of it.
func valueLimit(n wiring.Network, leaves []leaf) budget.Result {
	perCent := 100 / n.Resistance(ohms(leaves))
	return budget.Combine(budget.Sources(inputs(n, leaves, perCent)))
}

// free are the indexes of the parts that nobody has fitted; with ratedOnly of
// those that are rated.
func (b *bench) free(taken map[string]string, ratedOnly bool) []int {
	var out []int
	for i, p := range b.parts {
		if p.Fitted == "" && taken[p.ID] == "" && (rated(p) || !ratedOnly) {
			out = append(out, i)
		}
	}
	return out
}

// rated tells a part of which watts or volts are known, and which is held to
// that.
func rated(p inventory.Part) bool { return !math.IsNaN(p.Watts) || !math.IsNaN(p.Volts) }

// stock prepares the chosen parts for the search.
func (b *bench) stock(chosen []int, derate float64) (*match.Stock, error) {
	if len(chosen) == 0 {
		return nil, fmt.Errorf("no part of the drawer %s is free; add measured parts with shuntwright drawer add", b.drawer.Path())
	}
	parts := make([]match.Part, len(chosen))
	for k, i := range chosen {
		parts[k] = match.Part{Value: b.measured[i].Ohms, Bears: bears(b.parts[i], b.measured[i].Ohms, derate)}
	}
	return match.NewStock(parts)
}

// bears is the largest current that a part may carry: by its watts, of which
// only the derated share is used, and by its limiting element voltage.
func bears(p inventory.Part, ohms, derate float64) float64 {
	most := math.Inf(1)
	if !math.IsNaN(p.Watts) {
		most = math.Sqrt(derate * p.Watts / ohms)
	}
	if !math.IsNaN(p.Volts) {
		most = min(most, p.Volts/ohms)
	}
	return most
}

// unrated are those of the ids that are not rated.
func (b *bench) unrated(ids []string) []string {
	return slices.DeleteFunc(slices.Clone(ids), func(id string) bool { return rated(b.parts[b.index[id]]) })
}

// wire turns a network of the search into the text form of the drawer. chosen
// are the drawer indexes of the stock's parts, kept is what stays.
func (b *bench) wire(n match.Network, chosen []int, kept wiring.Network) wiring.Network {
	leaf := func(part int) wiring.Network { return wiring.Network{ID: b.parts[chosen[part]].ID} }
	return wireTree(n.Tree(), leaf, kept)
}

// wireTree joins what leaf makes of the parts of the stock.
func wireTree(t match.Tree, leaf func(part int) wiring.Network, kept wiring.Network) wiring.Network {
	if t.Op == match.Leaf {
		if t.Part == match.Kept {
			return kept
		}
		return leaf(t.Part)
	}
	op := wiring.Series
	if t.Op == match.Parallel {
		op = wiring.Parallel
	}
	var of []wiring.Network
	for _, operand := range t.Of {
		of = append(of, wireTree(operand, leaf, kept))
	}
	return wiring.Join(op, of...)
}
