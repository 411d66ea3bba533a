package bench_test

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"
)

// rows reads one table of published examples: the cells of each row by the
// column's name.
func rows(t *testing.T, name string, atLeast int) []map[string]string {
	t.Helper()
	data, err := os.ReadFile("../../testdata/published/" + name)
	if err != nil {
		t.Fatal(err)
	}
	all, err := csv.NewReader(strings.NewReader(string(data))).ReadAll()
	if err != nil || len(all)-1 < atLeast {
		t.Fatalf("%s: %d rows, want %d; %v", name, len(all)-1, atLeast, err)
	}
	var out []map[string]string
	for _, cells := range all[1:] {
		row := map[string]string{}
		for i, head := range all[0] {
			row[head] = cells[i]
		}
		out = append(out, row)
	}
	return out
}

func number(t *testing.T, text string) float64 {
	t.Helper()
	x, err := strconv.ParseFloat(text, 64)
	if err != nil {
		t.Fatal(err)
	}
	return x
}

func numbers(t *testing.T, text string) []float64 {
	t.Helper()
	var out []float64
	for _, one := range strings.Split(text, ";") {
		out = append(out, number(t, one))
	}
	return out
}

// near wants two numbers within a relative tolerance.
func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance*math.Abs(want)+1e-15) {
		t.Errorf("%s: %.12g, want %.12g", what, got, want)
	}
}

// stepped is the slope of f by its i-th quantity, from a small step each way.
func stepped(at []float64, i int, f func([]float64) float64) float64 {
	step := 1e-5 * at[i]
	x := append([]float64(nil), at...)
	x[i] = at[i] + step
	up := f(x)
	x[i] = at[i] - step
	return (up - f(x)) / (2 * step)
}
