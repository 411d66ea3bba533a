package main

import (
	"fmt"
	"strings"

	"shuntwright/cmd/shuntwright/internal/report"
)

// helpCommand lists the commands.
func helpCommand() *command {
	return &command{name: "help", most: 0, run: func(*call) (report.Document, error) {
		return overview(), nil
	}}
}

// overview is what shuntwright says when nothing is asked of it.
func overview() report.Document {
	table := report.Table{Name: "commands", Columns: []report.Column{
		{Title: "command", Key: "command"},
		{Title: "does", Key: "does", Flexible: true},
	}}
	type row struct {
		Command string `json:"command"`
		Does    string `json:"does"`
	}
	var rows []row
	for _, c := range commands() {
		usage := strings.TrimSpace(c.name + " " + c.operands)
		table.Rows = append(table.Rows, []report.Cell{report.Words(usage), report.Words(c.does)})
		rows = append(rows, row{usage, c.does})
	}
	pages := report.Table{Name: "topics", Heading: "Pages of help: shuntwright help TOPIC", Columns: []report.Column{
		{Title: "topic", Key: "topic"},
		{Title: "about", Key: "about", Flexible: true},
	}}
	abouts := map[string]string{}
	for _, t := range topics() {
		pages.Rows = append(pages.Rows, []report.Cell{report.Words(t.name), report.Words(t.about)})
		abouts[t.name] = t.about
	}
	return report.Document{
		Heading:    "shuntwright matches measured resistors to the shunts and multipliers of panel meters.",
		BottomLine: []string{"Every command explains itself: shuntwright COMMAND --help."},
		Tables:     []report.Table{table, pages},
		Next:       "shuntwright demo",
		Answer:     map[string]any{"commands": rows, "topics": abouts},
		Good:       true,
	}
}

// help is what --help shows for one command.
func (c *command) help() string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s\n\n", report.Wrap("shuntwright "+c.name+": "+c.does, defaultWidth))
	fmt.Fprintf(&b, "  shuntwright %s\n", strings.TrimSpace(c.name+" [FLAGS] "+c.operands))
	if c.more != "" {
		fmt.Fprintf(&b, "\n%s\n", filled(c.more))
	}
	fmt.Fprintf(&b, "\nExample\n\n%s\n", indent(strings.TrimSpace(c.example)))
	fmt.Fprintf(&b, "\nFlags\n\n%s", c.flagHelp())
	if _, found := topicNamed(c.name); found {
		fmt.Fprintf(&b, "\nMore: shuntwright help %s\n", c.name)
	}
	return b.String()
}

// filled breaks a text anew, flush left.
func filled(text string) string {
	return strings.ReplaceAll(report.Wrap(strings.Join(strings.Fields(text), " "), defaultWidth), "\n  ", "\n")
}

// indent sets every line two columns in.
func indent(lines string) string {
	return "  " + strings.ReplaceAll(lines, "\n", "\n  ")
}
