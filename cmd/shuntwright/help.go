package main

import (
	"embed"
	"fmt"
	"io/fs"
	"path"
	"runtime/debug"
	"slices"
	"strings"
	"unicode/utf8"

	"github.com/spf13/pflag"

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
	pages := report.Table{Name: "topics", Heading: "Pages of help: shuntwright help TOPIC", Columns: []report.Column{
		{Title: "topic", Key: "topic"},
		{Title: "about", Key: "about", Flexible: true},
	}}
	abouts := map[string]string{}
	for _, t := range topics() {
		pages.Rows = append(pages.Rows, []report.Cell{report.Words(t.name), report.Words(t.about)})
		abouts[t.name] = t.about
	}
	table, rows := listed(commands())
	return report.Document{
		Heading:    "shuntwright matches measured resistors to the shunts and multipliers of panel meters.",
		BottomLine: []string{explains},
		Tables:     []report.Table{table, pages},
		Next:       "shuntwright demo",
		Answer:     map[string]any{"commands": rows, "topics": abouts},
		Good:       true,
	}
}

// versionCommand says which program this is.
func versionCommand() *command {
	return &command{name: "--version", run: func(*call) (report.Document, error) {
		version := "unknown"
		if info, ok := debug.ReadBuildInfo(); ok {
			version = info.Main.Version
		}
		return report.Document{Heading: "shuntwright " + version, Answer: map[string]string{"version": version}, Next: "shuntwright help", Good: true}, nil
	}}
}

const explains = "Every command explains itself: shuntwright COMMAND --help."

// groupCommand lists the commands that begin with one word.
func groupCommand(word string) *command {
	return &command{name: word, run: func(*call) (report.Document, error) {
		table, rows := listed(ofGroup(word))
		doc := report.Document{Heading: "The commands of shuntwright " + word + ".", BottomLine: []string{explains},
			Tables: []report.Table{table}, Answer: map[string]any{"commands": rows}, Next: "shuntwright help", Good: true}
		if _, found := topicNamed(word); found {
			doc.Next = "shuntwright help " + word
		}
		return doc, nil
	}}
}

// listed is a list of commands, for people and for JSON.
func listed(commands []*command) (report.Table, []map[string]string) {
	table := report.Table{Name: "commands", Columns: []report.Column{
		{Title: "command", Key: "command"},
		{Title: "does", Key: "does", Flexible: true},
	}}
	var rows []map[string]string
	for _, c := range commands {
		usage := strings.TrimSpace(c.name + " " + c.operands)
		table.Rows = append(table.Rows, []report.Cell{report.Words(usage), report.Words(c.does)})
		rows = append(rows, map[string]string{"command": usage, "does": c.does})
	}
	return table, rows
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

// flagHelp lists the flags, what they say in one column, with their defaults.
func (c *command) flagHelp() string {
	flags := (&call{command: c}).flagSet()
	type line struct{ flag, says string }
	var all []line
	column := 0
	flags.VisitAll(func(f *pflag.Flag) {
		value, says := pflag.UnquoteUsage(f)
		l := line{"      --" + f.Name, says}
		if value != "" && f.Value.Type() != "bool" {
			l = line{l.flag + " " + value, strings.TrimPrefix(says, value+" ")} // said once is enough
		}
		if !slices.Contains([]string{"", "false", "0", "0s", "[]"}, f.DefValue) {
			l.says += " (default " + f.DefValue + ")"
		}
		all = append(all, l)
		column = max(column, utf8.RuneCountInString(l.flag)+2)
	})
	const widest = 32 // behind a flag with more the text begins in the line below
	column = min(column, widest)
	var b strings.Builder
	for _, l := range all {
		gap := column - utf8.RuneCountInString(l.flag)
		if gap < 2 {
			l.flag += "\n"
			gap = column
		}
		says := report.Wrap(l.says, defaultWidth-column)
		b.WriteString(l.flag + strings.Repeat(" ", gap) + strings.ReplaceAll(says, "\n  ", "\n"+strings.Repeat(" ", column)) + "\n")
	}
	return b.String()
}

// topicFiles are the pages of help beyond the commands: help/NAME.txt, whose
// first line says what NAME is about. A test runs every command in them.
//
//go:embed help/*.txt
var topicFiles embed.FS

// topic is one page of help.
type topic struct{ name, about, text string }

// topics in the order of their names.
func topics() []topic {
	var all []topic
	names, _ := fs.Glob(topicFiles, "help/*.txt") // the pattern is good
	for _, file := range names {
		data, _ := topicFiles.ReadFile(file) // it is embedded
		name := strings.TrimSuffix(path.Base(file), ".txt")
		first, _, _ := strings.Cut(string(data), "\n")
		all = append(all, topic{name, strings.TrimPrefix(first, name+": "), string(data)})
	}
	return all
}

// topicCommand shows a page of help.
func topicCommand(t topic) *command {
	return &command{name: "help " + t.name, most: 0, run: func(*call) (report.Document, error) {
		doc := report.Document{Heading: strings.TrimRight(t.text, "\n"), Answer: map[string]string{"topic": t.name, "text": t.text}, Next: "shuntwright help", Good: true}
		if len(ofGroup(t.name)) > 0 || slices.ContainsFunc(commands(), func(c *command) bool { return c.name == t.name }) {
			doc.Next = "shuntwright " + t.name + " --help"
		}
		return doc, nil
	}}
}

func topicNames() []string {
	var names []string
	for _, t := range topics() {
		names = append(names, t.name)
	}
	return names
}

// topicNamed finds a page of help.
func topicNamed(name string) (topic, bool) {
	for _, t := range topics() {
		if t.name == name {
			return t, true
		}
	}
	return topic{}, false
}
