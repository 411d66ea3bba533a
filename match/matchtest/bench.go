package matchtest

import (
	"path/filepath"

	"shuntwright/match"
)

// Bench is a meter as it stands on a bench with a drawer as people have it,
// every position open, and what a plain local search reached;
// testdata/bench/README.md says how.
type Bench struct {
	Ohms      []float64 // the drawer
	Meter     *Meter
	Problem   match.Problem // two parts a position, all within 20 % of the target
	Reference match.Key
}

// Benches are the folders of testdata/bench.
var Benches = []string{"ammeter-60", "ammeter-200", "far-multimeter-120", "far-multimeter-300", "multimeter-60", "multimeter-200", "panel-60", "panel-200",
	"testset-60", "testset-200", "transmitter-60", "transmitter-200", "voltmeter-60", "voltmeter-200"}

// ReadBench reads a folder of testdata/bench; root is the module's.
func ReadBench(root, name string) (Bench, error) {
	folder := filepath.Join(root, "testdata", "bench", name)
	var answer struct {
		Step     float64 `json:"step_percent"`
		Class    float64
		Points   int
		Steps    []float64 // within the class, then outside
		Soldered int
	}
	if err := readJSON(filepath.Join(folder, "reference.json"), &answer); err != nil {
		return Bench{}, err
	}
	meter, class, err := readMeterOf(filepath.Join(folder, "meter.json"))
	if err != nil {
		return Bench{}, err
	}
	ohms, err := readDrawer(filepath.Join(folder, "drawer.csv"))
	if err != nil {
		return Bench{}, err
	}
	b := Bench{Ohms: ohms, Meter: meter, Problem: meter.Problem(2, 0.2)}
	b.Problem.Class, b.Problem.Resolution = class, answer.Step
	b.Reference = match.Key{Filled: len(meter.Targets), Whole: len(answer.Steps), Points: answer.Points, Parts: answer.Soldered}
	for _, s := range answer.Steps {
		switch {
		case s*answer.Step > answer.Class: // a range at the class has as many steps and no points; there is none
			b.Reference.Outside = append(b.Reference.Outside, s)
		case s > 0:
			b.Reference.Within = append(b.Reference.Within, s)
		}
	}
	return b, nil
}
