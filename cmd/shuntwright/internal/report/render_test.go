package report

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"strings"
	"testing"

	"github.com/jedib0t/go-pretty/v6/text"
)

// sample has everything that a document can hold.
func sample() Document {
	return Document{
		Heading: "a heading",
		Tables: []Table{
			{Name: "positions", Columns: []Column{
				{Title: "position", Key: "position", Flexible: true},
				{Title: "mΩ and µA", Key: "milliohms", Number: true},
				{Title: "network", Key: "network", Flexible: true},
				{Title: "", Key: "volts", Number: true, Bare: true},
				{Title: "empty", Key: "empty"},
			}, Rows: [][]Cell{
				{Words("shunt 10 mA"), PercentPair(0.5, 0.77), Words("R001 || R002"), Pair("1 V", "1.0000000001"), Words("")},
				{Words("ring, \"outer\""), None(), {Text: "open", Silent: true, Mark: Wrong}, None(), Words("")},
			}},
			{Name: "ranges", Columns: []Column{{Title: "range", Key: "range"}}, Rows: [][]Cell{{Words("10 mA")}}},
			{Name: "nothing", Columns: []Column{{Title: "nothing", Key: "nothing"}}},
		},
		Closing: []string{"a closing line"},
		Notes: Notes{Cautions: []Caution{{"it kills", "it kills for sure"}}, Assumptions: []string{"nothing much"},
			Warnings: []string{"one", "two", "three", "four", "five", "six"}},
		Answer: map[string]any{"a": "<&>", "x": 0.1},
		Good:   true,
	}
}

func render(t *testing.T, doc Document, style Style) (out, aside string) {
	t.Helper()
	var o, a bytes.Buffer
	if err := Render(&o, &a, doc, style); err != nil {
		t.Fatal(err)
	}
	return o.String(), a.String()
}

// TestTable pins the look: no frame, one rule, headers as they are written
// ("mΩ", never "MΩ"), no column in which nothing stands, no table without rows.
func TestTable(t *testing.T) {
	out, aside := render(t, sample(), Style{Format: "table", Width: 80})
	const want = `a heading

position           mΩ and µA  network
--------------------------------------------
shunt 10 mA    +0.50 ±0.77 %  R001 || R002
ring, "outer"              -  open

range
-------
10 mA

a closing line

assumed: nothing much
warning: one
warning: two
warning: three
warning: four
warning: and 2 more; --format json lists them all
caution: it kills
`
	if out != want || aside != "" {
		t.Errorf("%s\nwant\n%s\naside %q", out, want, aside)
	}
}

// TestBottomLineFirst: the sentences that count stand below the heading, then
// the table with its own heading; the command that follows ends it. What is a
// detail is shown where it is asked for, and CSV finds it all the same.
func TestBottomLineFirst(t *testing.T) {
	doc := sample()
	doc.BottomLine, doc.Next, doc.Details = []string{"all is well", "nothing is open"}, "shuntwright fit x.json", []string{"by the rule"}
	doc.Tables[0].Detail, doc.Tables[1].Heading = true, "what every range does"
	doc.Notes.Warnings = nil
	const lines = "a heading\nall is well\nnothing is open\n\n"
	const rest = "what every range does\nrange\n-------\n10 mA\n\na closing line\n"
	out, _ := render(t, doc, Style{Format: "table", Width: 80})
	if want := lines + rest + "\nassumed: nothing much\ncaution: it kills\nnext: shuntwright fit x.json\n"; out != want {
		t.Errorf("%s\nwant\n%s", out, want)
	}
	full, _ := render(t, doc, Style{Format: "table", Width: 80, Full: true})
	if !strings.HasPrefix(full, lines+"position ") || !strings.HasSuffix(full, rest+"by the rule\n\nassumed: nothing much\ncaution: it kills for sure\nnext: shuntwright fit x.json\n") {
		t.Errorf("full:\n%s", full)
	}
	if out, _ := render(t, doc, Style{Format: "csv", Table: "positions"}); !strings.HasPrefix(out, "position,") {
		t.Errorf("csv:\n%s", out)
	}
	out, _ = render(t, doc, Style{Format: "markdown"})
	if !strings.HasPrefix(out, "## a heading\n\nall is well\n\nnothing is open\n\n### what every range does\n\n| range |") || !strings.HasSuffix(out, "- next: shuntwright fit x.json\n") {
		t.Errorf("markdown:\n%s", out)
	}
	if doc.Notes.Cautions[0].Line != "it kills" {
		t.Error("rendering changes the document")
	}
	doc.Notes.Warnings, doc.Raised = []string{"one", "two"}, []string{"two"}
	out, _ = render(t, doc, Style{Format: "table", Width: 80})
	if !strings.HasPrefix(out, "a heading\nwarning: two\nall is well\nnothing is open\n\n") || strings.Count(out, "warning: two") != 1 || !strings.Contains(out, "\nwarning: one\n") {
		t.Errorf("raised:\n%s", out)
	}
	if _, aside := render(t, doc, Style{Format: "csv"}); !strings.Contains(aside, "warning: one\nwarning: two\n") {
		t.Errorf("raised, beside CSV: %s", aside)
	}
}

// TestWarningsCounted: the fourth warning is shown, and of more the rest is
// counted; four need no count.
func TestWarningsCounted(t *testing.T) {
	for n, last := range map[int]string{
		1: "warning: w0", mostWarnings: "warning: w3",
		mostWarnings + 1: "warning: and 1 more; --format json lists them all",
		100:              "warning: and 96 more; --format json lists them all",
	} {
		var notes Notes
		for i := range n {
			notes.Warnings = append(notes.Warnings, fmt.Sprint("w", i))
		}
		lines := notes.lines(mostWarnings)
		if got := lines[len(lines)-1]; got != last || len(lines) != min(n, mostWarnings+1) {
			t.Errorf("%d warnings: %d lines, the last is %q, want %q", n, len(lines), got, last)
		}
	}
}

// TestColours: marks paint a terminal only, and take no width.
func TestColours(t *testing.T) {
	plain, _ := render(t, sample(), Style{Format: "table", Width: 80})
	painted, _ := render(t, sample(), Style{Format: "table", Width: 80, Color: true})
	if strings.Contains(plain, "\x1b") || !strings.Contains(painted, "\x1b[31mopen\x1b[0m") {
		t.Errorf("plain %q, painted %q", plain, painted)
	}
	for mark, code := range map[Mark]string{Plain: "", Fine: "\x1b[32m", Doubtful: "\x1b[33m", Wrong: "\x1b[31m"} {
		if got := colored(Cell{Text: "x", Mark: mark}, true); !strings.HasPrefix(got, code+"x") {
			t.Errorf("mark %d: %q", mark, got)
		}
	}
}

// TestCSV: one table, keys at its head, full precision, nothing where nothing
// applies; every note goes aside, none is counted only.
func TestCSV(t *testing.T) {
	out, aside := render(t, sample(), Style{Format: "csv"})
	const want = "position,milliohms,network,volts,empty\n" +
		"shunt 10 mA,0.5,R001 || R002,1.0000000001,\n" +
		"\"ring, \"\"outer\"\"\",,,,\n"
	if out != want {
		t.Errorf("%s\nwant\n%s", out, want)
	}
	if rows, err := csv.NewReader(strings.NewReader(out)).ReadAll(); err != nil || len(rows) != 3 {
		t.Errorf("read back: %d rows, %v", len(rows), err)
	}
	if strings.Count(aside, "warning: ") != 6 || !strings.Contains(aside, "caution: it kills\n") || !strings.Contains(aside, "assumed: nothing much\n") {
		t.Errorf("aside: %s", aside)
	}
	for name, first := range map[string]string{"": "position,", "positions": "position,", "ranges": "range\n", "nothing": "nothing\n"} {
		if out, _ := render(t, sample(), Style{Format: "csv", Table: name}); !strings.HasPrefix(out, first) {
			t.Errorf("table %q: %s", name, out)
		}
	}
}

// TestRefused: a table or a format that is not there is an error that names
// what is, and nothing comes out.
func TestRefused(t *testing.T) {
	for _, test := range []struct {
		doc   Document
		style Style
		want  string
	}{
		{sample(), Style{Format: "csv", Table: "rangs"}, `no table "rangs" in this answer: one of positions, ranges, nothing`},
		{Document{}, Style{Format: "csv"}, "this answer has no table"},
		{sample(), Style{Format: "xml"}, `unknown format "xml": one of table, json, csv, markdown`},
		{Document{Answer: func() {}}, Style{Format: "json"}, "writing JSON"},
	} {
		var out, aside bytes.Buffer
		err := Render(&out, &aside, test.doc, test.style)
		if err == nil || !strings.Contains(err.Error(), test.want) || out.Len()+aside.Len() > 0 {
			t.Errorf("%+v: %v, %q, want %q", test.style, err, out.String()+aside.String(), test.want)
		}
	}
}

func TestJSON(t *testing.T) {
	out, aside := render(t, sample(), Style{Format: "json"})
	if out != "{\n  \"a\": \"<&>\",\n  \"x\": 0.1\n}\n" || aside != "" || !json.Valid([]byte(out)) {
		t.Errorf("%q, aside %q", out, aside)
	}
}

// TestMarkdown: bars are escaped, numbers stand right, drawings are fenced.
func TestMarkdown(t *testing.T) {
	doc := sample()
	doc.Closing = append(doc.Closing, "a drawing\n  ──[ coil ]──")
	out, aside := render(t, doc, Style{Format: "markdown"})
	for _, want := range []string{
		"## a heading\n\n| position | mΩ and µA | network |\n|:--- | ---:|:--- |\n",
		`| shunt 10 mA | +0.50 ±0.77 % | R001 \|\| R002 |`,
		"\n\na closing line\n\n```\na drawing\n  ──[ coil ]──\n```\n\n- assumed: nothing much\n- warning: one\n",
	} {
		if !strings.Contains(out, want) {
			t.Errorf("no %q in\n%s", want, out)
		}
	}
	if strings.Contains(out, "| nothing") || aside != "" || !strings.HasSuffix(out, "- caution: it kills\n") {
		t.Errorf("%s\naside %q", out, aside)
	}
}

// TestNarrow: flexible columns give way, firm ones do not, and no line is
// wider than asked for as long as the flexible ones have room.
func TestNarrow(t *testing.T) {
	doc := Document{Tables: []Table{{Name: "t", Columns: []Column{
		{Title: "id", Key: "id"}, {Title: "short", Key: "s", Flexible: true}, {Title: "long", Key: "l", Flexible: true},
	}, Rows: [][]Cell{{Words("R001"), Words("tin A"), Words(strings.TrimSpace(strings.Repeat("word ", 30)))}}}}}
	for _, width := range []int{40, 60, 80, 200} {
		out, _ := render(t, doc, Style{Format: "table", Width: width})
		widest := 0
		for line := range strings.Lines(out) {
			widest = max(widest, text.StringWidth(strings.TrimRight(line, "\n")))
		}
		if widest > width {
			t.Errorf("%d columns where %d are asked for:\n%s", widest, width, out)
		}
		if strings.Count(out, "word") != 30 || !strings.Contains(out, "tin A") {
			t.Errorf("words are lost at %d columns:\n%s", width, out)
		}
	}
}

// TestEastAsianLocale: Ω, µ and ± take one column in every locale. Which one
// holds is read when a process starts, so the table is set in another process.
func TestEastAsianLocale(t *testing.T) {
	const inside = "SHUNTWRIGHT_TEST_LOCALE"
	if os.Getenv(inside) != "" {
		fmt.Println("width", text.StringWidth("Ωµ±")) // to the process that asked
		return
	}
	self, err := os.Executable()
	if err != nil {
		t.Fatal("the test cannot find itself:", err)
	}
	child := exec.Command(self, "-test.run=^TestEastAsianLocale$")
	child.Env = append(os.Environ(), inside+"=1", "LC_ALL=ja_JP.UTF-8", "LANG=ja_JP.UTF-8", "RUNEWIDTH_EASTASIAN=1")
	out, err := child.Output()
	if err != nil || !strings.Contains(string(out), "width 3\n") {
		t.Errorf("%v: %s", err, out)
	}
}

// TestVerdictCell: each verdict has its own mark, and none has none.
func TestVerdictCell(t *testing.T) {
	seen := map[Mark]string{}
	for _, verdict := range []string{"", "pass", "undecided", "fail"} {
		cell := VerdictCell(verdict)
		if was, twice := seen[cell.Mark]; twice || cell.Text != verdict {
			t.Errorf("%q is shown as %+v, like %q", verdict, cell, was)
		}
		seen[cell.Mark] = verdict
	}
	if got := Count(12).Text; got != "12" {
		t.Errorf("12 is shown as %q", got)
	}
}
