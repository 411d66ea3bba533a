package report

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"io"
	"slices"
	"strings"
)

// Style says how a document is rendered.
type Style struct {
	// Format is one of Formats.
	Format string
	// Table names the table that CSV shows; empty for the main one.
	Table string
	// Color lets the terminal show marks in colour.
	Color bool
	// Width is how many columns the terminal has.
	Width int
	// Full shows the details too.
	Full bool
	// Plain writes people no character but those of ASCII, where it is not theirs.
	Plain bool
}

// Formats are the renderings by name, the default first.
var Formats = []string{"table", "json", "csv", "markdown"}

// Render writes the document to out. Notes that do not fit a format, those of
// CSV, go to aside. An unknown format or table name is an error that lists the
// known ones.
func Render(out, aside io.Writer, doc Document, style Style) error {
	if style.Table != "" { // a wrong name is refused in every format, before anything is written
		if _, err := pickTable(doc.Tables, style.Table); err != nil {
			return err
		}
	}
	doc = doc.mapped(Harmless)
	if style.Plain && (style.Format == "table" || style.Format == "markdown") {
		doc = doc.mapped(plainly)
	}
	switch style.Format {
	case "table":
		if doc.Aside {
			out = aside
		}
		return writeText(out, doc.shown(style.Full), style)
	case "markdown":
		return writeMarkdown(out, doc.shown(style.Full))
	case "csv":
		return writeCSV(out, aside, doc, style.Table)
	case "json":
		return writeJSON(out, doc.Answer)
	}
	return fmt.Errorf("unknown format %q: one of %s", style.Format, strings.Join(Formats, ", "))
}

// shown is what people see of a document: all of it, or what the bench needs.
func (d Document) shown(full bool) Document {
	if n := min(len(d.Raised), mostWarnings); n > 0 {
		var first []string
		for _, w := range d.Raised[:n] {
			first = append(first, "warning: "+w)
		}
		d.BottomLine = append(first, d.BottomLine...)
		d.Notes.Warnings = slices.DeleteFunc(slices.Clone(d.Notes.Warnings), func(w string) bool { return slices.Contains(d.Raised[:n], w) })
	}
	if full {
		d.Closing = slices.Concat(d.Closing, d.Details)
		d.Notes.Cautions = slices.Clone(d.Notes.Cautions)
		for i, c := range d.Notes.Cautions {
			d.Notes.Cautions[i].Line = c.Text
		}
		return d
	}
	d.Tables = slices.DeleteFunc(slices.Clone(d.Tables), func(t Table) bool { return t.Detail })
	return d
}

// writeJSON writes the answer with two spaces of indent and plain < and >.
func writeJSON(out io.Writer, answer any) error {
	var buffer bytes.Buffer
	encoder := json.NewEncoder(&buffer)
	encoder.SetEscapeHTML(false)
	encoder.SetIndent("", "  ")
	if err := encoder.Encode(answer); err != nil {
		return fmt.Errorf("writing JSON: %w", err)
	}
	_, err := out.Write(harmlessJSON(buffer.Bytes()))
	return err
}

// writeCSV writes one plain table; what else the document says goes aside.
func writeCSV(out, aside io.Writer, doc Document, name string) error {
	table, err := pickTable(doc.Tables, name)
	if err != nil {
		return err
	}
	writer := csv.NewWriter(out)
	var head []string
	for _, column := range table.Columns {
		if column.Key != "" {
			head = append(head, column.Key)
		}
	}
	writer.Write(head)
	for _, row := range table.Rows {
		var record []string
		for i, cell := range row {
			if table.Columns[i].Key != "" {
				record = append(record, guarded(cell.csv()))
			}
		}
		writer.Write(record)
	}
	writer.Flush()
	for _, line := range doc.Notes.lines(len(doc.Notes.Warnings)) {
		fmt.Fprintln(aside, line)
	}
	return writer.Error()
}

// pickTable finds the table of that name, or the main one.
func pickTable(tables []Table, name string) (Table, error) {
	switch {
	case len(tables) == 0 && name != "":
		return Table{}, fmt.Errorf("no table %q: this answer has none", name)
	case len(tables) == 0:
		return Table{}, fmt.Errorf("this answer has no table: use --format json")
	case name == "":
		return tables[max(0, slices.IndexFunc(tables, func(t Table) bool { return !t.Bench }))], nil
	}
	var names []string
	for _, table := range tables {
		if table.Name == name {
			return table, nil
		}
		names = append(names, table.Name)
	}
	return Table{}, fmt.Errorf("no table %q in this answer: one of %s", name, strings.Join(names, ", "))
}

// mostWarnings is how many warnings people are shown before "and so on".
const mostWarnings = 4

// lines are the notes, each with the word that tells what it is; of more
// warnings than most the rest is counted.
func (n Notes) lines(most int) []string {
	var lines []string
	for _, text := range n.Assumptions {
		lines = append(lines, "assumed: "+text)
	}
	for i, text := range n.Warnings {
		if i == most {
			lines = append(lines, fmt.Sprintf("warning: and %d more; --format json lists them all", len(n.Warnings)-most))
			break
		}
		lines = append(lines, "warning: "+text)
	}
	for _, c := range n.Cautions {
		lines = append(lines, "caution: "+c.Line)
	}
	return lines
}

// writeMarkdown writes the document as Markdown with pipe tables.
func writeMarkdown(out io.Writer, doc Document) error {
	var blocks []string
	if doc.Heading != "" {
		blocks = append(blocks, "## "+doc.Heading)
	}
	blocks = append(blocks, doc.BottomLine...)
	for _, t := range doc.Tables {
		if len(t.Rows) == 0 {
			continue
		}
		if t.Heading != "" {
			blocks = append(blocks, "### "+t.Heading)
		}
		blocks = append(blocks, setTable(t, t.shown(), false, alignments(t, t.shown())).RenderMarkdown()) // which escapes the bars of "R1 || R2"
	}
	for _, line := range doc.Closing {
		blocks = append(blocks, markdownText(line))
	}
	if lines := append(doc.Notes.lines(mostWarnings), doc.next(0)...); len(lines) > 0 {
		blocks = append(blocks, "- "+strings.Join(lines, "\n- "))
	}
	_, err := fmt.Fprintln(out, strings.ReplaceAll(strings.Join(blocks, "\n\n"), Unbroken, " "))
	return err
}

// markdownText keeps a drawing as it is and leaves a sentence alone.
func markdownText(line string) string {
	if strings.Contains(line, "\n") {
		return "```\n" + line + "\n```"
	}
	return line
}
