package report

import (
	"math"
	"strings"
	"testing"
	"unicode/utf8"
)

// TestBar: the middle is zero, the ends are what is allowed; where the error
// lies behind an end an arrowhead stands in its place.
func TestBar(t *testing.T) {
	nan := math.NaN()
	for _, test := range []struct {
		percent, limit, allowed float64
		want                    string
	}{
		{0, 0, 2.5, "├────●────┤"},
		{1.25, 0.5, 2.5, "├────┼─━●━┤"},
		{-1, nan, 2.5, "├──●─┼────┤"},
		{2.5, 0, 2.5, "├────┼────●"},
		{-2.5, 0, 2.5, "●────┼────┤"},
		{math.Nextafter(2.5, 3), 0, 2.5, "├────┼────▶"},
		{math.Nextafter(-2.5, -3), 1, 2.5, "◀━━──┼────┤"},
		{1e300, 1e300, 2.5, "├────━━━━━▶"},
		{0.1, 100, 1, "├━━━━━●━━━┤"},
		{nan, 1, 2.5, ""},
		{1, 1, nan, ""},
		{1, 1, 0, ""},
		{1, 1, math.Inf(1), ""},
	} {
		cell := Bar(test.percent, test.limit, test.allowed)
		if cell.Text != test.want || !cell.Silent {
			t.Errorf("%v ± %v of %v: %q, want %q", test.percent, test.limit, test.allowed, cell.Text, test.want)
		}
	}
}

// TestPlainBars: without UTF-8 a bar is as wide, and of ASCII only; it stands in
// no CSV.
func TestPlainBars(t *testing.T) {
	doc := Document{Tables: []Table{{Name: "t", Columns: []Column{{Title: "name", Key: "name"}, {Title: BarTitle(2.5)}, {Title: "x", Key: "x"}},
		Rows: [][]Cell{{Words("a"), Bar(-3, 1, 2.5), Words("1")}, {Words("b"), Bar(1, 1, 2.5), Words("2")}}}}}
	drawn, _ := render(t, doc, Style{Format: "table", Width: 80})
	ascii, _ := render(t, doc, Style{Format: "table", Width: 80, Plain: true})
	if !strings.Contains(drawn, "a     ◀━───┼────┤  1\n") || !strings.Contains(ascii, "a     <=---+----|  1\nb     |----==o==|  2\n") {
		t.Errorf("%s\n%s", drawn, ascii)
	}
	if utf8.RuneCountInString(drawn) != utf8.RuneCountInString(ascii) {
		t.Errorf("not as wide:\n%s\n%s", drawn, ascii)
	}
	if out, _ := render(t, doc, Style{Format: "csv"}); out != "name,x\na,1\nb,2\n" {
		t.Errorf("CSV: %s", out)
	}
}
