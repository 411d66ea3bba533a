package sheet

import (
	"bytes"
	"encoding/xml"
	"io"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"shuntwright/cmd/shuntwright/internal/report"
)

const hostile = `</p><script>alert("1")</script> & מד זרם 電圧計`

// hostilePage has a text that would do harm wherever a text may stand.
func hostilePage() Page {
	bar := NewAxis(2.5).Bar(hostile, Mark{Percent: 1, Limit: math.NaN()})
	scale := NewAxis(2.5).Scale()
	words := func() Cell { return Words(hostile, "", hostile) }
	t := &Table{Columns: []Column{{Title: hostile}, {Title: "figure", Kind: "number"}, {Scale: &scale, Kind: "picture"}, {Title: "measured", Kind: "blank"}, {Title: "done", Kind: "done"}}}
	head := words()
	head.Rows = 2
	t.Rows = [][]Cell{
		{head, Figures(report.Pair("1.50 %", "1.4999999")), Picture(bar), {}, {Tick: true}},
		{Above, words(), Picture(bar), words(), {Tick: true}},
		{words(), {}, {}, {}, {}},
	}
	s := Section{Heading: hostile, Before: []string{hostile}, Table: t, Drawings: []Drawing{{Title: hostile, Caption: hostile, Words: hostile, width: 10, Height: 10}, {Title: hostile, Words: hostile, width: 10, Height: 10}}, After: []string{hostile}}
	all := []Section{s}
	return Page{Title: hostile, Plan: true, Marks: []string{hostile}, Facts: []Fact{{Name: hostile, Cell: words()}, {Name: "Done by"}}, Danger: []string{hostile}, Care: []string{hostile},
		Points: 7.4, Left: all, Right: all, Rest: all}
}

// seen is what a reader of the page meets.
type seen struct {
	elements map[string]int
	ids      map[string]int
	wide     []int // cells across every row, with those that reach down from above
	text     string
}

// read reads a page as HTML, and fails where an element does not end or refers
// to something.
func read(t *testing.T, page string) seen {
	t.Helper()
	s := seen{elements: map[string]int{}, ids: map[string]int{}}
	d := xml.NewDecoder(strings.NewReader(page))
	d.Strict, d.AutoClose, d.Entity = false, xml.HTMLAutoClose, xml.HTMLEntity
	reach := 0 // rows that the last head still covers
	for {
		token, err := d.Token()
		if err == io.EOF {
			return s
		}
		if err != nil {
			t.Fatalf("%v in\n%s", err, page)
		}
		switch token := token.(type) {
		case xml.CharData:
			s.text += string(token)
		case xml.StartElement:
			s.elements[token.Name.Local]++
			if token.Name.Local == "tr" {
				s.wide, reach = append(s.wide, min(1, reach)), max(0, reach-1)
			}
			if token.Name.Local == "td" || token.Name.Local == "th" {
				s.wide[len(s.wide)-1]++
			}
			for _, a := range token.Attr {
				switch a.Name.Local {
				case "id":
					s.ids[a.Value]++
				case "rowspan":
					n, _ := strconv.Atoi(a.Value)
					reach = n - 1
				case "href", "src", "style", "onload", "onclick":
					t.Errorf("%s has %s=%q", token.Name.Local, a.Name.Local, a.Value)
				}
			}
		}
	}
}

// Texts are shown as they are and do nothing; every table has its columns in
// every row; every drawing has a text and ids of its own; the page asks for
// nothing.
func TestPage(t *testing.T) {
	var out bytes.Buffer
	if err := hostilePage().Write(&out); err != nil {
		t.Fatal(err)
	}
	page := out.String()
	s := read(t, page)
	for _, name := range []string{"script", "link", "img", "iframe", "object", "a", "base", "form"} {
		if s.elements[name] > 0 {
			t.Errorf("%d elements %s", s.elements[name], name)
		}
	}
	if n := strings.Count(s.text, hostile); n < 40 {
		t.Errorf("the text stands there %d times", n)
	}
	for _, n := range s.wide {
		if n != 5 {
			t.Errorf("%d cells in a row of 5: %v", n, s.wide)
		}
	}
	for id, n := range s.ids {
		if n > 1 {
			t.Errorf("%d times the id %s", n, id)
		}
	}
	if svgs, said := s.elements["svg"], len(s.ids)/2+strings.Count(page, "aria-label="); svgs != 15 || said != svgs {
		t.Errorf("%d drawings, %d with a text", svgs, said)
	}
	for _, want := range []string{"font-size: 7.4pt;", "default-src 'none'", "<title>Plan: &lt;/p&gt;", `<data value="1.4999999">1.50 %</data>`, `<span class="tick"></span>`, `<td class="blank"></td>`} {
		if !strings.Contains(page, want) {
			t.Errorf("no %q", want)
		}
	}
	for _, color := range regexp.MustCompile(`#[0-9a-fA-F]{3,6}\b|rgb|hsl`).FindAllString(page, -1) {
		if color != "#000" && color != "#fff" && color != "#767676" { // what a printer without colours prints as well
			t.Errorf("the page has the colour %s", color)
		}
	}
	if strings.Contains(page, "ZgotmplZ") {
		t.Error("the template took a value for dangerous")
	}
}

// A page without anything is one all the same, and its sections do not leave
// columns that are empty.
func TestBarePage(t *testing.T) {
	var out bytes.Buffer
	if err := (Page{Title: "bare", Points: 8, Rest: []Section{{Heading: "one"}}}).Write(&out); err != nil {
		t.Fatal(err)
	}
	if page := out.String(); strings.Contains(page, `class="columns"`) || strings.Contains(page, `class="danger"`) || !strings.Contains(page, "<h2>one</h2>") || !strings.Contains(page, "<title>Bench sheet: bare</title>") {
		t.Error(page)
	}
}
