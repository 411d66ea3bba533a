package main

import (
	"regexp"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/jedib0t/go-pretty/v6/text"
)

// TestHelp: every command explains itself with an example that it would take,
// within 80 columns.
func TestHelp(t *testing.T) {
	for _, c := range commands() {
		t.Run(c.name, func(t *testing.T) {
			asked := append(strings.Fields(c.name), "--help")
			s := program(asked...)
			if s.code != exitGood || s.err != "" {
				t.Fatalf("exit code %d, standard error %q", s.code, s.err)
			}
			within80(t, s.out)
			other := program(append([]string{"help"}, strings.Fields(c.name)...)...)
			if _, page := topicNamed(c.name); page {
				if !strings.HasSuffix(other.out, "\nnext: shuntwright "+c.name+" --help\n") || !strings.HasSuffix(s.out, "\nMore: shuntwright help "+c.name+"\n") {
					t.Errorf("help %s and --help do not name one another", c.name)
				}
			} else if other.out != s.out {
				t.Errorf("help %s says something else than --help", c.name)
			}
			_, example, found := strings.Cut(s.out, "\nExample\n\n  shuntwright ")
			if !found {
				t.Fatalf("no example in\n%s", s.out)
			}
			line, explained, _ := strings.Cut(strings.ReplaceAll(example, "\\\n", " "), "\n")
			if !strings.HasPrefix(explained, "    ") {
				t.Errorf("the example %q is not explained", line)
			}
			chosen, rest, err := choose(words(line))
			if err != nil || chosen.name != c.name {
				t.Fatalf("the example %q is not of this command: %v", line, err)
			}
			if _, err := (&call{command: chosen}).parse(rest); err != nil {
				t.Errorf("the example %q: %v", line, err)
			}
			if c.does == "" || strings.HasSuffix(c.does, ".") {
				t.Errorf("what it does: %q", c.does)
			}
		})
	}
}

// TestOverview: no argument, help and --help list every command.
func TestOverview(t *testing.T) {
	bare := program()
	for _, args := range [][]string{{"help"}, {"--help"}, {"-h"}} {
		if s := program(args...); s != bare || s.code != exitGood {
			t.Errorf("%q: %+v", args, s)
		}
	}
	within80(t, bare.out)
	for _, c := range commands() {
		if !strings.Contains(bare.out, "\n"+c.name+" ") {
			t.Errorf("%s is not listed", c.name)
		}
	}
	for _, name := range []string{"check", "circuits", "files", "limits", "safety", "search", "words"} {
		page, found := topicNamed(name)
		if s := program("help", name); !found || !strings.HasPrefix(s.out, page.text) || !strings.Contains(bare.out, "\n"+name+" ") {
			t.Errorf("no page %s, or it is not listed:\n%s", name, s.out)
		}
	}
	if s := program("help", "nosuch"); s.code != exitWrong || !strings.Contains(s.err, "pages of help: check, circuits, ") {
		t.Errorf("help nosuch: %+v", s)
	}
}

// within80 counts columns as a terminal does, not bytes.
func within80(t *testing.T, shown string) {
	t.Helper()
	for line := range strings.Lines(shown) {
		command := strings.HasPrefix(strings.TrimSpace(line), "shuntwright ") // to copy, whole
		if wide := text.StringWidth(strings.TrimRight(line, "\n")); wide > 80 && !command {
			t.Errorf("%d columns: %s", wide, line)
		}
	}
}

// TestMarkdownBars: the bars of a parallel network stay within its cell, in
// every command that shows networks.
func TestMarkdownBars(t *testing.T) {
	t.Chdir(t.TempDir())
	do(t, "demo --write .")
	for _, line := range []string{"pick 24.40", "plan meter.json", "fit meter.json", "predict meter.json --full", "meter show meter.json"} {
		s := program(append(strings.Fields(line), "--format", "markdown")...)
		if !strings.Contains(s.out, ` \|\| `) || regexp.MustCompile(`(?m)^\|.*[^\\]\|\|`).MatchString(s.out) {
			t.Errorf("%s:\n%s", line, s.out)
		}
		cells := 0
		for row := range strings.Lines(s.out) {
			if !strings.HasPrefix(row, "|") {
				cells = 0
				continue
			}
			n := strings.Count(strings.ReplaceAll(row, `\|`, ""), "|")
			if cells != 0 && n != cells {
				t.Errorf("%s: a row of %d cells below a head of %d: %s", line, n-1, cells-1, row)
			}
			cells = n
		}
	}
}

// TestHelpColumns: what the flags say begins in one column, whatever
// characters their values are named with.
func TestHelpColumns(t *testing.T) {
	for _, c := range commands() {
		column := 0
		for _, line := range strings.Split(c.flagHelp(), "\n") {
			if !strings.HasPrefix(line, "      --") {
				continue
			}
			flag := strings.TrimSpace(line)
			name, usage, found := strings.Cut(flag, "  ")
			at := utf8.RuneCountInString(line) - utf8.RuneCountInString(strings.TrimLeft(usage, " "))
			if column == 0 && found {
				column = at
			}
			if !found { // too long: its use begins in the line below
				continue
			}
			if at != column {
				t.Errorf("%s: %s says its use in column %d, others in %d", c.name, name, at, column)
			}
		}
	}
}
