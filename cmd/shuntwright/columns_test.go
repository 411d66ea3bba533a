package main

import (
	"slices"
	"strings"
	"testing"

	"shuntwright/inventory"
)

// TestColumnsFollow: what is in a column of the drawer, whichever, comes out of
// drawer list under the column's name, and a flag that fills one fills one that
// there is.
func TestColumnsFollow(t *testing.T) {
	t.Parallel()
	cells := map[string]string{
		"id": "R1", "ohms": "98.6", "nominal": "100", "gain_percent": "1", "floor_ohms": "0.1", "tolerance_percent": "5", "watts": "0.5", "volts": "250",
		"tempco_ppm": "50", "metres": "5", "amperes": "0.5", "date": "2020-01-02", "instrument": "",
	}
	var names, row []string
	for _, name := range inventory.Columns() {
		cell, said := cells[name]
		if names = append(names, name); !said {
			cell = "words"
		}
		if name == "metres" || name == "amperes" {
			cell = "" // of wire
		}
		row = append(row, cell)
	}
	wire := make([]string, len(names))
	for name, cell := range map[string]string{"id": "W1", "ohms": "10 ohm/m", "metres": "5", "amperes": "0.5"} {
		wire[slices.Index(names, name)] = cell
	}
	drawer := put(t, t.TempDir(), "drawer.csv", strings.Join(names, ",")+"\n"+strings.Join(row, ",")+"\n"+strings.Join(wire, ",")+"\n")
	var got struct{ Parts []map[string]any }
	answered(t, &got, "drawer", "list", "--drawer", drawer, "--accuracy", "1% + 1 count")
	if len(got.Parts) != 2 {
		t.Fatalf("%v", got)
	}
	for _, name := range names {
		if got.Parts[0][name] == nil && got.Parts[1][name] == nil && name != "instrument" {
			t.Errorf("%s: %v", name, got.Parts)
		}
	}
	for _, of := range partColumns {
		if !slices.Contains(names, of.column) {
			t.Errorf("--%s fills the column %s, which is none", of.flag, of.column)
		}
	}
}
