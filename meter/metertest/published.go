// Package metertest reads what tests of meters are held against: the published
// examples of testdata/published, and the circuit simulator's answers of
// testdata/spice.
package metertest

import (
	"encoding/csv"
	"os"
	"strconv"
	"strings"
	"testing"
)

// Row is a published example: its cells by the names of their columns.
type Row map[string]string

// Rows reads a table of published examples, of at least so many.
func Rows(t testing.TB, path string, atLeast int) []Row {
	t.Helper()
	f, err := os.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	all, err := csv.NewReader(f).ReadAll()
	if err != nil || len(all)-1 < atLeast {
		t.Fatalf("%s: %d rows, want %d; %v", path, len(all)-1, atLeast, err)
	}
	var out []Row
	for _, cells := range all[1:] {
		row := Row{}
		for i, head := range all[0] {
			row[head] = cells[i]
		}
		out = append(out, row)
	}
	return out
}

// Number is the number in a cell.
func (r Row) Number(t testing.TB, column string) float64 {
	t.Helper()
	return r.Numbers(t, column)[0]
}

// Numbers are the numbers in a cell, separated by semicolons.
func (r Row) Numbers(t testing.TB, column string) []float64 {
	t.Helper()
	var out []float64
	for _, text := range strings.Split(r[column], ";") {
		x, err := strconv.ParseFloat(text, 64)
		if err != nil {
			t.Fatalf("%s %q of %v: %v", column, text, r, err)
		}
		out = append(out, x)
	}
	return out
}
