package main

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// updateReadme set to 1 makes the tests write what the program says into the
// README and the pages of help in place of holding one against the other.
const updateReadme = "SHUNTWRIGHT_UPDATE_README"

// TestReadmeSessions runs every "$ shuntwright …" of the README, in order and
// in one folder that is empty at the start but for the files that the README
// shows with cat, and wants the output printed there.
func TestReadmeSessions(t *testing.T) {
	path, err := filepath.Abs("../../README.md")
	if err != nil {
		t.Fatal(err)
	}
	readme, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	t.Chdir(t.TempDir())
	told, ran := replay(t, string(readme), fenced)
	if ran < 8 || ran > mostOfJob {
		t.Errorf("%d commands in the README, not 8 to %d", ran, mostOfJob)
	}
	if n := strings.Count(told, "\n"); n > mostReadme {
		t.Errorf("the README has %d lines, more than %d", n, mostReadme)
	}
	holdTo(t, path, string(readme), told)
}

// mostReadme is how many lines a newcomer reads before the first job is done.
const mostReadme = 250

// mostOfJob is how many commands lead from the drawer to a meter that is known
// to read true.
const mostOfJob = 12

// TestTopics runs every "  $ shuntwright …" of the pages of help, those of a
// page in one folder that is empty at the start, and wants the output printed
// there.
func TestTopics(t *testing.T) {
	dir, err := filepath.Abs("help")
	if err != nil {
		t.Fatal(err)
	}
	for _, page := range topics() {
		t.Run(page.name, func(t *testing.T) {
			within80(t, page.text)
			if !strings.HasPrefix(page.text, page.name+": ") {
				t.Errorf("it begins with %q, not with its name", page.text[:20])
			}
			t.Chdir(t.TempDir())
			told, _ := replay(t, page.text, indented)
			holdTo(t, filepath.Join(dir, page.name+".txt"), page.text, told)
		})
	}
}

// holdTo holds a text against what the program says now, or rewrites its file.
func holdTo(t *testing.T, path, text, told string) {
	t.Helper()
	if told == text {
		return
	}
	if os.Getenv(updateReadme) != "1" {
		t.Errorf("%s does not say what the program says (%s=1 go test ./cmd/shuntwright -run 'Readme|Topics' rewrites it); first difference:\n%s",
			filepath.Base(path), updateReadme, firstDifference(text, told))
	} else if err := os.WriteFile(path, []byte(told), 0o666); err != nil {
		t.Fatal(err)
	}
}

// layout is how sessions stand in a text: behind which indent, and how wide
// the terminal is that they are shown on.
type layout struct{ indent, columns string }

// The layouts of the README, whose sessions stand in blocks of their own, and
// of the pages of help.
var (
	fenced   = layout{"", ""}
	indented = layout{"  ", "78"}
)

// replay returns the text with the output of every command in it as it is now.
// What "cat FILE" is said to show is a file that somebody typed: it is written
// before the next command runs.
func replay(t *testing.T, text string, as layout) (told string, ran int) {
	var out strings.Builder
	lines := strings.Split(strings.TrimRight(text, "\n"), "\n")
	for i := 0; i < len(lines); i++ {
		line, is := strings.CutPrefix(lines[i], as.indent+"$ ")
		if !is {
			out.WriteString(lines[i] + "\n")
			continue
		}
		for out.WriteString(lines[i] + "\n"); strings.HasSuffix(line, "\\"); i++ {
			line = strings.TrimSuffix(line, "\\") + lines[i+1]
			out.WriteString(lines[i+1] + "\n")
		}
		end := i + 1
		for end < len(lines) && !as.ends(lines[end]) {
			end++
		}
		typed := lines[i+1 : end]
		for len(typed) > 0 && typed[len(typed)-1] == "" {
			typed = typed[:len(typed)-1]
		}
		out.WriteString(as.shown(session(t, line, typed, as)))
		if as == indented && end < len(lines) && !strings.HasPrefix(lines[end], as.indent) {
			out.WriteString("\n")
		}
		i = end - 1
		ran++
	}
	return out.String(), ran
}

// ends tells whether a line is no longer what a command says.
func (as layout) ends(line string) bool {
	if strings.HasPrefix(line, as.indent+"$ ") || strings.HasPrefix(line, "```") {
		return true
	}
	return line != "" && !strings.HasPrefix(line, as.indent)
}

// shown is what a command says, as it stands in the text.
func (as layout) shown(said string) string {
	var out strings.Builder
	for line := range strings.Lines(said) {
		if line != "\n" {
			out.WriteString(as.indent)
		}
		out.WriteString(line)
	}
	return out.String()
}

// session runs one line, shuntwright with its arguments or cat, whose output is
// what somebody typed into that file.
func session(t *testing.T, line string, typed []string, as layout) string {
	words := words(line)
	switch words[0] {
	case "cat":
		var text strings.Builder
		for _, line := range typed {
			text.WriteString(strings.TrimPrefix(line, as.indent) + "\n")
		}
		put(t, ".", words[1], text.String())
		return text.String()
	case "shuntwright":
		var out bytes.Buffer // what stands on a terminal: both streams, as they come
		run(context.Background(), env{getenv: variables(map[string]string{"COLUMNS": as.columns})}, words[1:], strings.NewReader(""), &out, &out)
		return out.String()
	}
	t.Fatalf("a session runs %q, which is not shuntwright", words[0])
	return ""
}

// firstDifference shows the first line in which two texts differ.
func firstDifference(want, got string) string {
	w, g := strings.Split(want, "\n"), strings.Split(got, "\n")
	for i := range min(len(w), len(g)) {
		if w[i] != g[i] {
			return "text:    " + w[i] + "\nprogram: " + g[i]
		}
	}
	return "one of them is longer"
}

// TestAnswersAreShort: what the README's commands answer is what a bench needs,
// and its first lines say what to do.
func TestAnswersAreShort(t *testing.T) {
	readme, err := os.ReadFile("../../README.md")
	if err != nil {
		t.Fatal(err)
	}
	for _, test := range []struct {
		call  string
		most  int // lines
		first []string
	}{
		{"plan bench.json", 25, []string{"all 4 ranges within class 2.5", "8 parts to solder in 4 positions", "proven"}},
		{"check bench.json readings.csv", 35, []string{"FAIL", "outside: 10 V, -4.00", "to blame: multiplier 10 V", "repair: replace multiplier 10 V by R010 + R011"}},
		{`fit bench.json "multiplier 10 V"`, 10, []string{"multiplier 10 V now holds R010 + R011; 10 V reads", "all 4 ranges within class 2.5", "free again: R003, R012"}},
	} {
		_, rest, found := strings.Cut(string(readme), "$ shuntwright "+test.call)
		if !found {
			t.Fatalf("the README has no %s", test.call)
		}
		_, said, _ := strings.Cut(rest, "\n")
		said, _, _ = strings.Cut(said, "\n```")
		said, _, _ = strings.Cut(said, "\n$ ")
		lines := strings.Split(said, "\n")
		if len(lines) > test.most {
			t.Errorf("%s: %d lines, more than %d", test.call, len(lines), test.most)
		}
		for _, want := range test.first {
			if first := strings.Join(lines[:5], "\n"); !strings.Contains(first, want) {
				t.Errorf("%s: no %q in its first five lines:\n%s", test.call, want, first)
			}
		}
		if !strings.HasPrefix(lines[len(lines)-1], "next: shuntwright ") {
			t.Errorf("%s ends with %q", test.call, lines[len(lines)-1])
		}
	}
}
