package report

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"math/big"
)

// Maybe is a number that may not apply: nil leaves its field out of the JSON.
type Maybe = *float64

// Some makes a Maybe of x: nil for NaN and infinities, which JSON cannot hold.
func Some(x float64) Maybe {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return nil
	}
	return &x
}

// Number is what a Maybe holds, NaN where it does not apply.
func Number(x Maybe) float64 {
	if x == nil {
		return math.NaN()
	}
	return *x
}

// PickAnswer is the JSON of pick.
type PickAnswer struct {
	TargetOhms         float64  `json:"target_ohms"`
	Choices            []Choice `json:"choices"`
	ResolutionPercent  Maybe    `json:"resolution_percent,omitempty"`
	EnoughPercent      Maybe    `json:"enough_percent,omitempty"`
	NetworksConsidered *big.Int `json:"networks_considered"`
	Proven             bool     `json:"proven"`
	WhyOpen            []Why    `json:"why_open,omitempty"`
	Notes
}

// Choice is one network that pick offers.
type Choice struct {
	Network        string   `json:"network"`
	Parts          []string `json:"parts"`
	Ohms           float64  `json:"ohms"`
	ErrorPercent   float64  `json:"error_percent"`
	LimitPercent   Maybe    `json:"limit_percent,omitempty"`
	CoverageFactor Maybe    `json:"coverage_factor,omitempty"`
	Equal          bool     `json:"equal,omitempty"` // cannot be told from the best by what was measured
}

// MeterAnswer is the JSON of targets, plan and predict: what each of them does
// not know stays absent.
type MeterAnswer struct {
	Meter     string     `json:"meter"`
	Positions []Position `json:"positions"`
	Ranges    []Range    `json:"ranges,omitempty"`
	Worst     Maybe      `json:"worst_full_scale_error_percent,omitempty"`
	Limit     Maybe      `json:"limit_percent,omitempty"` // of the worst
	Class     Maybe      `json:"class,omitempty"`
	Within    *int       `json:"within_class,omitempty"` // how many ranges
	Points    *int       `json:"points,omitempty"`       // of those outside: 1, and 1 more for each doubling beyond
	Open      *[]string  `json:"open,omitempty"`
	WhyOpen   []Why      `json:"why_open,omitempty"`
	// WhyOutside says of every range outside its class which position to blame,
	// and why.
	WhyOutside []Why `json:"why_outside,omitempty"`

	NetworksConsidered *big.Int    `json:"networks_considered,omitempty"`
	Proven             *bool       `json:"proven,omitempty"`
	BoundPercent       Maybe       `json:"bound_percent,omitempty"`
	FewerParts         []Frontier  `json:"fewer_parts,omitempty"`
	Resolution         Maybe       `json:"resolution_percent,omitempty"`
	EnoughPercent      Maybe       `json:"enough_percent,omitempty"`
	Enough             *EnoughHint `json:"enough,omitempty"`
	Notes
}

// Position is one place of a circuit in JSON.
type Position struct {
	Position       string   `json:"position"`
	ToDo           string   `json:"to_do,omitempty"` // with --trim: leave, trim or fit; with --wind: wind
	Added          []string `json:"added,omitempty"` // parts that it takes beside what is there
	TargetOhms     Maybe    `json:"target_ohms,omitempty"`
	Network        string   `json:"network,omitempty"`
	Parts          []string `json:"parts,omitempty"`
	Pieces         []Piece  `json:"pieces,omitempty"` // the resistors of the network, one by one
	Wire           *Wire    `json:"wire,omitempty"`
	ToWind         *Wire    `json:"to_wind,omitempty"` // its wire is still to be found
	Ohms           Maybe    `json:"ohms,omitempty"`
	ErrorPercent   Maybe    `json:"error_percent,omitempty"`
	LimitPercent   Maybe    `json:"limit_percent,omitempty"`
	CoverageFactor Maybe    `json:"coverage_factor,omitempty"`
	Watts          Maybe    `json:"watts,omitempty"`
	Volts          Maybe    `json:"volts,omitempty"`
}

// Piece is one resistor of a position in JSON: a part of the drawer, or a
// resistance that was there. Watts and volts are what it carries at full scale.
type Piece struct {
	Part       string  `json:"part,omitempty"`
	Resistance string  `json:"resistance,omitempty"` // where it is no part of the drawer
	Ohms       float64 `json:"ohms"`
	AsTyped    string  `json:"as_typed,omitempty"`
	Marked     bool    `json:"marked,omitempty"` // never measured
	Place      string  `json:"place,omitempty"`
	Kind       string  `json:"kind,omitempty"`
	Watts      Maybe   `json:"watts,omitempty"`
	Volts      Maybe   `json:"volts,omitempty"`
	RatedWatts Maybe   `json:"rated_watts,omitempty"`
	RatedVolts Maybe   `json:"rated_volts,omitempty"`
}

// Wire is a piece to be cut off a spool, longer than it will be, and the current
// and the voltage that it is trimmed by. What it carries stands beside what it may.
type Wire struct {
	ID                 string  `json:"id,omitempty"`
	Ohms               Maybe   `json:"ohms,omitempty"`
	Millimetres        float64 `json:"millimetres,omitempty"`
	CutMillimetres     float64 `json:"cut_millimetres,omitempty"`
	TrimAmperes        float64 `json:"trim_amperes"`
	TrimVolts          float64 `json:"trim_volts"`
	WattsPerCentimetre Maybe   `json:"watts_per_centimetre,omitempty"`
	RatedAmperes       Maybe   `json:"rated_amperes,omitempty"`
}

// Range is one setting of the switch in JSON.
type Range struct {
	Range          string  `json:"range"`
	FullScale      float64 `json:"full_scale"`
	Unit           string  `json:"unit"`
	FullScaleError Maybe   `json:"full_scale_error_percent,omitempty"`
	LimitPercent   Maybe   `json:"limit_percent,omitempty"`
	CoverageFactor Maybe   `json:"coverage_factor,omitempty"`
	DropVolts      Maybe   `json:"drop_volts,omitempty"`
	OhmsPerVolt    Maybe   `json:"ohms_per_volt,omitempty"`
	Verdict        string  `json:"verdict,omitempty"`

	ChanceWithinClass Maybe    `json:"chance_within_class,omitempty"`
	PassRestsOn       []string `json:"pass_rests_on,omitempty"` // resistances of which nobody said how far they are trusted
}

// Frontier is the price of at most so many parts a position.
type Frontier struct {
	Parts        int   `json:"parts"`
	Worst        Maybe `json:"worst_full_scale_error_percent,omitempty"`
	LimitPercent Maybe `json:"limit_percent,omitempty"`
	Soldered     int   `json:"soldered"`
	Open         int   `json:"open,omitempty"`
	Equal        bool  `json:"equal,omitempty"` // cannot be told from the plan by what was measured
}

// EnoughHint names the --enough that spares parts and what it would cost.
type EnoughHint struct {
	Percent      float64 `json:"percent"`
	Worst        Maybe   `json:"worst_full_scale_error_percent,omitempty"`
	LimitPercent Maybe   `json:"limit_percent,omitempty"`
	Soldered     int     `json:"soldered"`
}

// DrawerAnswer is the JSON of the drawer commands.
type DrawerAnswer struct {
	Parts []Part `json:"parts"`
	Notes
}

// Part is one part of the drawer in JSON: what there is to say of it, in order.
type Part []Field

// Field is a name and what stands behind it: a text, a number that JSON can
// hold, or whatever else it can.
type Field struct {
	Name  string
	Value any
}

// MarshalJSON writes the fields as one object.
func (p Part) MarshalJSON() ([]byte, error) {
	out := bytes.NewBufferString("{")
	encoder := json.NewEncoder(out)
	encoder.SetEscapeHTML(false)
	for i, f := range p {
		if i > 0 {
			out.WriteByte(',')
		}
		if err := encoder.Encode(f.Name); err != nil {
			return nil, fmt.Errorf("%s: %w", f.Name, err)
		}
		out.WriteByte(':')
		if err := encoder.Encode(f.Value); err != nil {
			return nil, fmt.Errorf("%s: %w", f.Name, err)
		}
	}
	out.WriteByte('}')
	return out.Bytes(), nil
}
