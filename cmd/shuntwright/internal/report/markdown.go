package report

import (
	"fmt"
	"io"
	"strings"

	"github.com/jedib0t/go-pretty/v6/table"
	"github.com/jedib0t/go-pretty/v6/text"
)

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
		blocks = append(blocks, markdownTable(t))
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

// markdownTable sets one table; go-pretty escapes the bars of "R1 || R2".
func markdownTable(t Table) string {
	writer := table.NewWriter()
	style := table.StyleDefault
	style.Format.Header = text.FormatDefault
	writer.SetStyle(style)
	shown := t.shown()
	configs := make([]table.ColumnConfig, len(shown))
	head := make(table.Row, len(shown))
	for i, c := range shown {
		head[i] = t.Columns[c].Title
		configs[i] = table.ColumnConfig{Number: i + 1, Align: text.AlignLeft}
		if t.Columns[c].Number {
			configs[i].Align = text.AlignRight
		}
	}
	writer.SetColumnConfigs(configs)
	writer.AppendHeader(head)
	for _, cells := range t.Rows {
		row := make(table.Row, len(shown))
		for i, c := range shown {
			row[i] = cells[c].Text
		}
		writer.AppendRow(row)
	}
	return writer.RenderMarkdown()
}
