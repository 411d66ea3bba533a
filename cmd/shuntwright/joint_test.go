package main

import (
	"encoding/csv"
	"fmt"
	"os"
	"strconv"
	"strings"
	"testing"

	"shuntwright/cmd/shuntwright/internal/predict"
)

// solved is the answer.json of an instance in testdata/joint.
type solved struct {
	Parts     int
	Within    float64  `json:"within_percent"`
	Worst     *float64 `json:"worst_full_scale_error_percent"`
	Fillable  *int     `json:"fillable_positions"`
	Positions int
}

// TestPlanProvenInstances holds plan against optima that general-purpose
// solvers (CBC, GLPK, MiniSat, CaDiCaL, clasp, toulbar2, Gecode) found and
// proved; testdata/joint/README.md says how, and gives the tolerance.
func TestPlanProvenInstances(t *testing.T) {
	t.Parallel()
	for _, name := range []string{
		"easy-40-4", "easy-40-6", "easy-100-6", "easy-100-8", "three-15-4",
		"ring-12-3", "ring-20-4", "ring-chain-15-7", "chain-12-3", "scarce-12-5", "scarce-20-9", "scarce-24-12",
		"unfillable-10-14", "unfillable-20-14", "unfillable-12-7-three", "unfillable-9-8-ring-chain",
	} {
		t.Run(name, func(t *testing.T) {
			folder := "../../testdata/joint/" + name + "/"
			var want solved
			readJSON(t, folder+"answer.json", &want)
			var got predict.Answer
			s := answered(t, &got, "plan", folder+"meter.json", "--drawer", folder+"drawer.csv",
				"--parts", strconv.Itoa(want.Parts), "--within", fmt.Sprint(want.Within), "--resolution", "0", "--time-limit", "0")
			if !*got.Proven || !near(got.BoundPercent, got.Worst, 0, 0) {
				t.Errorf("proven %v, bound %v, worst %v", *got.Proven, number(got.BoundPercent), number(got.Worst))
			}
			if want.Worst != nil && !near(got.Worst, want.Worst, 1e-9, 1e-11) {
				t.Errorf("worst error %v, want %v", number(got.Worst), *want.Worst)
			}
			open := 0
			if want.Fillable != nil {
				open = want.Positions - *want.Fillable
			}
			if len(*got.Open) != open {
				t.Errorf("%d positions open, want %d", len(*got.Open), open)
			}
			if (s.code == exitGood) != (open == 0) {
				t.Errorf("exit code %d with %d positions open", s.code, open)
			}
			checkNetworks(t, got, readOhms(t, folder+"drawer.csv"), want.Parts)
		})
	}
}

// checkNetworks works the networks out again from the drawer alone, and looks
// whether a part stands twice.
func checkNetworks(t *testing.T, got predict.Answer, ohms map[string]float64, most int) {
	used := map[string]string{}
	for _, p := range got.Positions {
		if p.Network == "" {
			if p.Ohms != nil || p.Parts != nil {
				t.Errorf("%s is open and has ohms %v, parts %q", p.Position, number(p.Ohms), p.Parts)
			}
			continue
		}
		if len(p.Parts) > most {
			t.Errorf("%s takes %d parts, more than %d", p.Position, len(p.Parts), most)
		}
		for _, id := range p.Parts {
			if other, twice := used[id]; twice {
				t.Errorf("%s stands in %s and %s", id, other, p.Position)
			}
			used[id] = p.Position
		}
		var stands []string
		value := resistance(t, p.Network, ohms, &stands)
		if strings.Join(stands, " ") != strings.Join(p.Parts, " ") {
			t.Errorf("%s: parts %q of %s", p.Position, p.Parts, p.Network)
		}
		if !near(p.Ohms, &value, 1e-12, 0) {
			t.Errorf("%s: %s is %v ohm, want %v", p.Position, p.Network, number(p.Ohms), value)
		}
	}
}

// resistance evaluates the text of a network by Ohm's law, with code of its
// own; it notes the parts that stand in it.
func resistance(t *testing.T, network string, ohms map[string]float64, stands *[]string) float64 {
	t.Helper()
	depth, start := 0, 0
	var operands []string
	parallel := false
	for i, r := range network + "+" {
		switch {
		case r == '(':
			depth++
		case r == ')':
			depth--
		case depth == 0 && (r == '+' || r == '|'):
			if text := strings.TrimSpace(network[start:min(i, len(network))]); text != "" {
				operands = append(operands, text)
			}
			start = i + 1
			parallel = parallel || r == '|'
		}
	}
	if len(operands) == 1 {
		if inner, bracketed := strings.CutPrefix(operands[0], "("); bracketed {
			return resistance(t, strings.TrimSuffix(inner, ")"), ohms, stands)
		}
		value, known := ohms[operands[0]]
		if !known {
			t.Fatalf("no part %q in the drawer", operands[0])
		}
		*stands = append(*stands, operands[0])
		return value
	}
	sum := 0.0
	for _, operand := range operands {
		x := resistance(t, operand, ohms, stands)
		if parallel {
			x = 1 / x
		}
		sum += x
	}
	if parallel {
		return 1 / sum
	}
	return sum
}

// readOhms reads a drawer with the columns id and ohms, without the program.
func readOhms(t *testing.T, path string) map[string]float64 {
	t.Helper()
	file, err := os.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	rows, err := csv.NewReader(file).ReadAll()
	if err != nil || len(rows) < 2 || rows[0][0] != "id" || rows[0][1] != "ohms" {
		t.Fatalf("%s: %v", path, err)
	}
	ohms := map[string]float64{}
	for _, row := range rows[1:] {
		if ohms[row[0]], err = strconv.ParseFloat(row[1], 64); err != nil {
			t.Fatalf("%s: %v", path, err)
		}
	}
	return ohms
}
