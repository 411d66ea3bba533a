package predict

import (
	"fmt"

	"shuntwright/cmd/shuntwright/internal/asbuilt"
	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/meter"
	"shuntwright/meter/quantity"
)

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

// over tells that a resistor bears more than it is rated for.
func (r rating) over() bool {
	return r.RatedWatts != nil && r.Watts > *r.RatedWatts || r.RatedVolts != nil && r.Volts > *r.RatedVolts
}

// Overloaded is the first position in which a part bears more than it is rated
// for; empty where none does.
func (f *Forecast) Overloaded() string {
	for _, r := range f.ratings(f.Meter.Predict(f.Ohms())) {
		if r.over() {
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
	given := func(x report.Maybe, unit quantity.Unit) report.Cell {
		if x == nil {
			return report.None()
		}
		return report.Quantity(*x, unit, 3)
	}
	for _, r := range all {
		table.Rows = append(table.Rows, []report.Cell{report.Words(r.Part), report.Words(r.Position),
			report.Quantity(r.Watts, quantity.Watt, 2), given(r.RatedWatts, quantity.Watt),
			report.Quantity(r.Volts, quantity.Volt, 3), given(r.RatedVolts, quantity.Volt)})
	}
	return table
}
