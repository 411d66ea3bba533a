package report

import (
	"fmt"
	"io"
	"strings"
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
