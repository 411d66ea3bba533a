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

// TestCellsWrap: the lines of a cell wrap each by itself within the column, and
// a word that is longer than the column is broken.
func TestCellsWrap(t *testing.T) {
	for _, test := range []struct {
		cell  string
		width int
		want  string
	}{
		{"R001 || R002\n= 24.66 Ω", 12, "R001 || R002\n= 24.66\u00a0Ω"},
		{"R001 || R002\n= 24.66 Ω", 8, "R001 ||\nR002\n=\n24.66\u00a0Ω"},
		{"R057\u00a0474k, tin D", 14, "R057\u00a0474k, tin\nD"},
		{"envelope-with-a-name", 12, "envelope-wit\nh-a-name"},
		{"", 12, ""},
	} {
		if got := wrapCell(test.cell, test.width); got != test.want {
			t.Errorf("wrapCell(%q, %d) = %q, want %q", test.cell, test.width, got, test.want)
		}
	}
}

// TestBrief: what would take more lines than it may keeps its beginning and its
// end.
func TestBrief(t *testing.T) {
	const long = "shunt plate current of both valves 250 mA"
	for _, test := range []struct {
		cell        string
		width, most int
		want        string
	}{
		{"shunt screen 50 mA", 12, 2, "shunt screen\n50\u00a0mA"},
		{"bench: multiplier 1 V", 10, 3, "bench:\nmultiplier\n1\u00a0V"},
		{long, 14, 2, "shunt plate…\nvalves 250\u00a0mA"},
		{long, 14, 3, "shunt plate\ncurrent of…\nvalves 250\u00a0mA"},
		{long, 10, 3, "shunt\nplate…\n250\u00a0mA"},
		{long, 6, 2, "shunt…\n250\u00a0mA"},
		{"one two three", 5, 2, "one…\nthree"},
		{"unbreakable-words here", 6, 2, "unbre…\nhere"},
		{"", 5, 2, ""},
	} {
		if got := brief(test.cell, test.width, test.most, "…"); got != test.want {
			t.Errorf("brief(%q, %d, %d) = %q, want %q", test.cell, test.width, test.most, got, test.want)
		}
	}
}

func TestWrap(t *testing.T) {
	for _, test := range []struct {
		words string
		width int
		want  string
	}{
		{"one two three", 80, "one two three"},
		{"one two three", 13, "one two three"},
		{"one two three", 12, "one two\n  three"},
		{"one two three", 7, "one two\n  three"},
		{"one two three four", 9, "one two\n  three\n  four"},
		{"unbreakable words", 5, "unbreakable\n  words"},
		{"Ω Ω Ω", 5, "Ω Ω Ω"},
		{"Ω Ω Ω", 4, "Ω Ω\n  Ω"},
		{"a\u00a0b c", 4, "a b\n  c"},
		{"of 3.70 % at 12 kΩ", 8, "of\n  3.70 %\n  at\n  12 kΩ"},
		{"one two", 0, "one two"},
		{"a drawing\nof two lines", 5, "a drawing\nof two lines"},
		{"  a command to copy", 5, "  a command to copy"},
		{"", 5, ""},
	} {
		if got := Wrap(test.words, test.width); got != test.want {
			t.Errorf("Wrap(%q, %d) = %q, want %q", test.words, test.width, got, test.want)
		}
	}
}
