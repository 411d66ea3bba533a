package report

import (
	"fmt"
	"io"
	"regexp"
	"slices"
	"strings"

	"github.com/jedib0t/go-pretty/v6/table"
	"github.com/jedib0t/go-pretty/v6/text"
)

// Ω, µ and ± take one column everywhere; without this an East-Asian locale
// would count two and push every table out of line.
func init() { text.OverrideRuneWidthEastAsianWidth(false) }

// tightest is the least width that a wrapped column keeps.
const tightest = 5

// gap stands between two columns.
const gap = "  "

// writeText writes the document for a terminal.
func writeText(out io.Writer, doc Document, style Style) error {
	var blocks []string
	add := func(block string) {
		if block != "" {
			blocks = append(blocks, block)
		}
	}
	if doc.Heading != "" {
		add(paragraph(append([]string{doc.Heading}, doc.BottomLine...), style.Width))
	}
	for _, t := range doc.Tables {
		if len(t.Rows) == 0 {
			continue
		}
		heading := ""
		if t.Heading != "" {
			heading = paragraph(strings.Split(t.Heading, "\n"), style.Width) + "\n"
		}
		add(heading + textTable(t, style))
	}
	add(paragraph(doc.Closing, style.Width))
	add(paragraph(append(doc.Notes.lines(mostWarnings), doc.next(style.Width)...), style.Width))
	_, err := fmt.Fprintln(out, strings.ReplaceAll(strings.Join(blocks, "\n\n"), Unbroken, " "))
	return err
}

// next is the line that names the command that follows; one that is too long
// for it has a line of its own, whole, so that it can be copied.
func (d Document) next(width int) []string {
	switch line := "next: " + d.Next; {
	case d.Next == "":
		return nil
	case width > 0 && text.StringWidth(line) > width:
		return []string{"next:\n  " + d.Next}
	default:
		return []string{line}
	}
}

// paragraph puts wrapped lines below one another, no blank line between them.
func paragraph(lines []string, width int) string {
	wrapped := make([]string, len(lines))
	for i, line := range lines {
		wrapped[i] = Wrap(line, width)
	}
	return strings.Join(wrapped, "\n")
}

// Wrap breaks a text at spaces so that no line is wider than width columns,
// where its words allow that; further lines start two columns in. A no-break
// space holds its words together, and a text that brings its own line breaks, or
// begins two columns in as commands do, is left alone. A command that ends the text
// has a line of its own, whole: half of one, pasted, does something else.
func Wrap(words string, width int) string {
	if at := strings.LastIndex(words, ": "+program); at >= 0 && text.StringWidth(words) > width && !strings.Contains(words, "\n") {
		return Wrap(words[:at+1], width) + "\n  " + words[at+2:]
	}
	if width <= 0 || strings.Contains(words, "\n") || strings.HasPrefix(words, "  ") {
		return words
	}
	return strings.ReplaceAll(strings.Join(broken(words, width, "  "), "\n"), Unbroken, " ")
}

// program is how a command begins.
const program = "shuntwright "

// figure is a number with its unit, which stay together.
var figure = regexp.MustCompile(`(\d) (%|[munkMµ]?(?:Ω|[AVW]\b|ohm\b))`)

// bound is a text whose numbers are held to their units.
func bound(words string) string { return figure.ReplaceAllString(words, "$1"+Unbroken+"$2") }

// broken are the lines of a text, further ones behind an indent.
func broken(words string, width int, indent string) []string {
	return split(bound(words), width, indent)
}

// split breaks a text at its spaces.
func split(words string, width int, indent string) (lines []string) {
	line, at := "", 0 // how wide the line is
	for _, word := range strings.FieldsFunc(words, func(r rune) bool { return r == ' ' }) {
		wide := text.StringWidth(word)
		switch {
		case line == "":
			line, at = word, wide
		case at+1+wide > width:
			lines = append(lines, line)
			line, at = indent+word, len(indent)+wide
		default:
			line, at = line+" "+word, at+1+wide
		}
	}
	return append(lines, line)
}

// wrapCell breaks every line of a cell so that it fits its column: between what
// belongs together, and then within a word, where it must.
func wrapCell(cell string, width int) string {
	var lines []string
	for _, line := range strings.Split(cell, "\n") {
		for _, part := range broken(line, width, "") {
			if text.StringWidth(part) <= width {
				lines = append(lines, part)
				continue
			}
			for _, word := range split(strings.ReplaceAll(part, Unbroken, " "), width, "") {
				lines = append(lines, text.WrapHard(word, width))
			}
		}
	}
	return strings.Join(lines, "\n")
}

// brief is a cell in so many lines at most: how it begins and how it ends, which is
// where a range has its value, with a mark for what is left out between.
func brief(cell string, width, most int, cut string) string {
	lines := strings.Split(wrapCell(cell, width), "\n")
	if len(lines) <= most {
		return strings.Join(lines, "\n")
	}
	words := strings.FieldsFunc(bound(cell), func(r rune) bool { return r == ' ' || r == '\n' })
	last := words[len(words)-1]
	for i := len(words) - 2; i >= 0 && text.StringWidth(words[i]+" "+last) <= width; i-- {
		last = words[i] + " " + last
	}
	lines = lines[:most-1]
	before := &lines[most-2]
	for text.StringWidth(*before+cut) > width {
		shorter := strings.LastIndexAny(*before, " "+Unbroken)
		if shorter < 0 {
			shorter = max(0, len(text.Trim(*before, width-text.StringWidth(cut))))
		}
		*before = (*before)[:shorter]
	}
	*before += cut
	return strings.Join(lines, "\n") + "\n" + strings.Split(wrapCell(last, width), "\n")[0]
}

// textTable sets one table with go-pretty: no frame, one rule below the head.
// What is too wide even so goes into tables of its own below.
func textTable(t Table, style Style) string {
	t, shown, common := t.fold(style.Width)
	var blocks []string
	for n, columns := range t.parts(shown, style.Width) {
		part := t
		if n > 0 { // rows that have nothing there say nothing
			part.Rows = slices.DeleteFunc(slices.Clone(t.Rows), func(row []Cell) bool {
				return !slices.ContainsFunc(columns[1:], func(c int) bool { return row[c].Text != "" })
			})
		}
		blocks = append(blocks, setTable(part, columns, style.Color, columnConfigs(part, columns, style)).Render())
	}
	if common != "" {
		blocks = append(blocks, Wrap(common, style.Width))
	}
	return strings.Join(blocks, "\n\n")
}

// setTable puts some columns of a table into a table of go-pretty.
func setTable(t Table, shown []int, color bool, configs []table.ColumnConfig) table.Writer {
	writer := table.NewWriter()
	writer.SetStyle(quietStyle())
	writer.SuppressTrailingSpaces()
	writer.SetColumnConfigs(configs)
	head := make(table.Row, len(shown))
	for i, c := range shown {
		head[i] = t.Columns[c].Title
	}
	writer.AppendHeader(head)
	for _, cells := range t.Rows {
		row := make(table.Row, len(shown))
		for i, c := range shown {
			row[i] = colored(cells[c], color)
		}
		writer.AppendRow(row)
	}
	return writer
}

// quietStyle is our look: two spaces between columns and a rule under the head.
func quietStyle() table.Style {
	style := table.StyleDefault
	style.Box.PaddingLeft, style.Box.PaddingRight = "", gap
	style.Box.MiddleHorizontal = "-"
	style.Format.Header = text.FormatDefault // or "mΩ" becomes "MΩ"
	style.Options = table.Options{SeparateHeader: true}
	return style
}

// alignments are those of some columns.
func alignments(t Table, shown []int) []table.ColumnConfig {
	configs := make([]table.ColumnConfig, len(shown))
	for i, c := range shown {
		configs[i] = table.ColumnConfig{Number: i + 1, Align: text.AlignLeft, AlignHeader: text.AlignLeft}
		if t.Columns[c].Number {
			configs[i].Align, configs[i].AlignHeader = text.AlignRight, text.AlignRight
		}
	}
	return configs
}

// columnConfigs sets the alignment, and the width of the columns that wrap.
func columnConfigs(t Table, shown []int, style Style) []table.ColumnConfig {
	configs := alignments(t, shown)
	limitFlexible(t, shown, style.Width, configs)
	for i, c := range shown {
		if most := t.Columns[c].Brief; most > 0 && !style.Full && configs[i].WidthMaxEnforcer != nil {
			configs[i].WidthMaxEnforcer = func(cell string, width int) string {
				return brief(cell, width, most, Either(style.Plain, "...", "…"))
			}
		}
	}
	return configs
}

// limitFlexible gives what the firm columns leave to the flexible ones: the
// narrow ones get what they want, the wide ones share the rest, and each gets as
// much as its longest word where all can.
func limitFlexible(t Table, shown []int, width int, configs []table.ColumnConfig) {
	if width <= 0 {
		return
	}
	left, words := width, 0
	tight := t.leastWidth(shown, false) > width
	var flexible []int // places in shown, narrowest first
	for i, c := range shown {
		left -= len(gap)
		switch {
		case t.Columns[c].Flexible:
			flexible = append(flexible, i)
			words += t.longestWord(c)
		case tight: // its title is broken
			configs[i].WidthMax, configs[i].WidthMaxEnforcer = t.bare(c), wrapCell
			left -= t.bare(c)
		default:
			left -= t.widest(c)
		}
	}
	slices.SortStableFunc(flexible, func(a, b int) int { return t.widest(shown[a]) - t.widest(shown[b]) })
	whole := words <= left
	for k, i := range flexible {
		share := max(left/(len(flexible)-k), tightest)
		if word := t.longestWord(shown[i]); whole {
			words -= word
			share = max(min(share, left-words), word)
		}
		configs[i].WidthMax, configs[i].WidthMaxEnforcer = share, wrapCell
		left -= min(share, t.widest(shown[i]))
	}
}

// colours are those of the marks.
var colours = map[Mark]text.Color{Fine: text.FgGreen, Doubtful: text.FgYellow, Wrong: text.FgRed}

// colored paints a marked cell where colour is wanted.
func colored(c Cell, color bool) string {
	if paint, marked := colours[c.Mark]; color && marked {
		return paint.EscapeSeq() + c.Text + text.Reset.EscapeSeq()
	}
	return c.Text
}
