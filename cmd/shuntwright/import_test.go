package main

import (
	"slices"
	"strings"
	"testing"

	"shuntwright/inventory"
)

// TestImportAsks: on a terminal ratings are asked for that neither the list nor
// a flag has.
func TestImportAsks(t *testing.T) {
	for _, test := range []struct {
		list, answers string
		flags         []string
		want, asked   string
	}{
		{"ohms\n5\n6\n", "half\n1/2\n350\n", nil, "R001,5,,,,,,0.5,350,\nR002,6,,,,,,0.5,350,\n", "watts, watts, volts"},
		{"ohms\n5\n", "\n\n", nil, "R001,5,,,,,,,,\n", "watts, volts"},
		{"ohms,W\n5,\n6,1\n", "250\n", nil, "R001,5,,,,,,,250,\nR002,6,,,,,,1,250,\n", "volts"},
		{"ohms\n5\n", "", []string{"--watts", "0.25", "--volts", "250"}, "R001,5,,,,,,0.25,250,\n", ""},
		{"ohms\n5\n", "", []string{"--dry-run"}, "", ""},
	} {
		dir := t.TempDir()
		s := asked(test.answers, append([]string{"drawer", "import", put(t, dir, "list.csv", test.list), "--drawer", dir + "/drawer.csv"}, test.flags...)...)
		if s.code != exitGood {
			t.Errorf("%q: %s", test.list, s.err)
			continue
		}
		got := ""
		if test.want != "" {
			for _, p := range drawerIn(t, dir) {
				var cells []string
				for _, column := range []string{"id", "ohms", "instrument", "gain_percent", "floor_ohms", "nominal", "tolerance_percent", "watts", "volts", "kind"} {
					cells = append(cells, cellOf(p, column))
				}
				got += strings.Join(cells, ",") + "\n"
			}
		}
		var asked []string
		for _, part := range strings.Split(s.err, "no ")[1:] {
			asked = append(asked, strings.Fields(part)[0])
		}
		if got != test.want || strings.Join(asked, ", ") != test.asked {
			t.Errorf("%q: asked for %q and wrote\n%swant %q and\n%s", test.list, asked, got, test.asked, test.want)
		}
	}
	dir := t.TempDir()
	if s := asked("", "drawer", "import", put(t, dir, "list.csv", "ohms\n5\n"), "--drawer", dir+"/drawer.csv"); s.code != exitWrong ||
		!strings.Contains(s.err, "the answers ended before all was asked") || exists(dir+"/drawer.csv") {
		t.Errorf("%+v", s)
	}
}

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
