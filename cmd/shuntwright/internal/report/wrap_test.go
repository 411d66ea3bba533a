package report

import "testing"

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
