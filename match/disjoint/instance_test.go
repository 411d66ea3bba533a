package disjoint

import (
	"context"
	"encoding/csv"
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"
)

// The instances in testdata/joint are drawers and meters with the smallest worst error proven by general solvers; the README
// there says how. This file lists their candidates in the plainest way: every network of at most `parts` parts.

const instances = "../../testdata/joint"

type answerFile struct {
	Parts         int      `json:"parts"`
	WithinPercent float64  `json:"within_percent"`
	Worst         *float64 `json:"worst_full_scale_error_percent"`
	Fillable      *int     `json:"fillable_positions"`
	Columns       int      `json:"columns"`
}

type meterFile struct {
	Movement struct {
		FullScale string `json:"full_scale"`
		Coil      string `json:"coil"`
	} `json:"movement"`
	Circuits []struct {
		Circuit string `json:"circuit"`
		Range   string `json:"range"`
	} `json:"circuits"`
}

func readJSON(t testing.TB, path string, into any) {
	t.Helper()
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(data, into); err != nil {
		t.Fatalf("%s: %v", path, err)
	}
}

// quantity reads "2.05 mA", "335 mV", "50 µA", "2 kohm".
func quantity(t testing.TB, text string) float64 {
	t.Helper()
	number, unit, _ := strings.Cut(text, " ")
	for _, p := range []struct{ prefix, exponent string }{{"m", "e-3"}, {"µ", "e-6"}, {"u", "e-6"}, {"k", "e3"}, {"M", "e6"}} {
		if strings.HasPrefix(unit, p.prefix) {
			number += p.exponent
		}
	}
	value, err := strconv.ParseFloat(number, 64)
	if err != nil {
		t.Fatal(err)
	}
	return value
}

// instance reads a folder of testdata/joint.
func instance(t testing.TB, name string) (Problem, answerFile) {
	t.Helper()
	folder := filepath.Join(instances, name)
	var a answerFile
	var m meterFile
	readJSON(t, filepath.Join(folder, "answer.json"), &a)
	readJSON(t, filepath.Join(folder, "meter.json"), &m)
	ohms := readDrawer(t, filepath.Join(folder, "drawer.csv"))
	full, coil := quantity(t, m.Movement.FullScale), quantity(t, m.Movement.Coil)
	p := Problem{Parts: len(ohms)}
	columns := 0
	for _, c := range m.Circuits {
		x := quantity(t, c.Range)
		target, cost := shunt(full, coil, x)
		if c.Circuit == "multiplier" {
			target, cost = multiplier(full, coil, x)
		}
		list, all := candidates(ohms, a.Parts, target, a.WithinPercent/100, cost)
		columns += all
		p.Positions = append(p.Positions, list)
	}
	if columns != a.Columns {
		t.Fatalf("%s: %d candidate networks, answer.json says %d", name, columns, a.Columns)
	}
	return p, a
}

// shunt and multiplier return the target and the full-scale error in percent of a resistance in its place.
func shunt(full, coil, amperes float64) (target float64, cost func(float64) float64) {
	return full * coil / (amperes - full), func(ohms float64) float64 {
		return math.Abs(((amperes*ohms/(ohms+coil))/full - 1) * 100)
	}
}

func multiplier(full, coil, volts float64) (target float64, cost func(float64) float64) {
	return volts/full - coil, func(ohms float64) float64 { return math.Abs((volts/((ohms+coil)*full) - 1) * 100) }
}

func readDrawer(t testing.TB, path string) []float64 {
	t.Helper()
	f, err := os.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var ohms []float64
	for _, row := range rows[1:] {
		value, err := strconv.ParseFloat(row[1], 64)
		if err != nil {
			t.Fatal(err)
		}
		ohms = append(ohms, value)
	}
	return ohms
}

// candidates lists the best network of every set of at most size parts, of all networks within a fraction of the target, and
// says how many networks there are.
func candidates(ohms []float64, size int, target, within float64, cost func(float64) float64) ([]Candidate, int) {
	var list []Candidate
	all := 0
	var grow func(set []int32, values []float64)
	grow = func(set []int32, values []float64) {
		best := math.Inf(1)
		if len(set) > 0 {
			for _, v := range networks(values) {
				if math.Abs(v/target-1) <= within {
					all++
					best = min(best, cost(v))
				}
			}
		}
		if !math.IsInf(best, 1) {
			list = append(list, Candidate{Parts: slices.Clone(set), Cost: best})
		}
		from := int32(0)
		if len(set) > 0 {
			from = set[len(set)-1] + 1
		}
		for part := from; len(set) < size && int(part) < len(ohms); part++ {
			grow(append(slices.Clone(set), part), append(slices.Clone(values), ohms[part]))
		}
	}
	grow(nil, nil)
	return list, all
}

// networks lists the values of all series-parallel networks of exactly these resistances, each used once.
func networks(values []float64) []float64 {
	if len(values) == 1 {
		return values
	}
	var list []float64
	for _, op := range []bool{true, false} {
		list = append(list, joined(values, op)...)
	}
	return list
}

// joined lists the networks whose outermost connection is series or parallel: the operand that holds the first resistance is
// not joined the same way, the rest is one such operand or several.
func joined(values []float64, series bool) []float64 {
	var list []float64
	rest := values[1:]
	for mask := range 1<<len(rest) - 1 {
		first, others := values[:1:1], []float64(nil)
		for i, v := range rest {
			if mask>>i&1 != 0 {
				first = append(first, v)
			} else {
				others = append(others, v)
			}
		}
		heads := first
		if len(first) > 1 {
			heads = joined(first, !series)
		}
		for _, a := range heads {
			for _, b := range networks(others) {
				if series {
					list = append(list, a+b)
				} else {
					list = append(list, a*b/(a+b))
				}
			}
		}
	}
	return list
}

func TestPublishedOptima(t *testing.T) {
	for _, name := range quick {
		t.Run(name, func(t *testing.T) { checkInstance(t, name) })
	}
}

func TestPublishedOptimaSlow(t *testing.T) {
	if os.Getenv("SHUNTWRIGHT_SLOW") == "" {
		t.Skip("takes minutes: set SHUNTWRIGHT_SLOW=1")
	}
	for _, name := range slow {
		t.Run(name, func(t *testing.T) { checkInstance(t, name) })
	}
}

func checkInstance(t *testing.T, name string) {
	p, want := instance(t, name)
	ctx, cancel := context.WithTimeout(t.Context(), time.Minute)
	defer cancel()
	start := time.Now()
	a, err := Solve(ctx, p)
	if err != nil {
		t.Fatal(err)
	}
	t.Logf("%.3f s", time.Since(start).Seconds())
	filled := len(p.Positions)
	if want.Fillable != nil {
		filled = *want.Fillable
	}
	if !a.Proven || !a.Exact || a.Filled != filled {
		t.Errorf("proven %v, exact %v, filled %d; want both true, and %d", a.Proven, a.Exact, a.Filled, filled)
	}
	if !disjointParts(p, a.Chosen) {
		t.Errorf("%v uses a part twice", a.Chosen)
	}
	if want.Worst != nil && math.Abs(a.Worst-*want.Worst) > 1e-9**want.Worst+1e-11 || a.Worst != costs(p, a.Chosen)[0] {
		t.Errorf("worst %v, want %v", a.Worst, *want.Worst)
	}
}

var quick = []string{
	"easy-40-4", "easy-40-6", "easy-100-6", "easy-100-8", "easy-200-8",
	"scarce-12-5", "scarce-20-9", "scarce-24-11", "scarce-24-12", "scarce-30-14", "scarce-30-15", "scarce-36-17", "scarce-40-20",
	"scarce-50-20",
	"three-15-4", "three-15-5", "three-20-6", "three-24-8", "three-30-8", "three-30-10", "four-10-3", "four-12-3",
	"unfillable-10-14", "unfillable-12-7-three", "unfillable-20-14", "unfillable-30-18",
}

var slow = []string{
	"scarce-36-18", "scarce-50-24", "scarce-50-25", "scarce-60-28", "scarce-60-29", "scarce-60-30", "scarce-70-35", "scarce-80-39",
}

func BenchmarkInstance(b *testing.B) {
	for _, name := range slices.Concat(quick, slow) {
		b.Run(name, func(b *testing.B) {
			p, _ := instance(b, name)
			for b.Loop() {
				ctx, cancel := context.WithTimeout(b.Context(), time.Minute)
				a, err := Solve(ctx, p)
				cancel()
				if err != nil || !a.Exact {
					b.Fatal(a.Exact, err)
				}
			}
		})
	}
}
