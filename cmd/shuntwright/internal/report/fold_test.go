package report

import (
	"bytes"
	"strings"
	"testing"
)

// A table that is too wide says once what all rows say, then does without what
// it can spare; one that fits stays as it is, and so does CSV.
func TestFold(t *testing.T) {
	table := Table{Name: "parts", Columns: []Column{
		{Title: "id", Key: "id"}, {Title: "limit", Key: "limit", Spare: true}, {Title: "kind", Key: "kind", Flexible: true, Common: "kind"},
		{Title: "place", Key: "place", Common: "place"}, {Title: "fitted", Key: "fitted", Flexible: true, Common: "fitted in"},
	}}
	for _, row := range [][5]string{
		{"R001", "±1 Ω", "carbon", "tin A", "pilot boat: shunt 10 mA"}, {"R002", "±2 Ω", "carbon", "tin B", "pilot boat: shunt 100 mA"}, {"R003", "±3 Ω", "carbon", "tin B", ""},
	} {
		var cells []Cell
		for _, text := range row {
			cells = append(cells, Words(text))
		}
		table.Rows = append(table.Rows, cells)
	}
	for width, want := range map[int]string{
		80: `id    limit  kind    place  fitted
--------------------------------------------------
R001  ±1 Ω   carbon  tin A  pilot boat: shunt 10 mA
R002  ±2 Ω   carbon  tin B  pilot boat: shunt 100 mA
R003  ±3 Ω   carbon  tin B
`,
		40: `id    limit  place  fitted
-----------------------------------
R001  ±1 Ω   tin A  shunt 10 mA
R002  ±2 Ω   tin B  shunt 100 mA
R003  ±3 Ω   tin B

all of them: kind carbon; 2 of 3: fitted
  in pilot boat
`,
		30: `id    place  fitted
---------------------------
R001  tin A  shunt 10 mA
R002  tin B  shunt 100 mA
R003  tin B

all of them: kind carbon; 2 of
  3: fitted in pilot boat
`,
	} {
		var out bytes.Buffer
		if err := writeText(&out, Document{Tables: []Table{table}}, Style{Width: width}); err != nil {
			t.Fatal(err)
		}
		if got := out.String(); strings.ReplaceAll(got, "-", "") != strings.ReplaceAll(want, "-", "") {
			t.Errorf("%d columns:\n%s\nwant\n%s", width, got, want)
		}
	}
	if table.Rows[0][4].Text != "pilot boat: shunt 10 mA" {
		t.Error("the caller's rows have changed")
	}
	one := table
	one.Rows = table.Rows[:1]
	if _, shown, common := one.fold(20); common != "" || len(shown) != 4 {
		t.Errorf("one row: %v, %q", shown, common)
	}
}

// TestFoldKnown: what another answer says too is left out before a word of the
// others is broken, and not before.
func TestFoldKnown(t *testing.T) {
	table := Table{Name: "solder", Columns: []Column{
		{Title: "position", Key: "position", Flexible: true}, {Title: "target", Key: "target", Known: true}, {Title: "parts", Key: "parts", Flexible: true}},
		Rows: [][]Cell{{Words("multiplier 100 V"), Words("99.90 kΩ"), Words("R051" + Unbroken + "152400, tin D")}}}
	// 10 and 12 for the longest words, 8 for the target, two for every gap.
	for width, kept := range map[int]bool{36: true, 35: false, 30: false} {
		var out bytes.Buffer
		if err := writeText(&out, Document{Tables: []Table{table}}, Style{Width: width}); err != nil {
			t.Fatal(err)
		}
		got := out.String()
		if strings.Contains(got, "99.90 kΩ") != kept || !strings.Contains(got, "R051 152400,") || !strings.Contains(got, "multiplier") {
			t.Errorf("%d columns:\n%s", width, got)
		}
	}
}
