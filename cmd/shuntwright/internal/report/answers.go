package report

import (
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

// PickAnswer is the JSON of pick.
type PickAnswer struct {
	TargetOhms         float64  `json:"target_ohms"`
	Choices            []Choice `json:"choices"`
	EnoughPercent      Maybe    `json:"enough_percent,omitempty"`
	NetworksConsidered *big.Int `json:"networks_considered"`
	Proven             bool     `json:"proven"`
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
	Open      *[]string  `json:"open,omitempty"`

	NetworksConsidered *big.Int    `json:"networks_considered,omitempty"`
	Proven             *bool       `json:"proven,omitempty"`
	BoundPercent       Maybe       `json:"bound_percent,omitempty"`
	FewerParts         []Frontier  `json:"fewer_parts,omitempty"`
	EnoughPercent      Maybe       `json:"enough_percent,omitempty"`
	Enough             *EnoughHint `json:"enough,omitempty"`
	Notes
}

// Position is one place of a circuit in JSON.
type Position struct {
	Position       string   `json:"position"`
	ToDo           string   `json:"to_do,omitempty"` // with --trim: leave, trim or fit
	Added          []string `json:"added,omitempty"` // parts that it takes beside what is there
	TargetOhms     Maybe    `json:"target_ohms,omitempty"`
	Network        string   `json:"network,omitempty"`
	Parts          []string `json:"parts,omitempty"`
	Ohms           Maybe    `json:"ohms,omitempty"`
	ErrorPercent   Maybe    `json:"error_percent,omitempty"`
	LimitPercent   Maybe    `json:"limit_percent,omitempty"`
	CoverageFactor Maybe    `json:"coverage_factor,omitempty"`
	Watts          Maybe    `json:"watts,omitempty"`
	Volts          Maybe    `json:"volts,omitempty"`
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

	ChanceWithinClass Maybe `json:"chance_within_class,omitempty"`
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

// Part is one part of the drawer in JSON; one that is Marked has no reading,
// and Ohms is its nominal value.
type Part struct {
	ID               string            `json:"id"`
	Ohms             Maybe             `json:"ohms,omitempty"`
	AsTyped          string            `json:"as_typed,omitempty"`
	Marked           bool              `json:"marked,omitempty"`
	LimitOhms        Maybe             `json:"limit_ohms,omitempty"`
	Instrument       string            `json:"instrument,omitempty"`
	GainPercent      Maybe             `json:"gain_percent,omitempty"`
	FloorOhms        Maybe             `json:"floor_ohms,omitempty"`
	Nominal          string            `json:"nominal,omitempty"`
	TolerancePercent Maybe             `json:"tolerance_percent,omitempty"`
	Watts            Maybe             `json:"watts,omitempty"`
	Volts            Maybe             `json:"volts,omitempty"`
	TempcoPPM        Maybe             `json:"tempco_ppm,omitempty"`
	Kind             string            `json:"kind,omitempty"`
	Place            string            `json:"place,omitempty"`
	Note             string            `json:"note,omitempty"`
	Fitted           string            `json:"fitted,omitempty"`
	Other            map[string]string `json:"other,omitempty"`
}
