package predict

import (
	"fmt"
	"strings"

	"shuntwright/cmd/shuntwright/internal/asbuilt"
	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/meter"
	"shuntwright/meter/quantity"
)

// Pieces are the resistors of a position, in the order of its network: what
// they are, where they lie, and what they carry at full scale, the worst over
// the ranges that the position serves. None where it is open.
func (f *Forecast) Pieces(i int, p meter.PositionPrediction) []Piece {
	if f.IsOpen(i) {
		return nil
	}
	var out []Piece
	amperes, volts := f.Networks[i].Shares(asbuilt.Values(f.Leaves[i]))
	for k, l := range f.Networks[i].Leaves() {
		one := PieceOf(f.Bench, l.ID, f.Leaves[i][k])
		one.Watts, one.Volts = report.Some(amperes[k]*p.Amperes*volts[k]*p.Volts), report.Some(volts[k]*p.Volts)
		out = append(out, one)
	}
	return out
}

// PieceOf is one resistor of a network: what it is and where it lies; id is empty
// where it is no part of the drawer.
func PieceOf(b *asbuilt.Bench, id string, leaf asbuilt.Leaf) Piece {
	one := Piece{Resistance: leaf.Name, Ohms: leaf.Measured.Ohms}
	if at, known := b.Index[id]; known && id != "" {
		part := b.Parts[at]
		one.Part, one.Resistance, one.Place, one.Kind = id, "", part.Place, part.Kind
		if one.AsTyped = part.Ohms.Text; !part.Measured() {
			one.AsTyped, one.Marked = part.Nominal.Text, true
		}
		one.RatedWatts, one.RatedVolts = report.Some(part.Watts), report.Some(part.Volts)
	}
	return one
}

// near is the share of what a part may carry from which on it is said what it
// does: half of its watts at most (common practice), and its volts.
const near = 0.5

// Words are a piece as it stands in a soldering list: its value and place, and
// what it carries where that comes near a rating.
func (one Piece) Words() string {
	words := one.Resistance + ", stays"
	if one.Part != "" {
		words = one.Part + report.Unbroken + one.AsTyped
	}
	if one.Marked {
		words += report.Unbroken + "marked"
	}
	if one.Place != "" {
		words += ", " + one.Place
	}
	beside := func(is, may report.Maybe, unit quantity.Unit, share float64) {
		if is != nil && may != nil && *is > near*share**may {
			words += ", " + strings.ReplaceAll(fmt.Sprintf("%s of %s", quantity.Format(*is, unit, 2), report.Short(*may, unit)), " ", report.Unbroken)
		}
	}
	beside(one.Watts, one.RatedWatts, quantity.Watt, halfWatts)
	beside(one.Volts, one.RatedVolts, quantity.Volt, 1)
	return words
}

// Soldering is the list to solder by, of some positions: what each must be, its
// network, the parts and where they lie, and how its range then reads, with the
// error in its class pictured below it where that takes no line of its own.
func (f *Forecast) Soldering(answer *MeterAnswer, positions []int) report.Table {
	table := report.Table{Name: "solder", Bench: true, Columns: []report.Column{
		{Title: "position", Key: "position", Flexible: true},
		{Title: "target", Key: "target_ohms", Number: true, Known: true},
		{Title: "network", Key: "network", Flexible: true},
		{Title: "parts and place", Key: "parts", Flexible: true},
		{Title: "range reads", Key: "full_scale_error_percent", Number: true},
	}}
	for _, i := range positions {
		one := answer.Positions[i]
		network, reads := report.Cell{Text: "open", Silent: true, Mark: report.Wrong}, report.None()
		if one.Network != "" {
			network = report.Words(one.Network)
		}
		var parts []string
		for _, piece := range one.Pieces {
			parts = append(parts, piece.Words())
		}
		if one.ToWind != nil {
			network, parts = report.Words(f.Networks[i].String()), []string{"still to be wound"}
		}
		if len(parts) > 1 {
			network.Text += "\n= " + quantity.Format(*one.Ohms, quantity.Ohm, report.ByLimit(report.Number(one.LimitPercent)))
			network.Exact = one.Network
		}
		if r := answer.Ranges[f.ownRange(i)]; r.FullScaleError != nil {
			reads = report.PercentPair(*r.FullScaleError, report.Number(r.LimitPercent))
			reads.Mark = report.VerdictCell(r.Verdict).Mark
			if bar := report.Bar(*r.FullScaleError, report.Number(r.LimitPercent), f.Class).Text; bar != "" && len(parts) > 1 {
				reads.Text += "\n" + bar
				table.Columns[4].Title = "reads, " + report.BarTitle(f.Class)
			}
			if len(r.PassRestsOn) > 0 {
				reads.Text += "\nassumed"
			}
		}
		table.Rows = append(table.Rows, []report.Cell{report.Words(one.Position),
			report.Quantity(report.Number(one.TargetOhms), quantity.Ohm, report.Target(f.File.Coil)), network,
			report.Pair(strings.Join(parts, "\n"), strings.ReplaceAll(strings.Join(parts, "; "), report.Unbroken, " ")), reads})
	}
	return table
}

// ownRange is the range that a position is named after.
func (f *Forecast) ownRange(position int) int {
	p, own := f.Positions[position], 0
	for r, one := range f.Ranges {
		if one.Circuit != p.Circuit {
			continue
		}
		if own = r; meter.SameName(one.Name, p.Key) {
			return r
		}
	}
	return own
}

// rating is one resistor at full scale beside what it may bear, in JSON.
type rating struct {
	Part       string       `json:"part"`
	Position   string       `json:"position"`
	Watts      float64      `json:"watts"`
	RatedWatts report.Maybe `json:"rated_watts,omitempty"`
	Volts      float64      `json:"volts"`
	RatedVolts report.Maybe `json:"rated_volts,omitempty"`
}

// Beyond says what a part has too much of by its ratings, nothing where it bears
// what it carries or nobody knows.
func (r rating) Beyond() string {
	switch {
	case r.RatedWatts != nil && r.Watts > *r.RatedWatts:
		return "too many watts"
	case r.RatedVolts != nil && r.Volts > *r.RatedVolts:
		return "too many volts"
	}
	return ""
}

// halfWatts is the share of its rated watts up to which a part is loaded
// without remark (common practice).
const halfWatts = 0.5

// ratings are the resistors of all positions with their own share of current
// and voltage.
func (f *Forecast) ratings(prediction meter.Prediction) []rating {
	var all []rating
	for i, p := range prediction.Positions {
		for _, one := range f.Pieces(i, p) {
			if one.Watts != nil {
				all = append(all, rating{Part: one.Part + one.Resistance, Position: f.Positions[i].Name, Watts: *one.Watts, RatedWatts: one.RatedWatts,
					Volts: *one.Volts, RatedVolts: one.RatedVolts})
			}
		}
	}
	return all
}

// Overloaded is the first position in which a part bears more than it is rated
// for; empty where none does.
func (f *Forecast) Overloaded() string {
	for _, r := range f.ratings(f.Meter.Predict(f.Ohms())) {
		if r.Beyond() != "" {
			return r.Position
		}
	}
	return ""
}

// overloads warns of parts that carry more than they are rated for, and remarks
// those that carry more than half of their rated watts.
func overloads(all []rating) (over, much []string) {
	for _, r := range all {
		carries := fmt.Sprintf("%s in %s carries %s at full scale", r.Part, r.Position, quantity.Format(r.Watts, quantity.Watt, 2))
		switch {
		case r.RatedWatts != nil && r.Watts > *r.RatedWatts:
			over = append(over, fmt.Sprintf("%s and is rated for %s: it will burn", carries, report.Short(*r.RatedWatts, quantity.Watt)))
		case r.RatedWatts != nil && r.Watts > asbuilt.Share(halfWatts)**r.RatedWatts:
			much = append(much, fmt.Sprintf("%s, more than half of its %s (common practice: half)", carries, report.Short(*r.RatedWatts, quantity.Watt)))
		}
		if r.RatedVolts != nil && r.Volts > *r.RatedVolts {
			over = append(over, fmt.Sprintf("%s in %s has %s across it at full scale and stands %s", r.Part, r.Position,
				quantity.Format(r.Volts, quantity.Volt, 3), quantity.Format(*r.RatedVolts, quantity.Volt, 3)))
		}
	}
	return over, much
}

// ratingsTable shows every part beside its rating.
func ratingsTable(all []rating) report.Table {
	table := report.Table{Name: "ratings", Heading: "what every part carries, and is rated for", Columns: []report.Column{
		{Title: "part", Key: "part", Flexible: true},
		{Title: "in", Key: "position", Flexible: true},
		{Title: "watts", Key: "watts", Number: true},
		{Title: "rated", Key: "rated_watts", Number: true},
		{Title: "volts", Key: "volts", Number: true},
		{Title: "rated", Key: "rated_volts", Number: true},
	}}
	for _, r := range all {
		table.Rows = append(table.Rows, []report.Cell{report.Words(r.Part), report.Words(r.Position),
			report.Quantity(r.Watts, quantity.Watt, 2), report.Quantity(report.Number(r.RatedWatts), quantity.Watt, 3),
			report.Quantity(r.Volts, quantity.Volt, 3), report.Quantity(report.Number(r.RatedVolts), quantity.Volt, 3)})
	}
	return table
}
