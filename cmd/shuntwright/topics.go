package main

import (
	"embed"
	"io/fs"
	"path"
	"slices"
	"strings"

	"shuntwright/cmd/shuntwright/internal/report"
)

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
		data, err := topicFiles.ReadFile(file)
		if err != nil {
			continue // what is embedded can be read
		}
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
