package predict

import (
	"math/big"

	"shuntwright/cmd/shuntwright/internal/report"
)

// MeterAnswer is the JSON of targets, plan and predict: what each of them does
// not know stays absent.
type MeterAnswer struct {
	Meter     string       `json:"meter"`
	Positions []Position   `json:"positions"`
	Ranges    []Range      `json:"ranges,omitempty"`
	Worst     report.Maybe `json:"worst_full_scale_error_percent,omitempty"`
	Limit     report.Maybe `json:"limit_percent,omitempty"` // of the worst
	Class     report.Maybe `json:"class,omitempty"`
	Within    *int         `json:"within_class,omitempty"` // how many ranges
	Points    *int         `json:"points,omitempty"`       // of those outside: 1, and 1 more for each doubling beyond
	Open      *[]string    `json:"open,omitempty"`
	WhyOpen   []Why        `json:"why_open,omitempty"`
	// WhyOutside says of every range outside its class which position to blame,
	// and why.
	WhyOutside []Why        `json:"why_outside,omitempty"`
	ChanceAll  report.Maybe `json:"chance_all_within_class,omitempty"` // by trials

	NetworksConsidered *big.Int     `json:"networks_considered,omitempty"`
	Proven             *bool        `json:"proven,omitempty"`
	BoundPercent       report.Maybe `json:"bound_percent,omitempty"`
	FewerParts         []Frontier   `json:"fewer_parts,omitempty"`
	Resolution         report.Maybe `json:"resolution_percent,omitempty"`
	EnoughPercent      report.Maybe `json:"enough_percent,omitempty"`
	Enough             *EnoughHint  `json:"enough,omitempty"`
	report.Notes
}

// Position is one place of a circuit in JSON.
type Position struct {
	Position       string       `json:"position"`
	ToDo           string       `json:"to_do,omitempty"` // with --trim: leave, trim or fit; with --wind: wind
	Added          []string     `json:"added,omitempty"` // parts that it takes beside what is there
	TargetOhms     report.Maybe `json:"target_ohms,omitempty"`
	Network        string       `json:"network,omitempty"`
	Parts          []string     `json:"parts,omitempty"`
	Pieces         []Piece      `json:"pieces,omitempty"` // the resistors of the network, one by one
	Wire           *Wire        `json:"wire,omitempty"`
	ToWind         *Wire        `json:"to_wind,omitempty"` // its wire is still to be found
	Ohms           report.Maybe `json:"ohms,omitempty"`
	ErrorPercent   report.Maybe `json:"error_percent,omitempty"`
	LimitPercent   report.Maybe `json:"limit_percent,omitempty"`
	CoverageFactor report.Maybe `json:"coverage_factor,omitempty"`
	Watts          report.Maybe `json:"watts,omitempty"`
	Volts          report.Maybe `json:"volts,omitempty"`
}

// Piece is one resistor of a position in JSON: a part of the drawer, or a
// resistance that was there. Watts and volts are what it carries at full scale.
type Piece struct {
	Part       string       `json:"part,omitempty"`
	Resistance string       `json:"resistance,omitempty"` // where it is no part of the drawer
	Ohms       float64      `json:"ohms"`
	AsTyped    string       `json:"as_typed,omitempty"`
	Marked     bool         `json:"marked,omitempty"` // never measured
	Place      string       `json:"place,omitempty"`
	Kind       string       `json:"kind,omitempty"`
	Watts      report.Maybe `json:"watts,omitempty"`
	Volts      report.Maybe `json:"volts,omitempty"`
	RatedWatts report.Maybe `json:"rated_watts,omitempty"`
	RatedVolts report.Maybe `json:"rated_volts,omitempty"`
}

// unknownVolts is from where on nobody should put in a part without knowing what
// it bears: small ones bear 150 to 350 V (common practice).
const unknownVolts = 50

// VoltsUnknown tells a part under so many volts that it matters that nobody knows
// what it bears.
func (p Piece) VoltsUnknown() bool {
	return p.Part != "" && p.RatedVolts == nil && report.Number(p.Volts) > unknownVolts
}

// Wire is a piece to be cut off a spool, longer than it will be, and the current
// and the voltage that it is trimmed by. What it carries stands beside what it may.
type Wire struct {
	ID                 string       `json:"id,omitempty"`
	Ohms               report.Maybe `json:"ohms,omitempty"`
	Millimetres        float64      `json:"millimetres,omitempty"`
	CutMillimetres     float64      `json:"cut_millimetres,omitempty"`
	TrimAmperes        float64      `json:"trim_amperes"`
	TrimVolts          float64      `json:"trim_volts"`
	WattsPerCentimetre report.Maybe `json:"watts_per_centimetre,omitempty"`
	RatedAmperes       report.Maybe `json:"rated_amperes,omitempty"`
}

// Range is one setting of the switch in JSON.
type Range struct {
	Range          string       `json:"range"`
	FullScale      float64      `json:"full_scale"`
	Unit           string       `json:"unit"`
	FullScaleError report.Maybe `json:"full_scale_error_percent,omitempty"`
	LimitPercent   report.Maybe `json:"limit_percent,omitempty"`
	CoverageFactor report.Maybe `json:"coverage_factor,omitempty"`
	DropVolts      report.Maybe `json:"drop_volts,omitempty"`
	OhmsPerVolt    report.Maybe `json:"ohms_per_volt,omitempty"`
	Verdict        string       `json:"verdict,omitempty"`

	ChanceWithinClass report.Maybe `json:"chance_within_class,omitempty"`
	PassRestsOn       []string     `json:"pass_rests_on,omitempty"` // resistances of which nobody said how far they are trusted
}

// Frontier is the price of at most so many parts a position.
type Frontier struct {
	Parts        int          `json:"parts"`
	Worst        report.Maybe `json:"worst_full_scale_error_percent,omitempty"`
	LimitPercent report.Maybe `json:"limit_percent,omitempty"`
	Soldered     int          `json:"soldered"`
	Open         int          `json:"open,omitempty"`
	Equal        bool         `json:"equal,omitempty"` // cannot be told from the plan by what was measured
}

// EnoughHint names the --enough that spares parts and what it would cost.
type EnoughHint struct {
	Percent      float64      `json:"percent"`
	Worst        report.Maybe `json:"worst_full_scale_error_percent,omitempty"`
	LimitPercent report.Maybe `json:"limit_percent,omitempty"`
	Soldered     int          `json:"soldered"`
}

// Why is the reason that no network fills a place, or none that is good enough,
// in JSON.
type Why struct {
	Position string   `json:"position,omitempty"` // absent where one target was asked for
	Range    string   `json:"range,omitempty"`    // the range that it keeps out of the class; absent where the position is open
	Why      string   `json:"why"`                // ratings, within, parts, taken or none
	Text     string   `json:"text"`
	Helps    string   `json:"helps,omitempty"`   // the flag that would help, with its value
	Nearest  *Nearest `json:"nearest,omitempty"` // absent where there is no network at all
}

// Nearest is the network that comes nearest as things were asked.
type Nearest struct {
	Network      string  `json:"network"`
	Ohms         float64 `json:"ohms"`
	ErrorPercent float64 `json:"error_percent"` // of the target
}
