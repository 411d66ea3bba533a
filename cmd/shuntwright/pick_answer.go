package main

import (
	"math/big"

	"shuntwright/cmd/shuntwright/internal/predict"
	"shuntwright/cmd/shuntwright/internal/report"
)

// pickAnswer is the JSON of pick.
type pickAnswer struct {
	TargetOhms         float64       `json:"target_ohms"`
	Choices            []pickChoice  `json:"choices"`
	ResolutionPercent  report.Maybe  `json:"resolution_percent,omitempty"`
	EnoughPercent      report.Maybe  `json:"enough_percent,omitempty"`
	NetworksConsidered *big.Int      `json:"networks_considered"`
	Proven             bool          `json:"proven"`
	WhyOpen            []predict.Why `json:"why_open,omitempty"`
	report.Notes
}

// pickChoice is one network that pick offers.
type pickChoice struct {
	Network        string       `json:"network"`
	Parts          []string     `json:"parts"`
	Ohms           float64      `json:"ohms"`
	ErrorPercent   float64      `json:"error_percent"`
	LimitPercent   report.Maybe `json:"limit_percent,omitempty"`
	CoverageFactor report.Maybe `json:"coverage_factor,omitempty"`
	Equal          bool         `json:"equal,omitempty"` // cannot be told from the best by what was measured
}
