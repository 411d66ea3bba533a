package metertest

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// Case is one deck with its answers.
type Case struct {
	Name               string
	Deck               string
	Meter              json.RawMessage    // the meter file; empty in cases without one
	TemperatureCelsius float64            `json:"temperature_celsius"`
	CoilTempcoPerK     float64            `json:"coil_tempco_per_k"`
	ReferenceCelsius   float64            `json:"reference_celsius"`
	TempcoPPM          map[string]float64 `json:"tempco_ppm"`
	Diodes             []Diode
	Movement           *Movement
	BatteryOhms        float64 `json:"battery_internal_ohms"`
	Targets            []struct {
		Position   string
		TargetOhms float64 `json:"target_ohms"`
	}
	Digits map[string]int
	Points []Point
}

// Movement is the movement of a case that has no meter file.
type Movement struct {
	FullScale string `json:"full_scale"`
	Coil      string
	Swamp     string
}

// Diode is one parameter set.
type Diode struct {
	ParameterSet string `json:"parameter_set"`
	Part         string
	IS           float64 `json:"is_a"`
	N            float64
	RS           float64 `json:"rs_ohms"`
	XTI          float64
	EG           float64 `json:"eg_ev"`
	TNOM         float64 `json:"tnom_celsius"`
}

// Point is one state of a circuit and what the simulator printed for it.
type Point struct {
	Point   string
	Given   Given
	Answers map[string]float64            // of the circuit
	Places  map[string]map[string]float64 // of each position
}

// Given is what is applied at a point, and what is wrong there.
type Given struct {
	Circuit, Range     string
	AppliedAmperes     *float64 `json:"applied_current_a"`
	AppliedVolts       *float64 `json:"applied_volts"`
	SupplyVolts        *float64 `json:"supply_volts"`
	SourceOhms         *float64 `json:"source_ohms"`
	EquivalentVolts    *float64 `json:"equivalent_supply_volts"`
	EquivalentOhms     *float64 `json:"equivalent_source_ohms"`
	TemperatureCelsius *float64 `json:"temperature_celsius"`
	BatteryVolts       *float64 `json:"battery_volts"`
	SeriesOhms         *float64 `json:"series_ohms"`
	ShuntOhms          *float64 `json:"shunt_ohms"`
	TestDiodeVolts     *float64 `json:"test_diode_volts"`
	DiodesPerDirection int      `json:"diodes_per_direction"`
	DiodesAcross       string   `json:"diodes_across"`
	ParameterSet       string   `json:"parameter_set"`
	Movement           *Movement
	Fault              *Fault
}

// Fault is a change of one part.
type Fault struct {
	Position, State string
	ChangePercent   *float64 `json:"change_percent"`
	Contact         string
}

// UnmarshalJSON parts the answers of the positions from those of the circuit.
func (p *Point) UnmarshalJSON(data []byte) error {
	var raw struct {
		Point   string
		Given   Given
		Answers map[string]json.RawMessage
	}
	if err := json.Unmarshal(data, &raw); err != nil {
		return err
	}
	p.Point, p.Given, p.Answers = raw.Point, raw.Given, map[string]float64{}
	for field, text := range raw.Answers {
		if field == "positions" {
			if err := json.Unmarshal(text, &p.Places); err != nil {
				return err
			}
			continue
		}
		var x float64
		if err := json.Unmarshal(text, &x); err != nil {
			return fmt.Errorf("%s: %s: %w", p.Point, field, err)
		}
		p.Answers[field] = x
	}
	for field, x := range p.Places["None"] { // of no position: of the circuit
		p.Answers[field] = x
	}
	delete(p.Places, "None")
	return nil
}

// Load reads all cases of a folder, in the order of their names.
func Load(t testing.TB, folder string) []Case {
	t.Helper()
	paths, err := filepath.Glob(filepath.Join(folder, "*.json"))
	if err != nil || paths == nil {
		t.Fatalf("no case in %s: %v", folder, err)
	}
	out := make([]Case, len(paths))
	for i, path := range paths {
		data, err := os.ReadFile(path)
		if err == nil {
			err = json.Unmarshal(data, &out[i])
		}
		if err != nil {
			t.Fatalf("%s: %v", path, err)
		}
	}
	return out
}

// Off tells how far two answers are apart, relative to the larger; errors in
// percent count as parts of full scale, and both count as zero below 1e-14.
func Off(field string, got, want float64) float64 {
	if strings.HasSuffix(field, "_percent") {
		return math.Abs(got-want) / (100 * max(1, math.Abs(want)/100))
	}
	big := max(math.Abs(got), math.Abs(want))
	if big < 1e-14 {
		return 0
	}
	return math.Abs(got-want) / big
}

// meterOf is the case's meter file with only the circuits of one kind, or whole
// where some feed a ring: a few decks have ranges of the same name in several
// circuits, which a meter file may not.
func (c Case) meterOf(kind string) ([]byte, error) {
	var whole map[string]any
	if err := json.Unmarshal(c.Meter, &whole); err != nil {
		return nil, err
	}
	var kept []any
	all, _ := whole["circuits"].([]any)
	for _, circuit := range all {
		fields, _ := circuit.(map[string]any)
		if fields["with_ring"] != nil {
			return c.Meter, nil
		}
		if fields["circuit"] == kind {
			kept = append(kept, circuit)
		}
	}
	if kept == nil && kind == "direct" {
		kept = []any{map[string]any{"circuit": kind, "range": whole["movement"].(map[string]any)["full_scale"]}}
	}
	whole["circuits"] = kept
	return json.Marshal(whole)
}
