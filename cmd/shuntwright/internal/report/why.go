package report

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
