package coupled_test

import (
	"context"
	"encoding/csv"
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"shuntwright/match/coupled"
)

// joint holds drawers and meters with optima that general solvers proved; its README says how.
const joint = "../../testdata/joint"

// instance is one of them. Its circuits stand in the order ring, chain, shunts, multipliers.
type instance struct {
	name     string
	circuits circuits
	values   []float64
	atMost   int
	within   float64
	worst    float64 // percent; NaN where not all slots can be filled
	fillable int     // 0: all
}

var instances = []string{"ring-12-3", "ring-20-4", "ring-30-6", "ring-chain-15-7", "ring-chain-24-8", "ring-chain-24-11", "ring-chain-30-14",
	"ring-chain-40-10", "ring-chain-60-11", "chain-12-3", "chain-24-5", "unfillable-9-8-ring-chain"}

func readInstance(t testing.TB, name string) instance {
	t.Helper()
	in := instance{name: name}
	var answer struct {
		Parts    int      `json:"parts"`
		Within   float64  `json:"within_percent"`
		Worst    *float64 `json:"worst_full_scale_error_percent"`
		Fillable int      `json:"fillable_positions"`
	}
	readJSON(t, name, "answer.json", &answer)
	in.atMost, in.within, in.worst, in.fillable = answer.Parts, answer.Within, math.NaN(), answer.Fillable
	if answer.Worst != nil {
		in.worst = *answer.Worst
	}
	var meter struct {
		Movement struct {
			FullScale string `json:"full_scale"`
			Coil      string `json:"coil"`
		} `json:"movement"`
		Circuits []struct {
			Circuit string   `json:"circuit"`
			Range   string   `json:"range"`
			Ranges  []string `json:"ranges"`
		} `json:"circuits"`
	}
	readJSON(t, name, "meter.json", &meter)
	in.circuits.amperes, in.circuits.ohms = quantity(t, meter.Movement.FullScale), quantity(t, meter.Movement.Coil)
	for _, c := range meter.Circuits {
		list := map[string]*[]float64{"ring": &in.circuits.ring, "chain": &in.circuits.chain, "shunt": &in.circuits.shunts,
			"multiplier": &in.circuits.multiplier}[c.Circuit]
		for _, r := range append(c.Ranges, c.Range) {
			if r != "" {
				*list = append(*list, quantity(t, r))
			}
		}
	}
	in.values = readDrawer(t, name)
	return in
}

func readJSON(t testing.TB, name, file string, to any) {
	t.Helper()
	text, err := os.ReadFile(filepath.Join(joint, name, file))
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(text, to); err != nil {
		t.Fatal(name, file, err)
	}
}

func readDrawer(t testing.TB, name string) []float64 {
	t.Helper()
	file, err := os.Open(filepath.Join(joint, name, "drawer.csv"))
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	rows, err := csv.NewReader(file).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var values []float64
	for _, row := range rows[1:] {
		v, err := strconv.ParseFloat(row[1], 64)
		if err != nil {
			t.Fatal(err)
		}
		values = append(values, v)
	}
	return values
}

// quantity reads "20 mA" and the like.
func quantity(t testing.TB, text string) float64 {
	t.Helper()
	number, unit, _ := strings.Cut(text, " ")
	v, err := strconv.ParseFloat(number, 64)
	if err != nil {
		t.Fatal(err)
	}
	switch {
	case strings.HasPrefix(unit, "µ"):
		return v / 1e6
	case strings.HasPrefix(unit, "m"):
		return v / 1e3
	case strings.HasPrefix(unit, "k"):
		return v * 1e3
	}
	return v
}

// TestPublishedOptima holds answers against the optima in joint: exact to 1e-9 of the value plus 1e-11 points, as its README asks.
func TestPublishedOptima(t *testing.T) {
	for _, name := range instances {
		t.Run(name, func(t *testing.T) {
			in := readInstance(t, name)
			p, _ := in.circuits.problem(in.values, in.atMost, in.within)
			a, err := coupled.Solve(context.Background(), p)
			if err != nil {
				t.Fatal(err)
			}
			t.Logf("worst %v, %d evaluations, exact %v", a.Worst, a.Work, a.Exact)
			if in.fillable > 0 {
				if a.Filled != in.fillable {
					t.Errorf("filled %d; want %d", a.Filled, in.fillable)
				}
				return
			}
			if !a.Proven || a.Bound != a.Worst || !(math.Abs(a.Worst-in.worst) <= in.worst*1e-9+1e-11) {
				t.Errorf("worst %v, bound %v, proven %v; want %v", a.Worst, a.Bound, a.Proven, in.worst)
			}
		})
	}
}

func BenchmarkInstance(b *testing.B) {
	for _, name := range instances {
		b.Run(name, func(b *testing.B) {
			in := readInstance(b, name)
			p, _ := in.circuits.problem(in.values, in.atMost, in.within)
			var a coupled.Answer
			for b.Loop() {
				var err error
				if a, err = coupled.Solve(context.Background(), p); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric(float64(a.Work), "evaluations/op")
		})
	}
}
