package main

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// updateReadme set to 1 makes the test write what the program says into the
// README in place of holding one against the other.
const updateReadme = "SHUNTWRIGHT_UPDATE_README"

// TestReadmeSessions runs every "$ shuntwright …" of the README, in order and
// in one folder that is empty at the start but for the files that the README
// shows, and wants the output printed there.
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
	told, ran := replay(t, string(readme))
	if ran < 8 {
		t.Errorf("only %d commands found in the README", ran)
	}
	if told == string(readme) {
		return
	}
	if os.Getenv(updateReadme) == "1" {
		if err := os.WriteFile(path, []byte(told), 0o666); err != nil {
			t.Fatal(err)
		}
		return
	}
	t.Errorf("the README does not say what the program says (%s=1 go test ./cmd/shuntwright -run Readme rewrites it); first difference:\n%s",
		updateReadme, firstDifference(string(readme), told))
}

// replay returns the text with the output of every command in it as it is now.
// A block that begins with ```csv and a name is a file that somebody typed: it
// is written before the next command runs.
func replay(t *testing.T, text string) (told string, ran int) {
	var out, typed strings.Builder
	inside, skipping, file := false, false, ""
	for line := range strings.Lines(text) {
		if file != "" {
			if strings.HasPrefix(line, "```") {
				put(t, ".", file, typed.String())
				file = ""
				typed.Reset()
			} else {
				typed.WriteString(line)
			}
			out.WriteString(line)
			continue
		}
		switch {
		case strings.HasPrefix(line, "```csv "):
			file = strings.TrimSpace(strings.TrimPrefix(line, "```csv "))
			skipping = false
			out.WriteString(line)
		case strings.HasPrefix(line, "```"):
			inside, skipping = strings.HasPrefix(line, "```console"), false
			out.WriteString(line)
		case inside && strings.HasPrefix(line, "$ "):
			out.WriteString(line)
			out.WriteString(shell(t, strings.TrimSpace(line[2:])))
			skipping = true
			ran++
		case !skipping:
			out.WriteString(line)
		}
	}
	return out.String(), ran
}

// shell runs one line: shuntwright with its arguments, or cd.
func shell(t *testing.T, line string) string {
	words := split(line)
	switch words[0] {
	case "cd":
		t.Chdir(words[1])
		return ""
	case "shuntwright":
		var out bytes.Buffer
		quiet := env{getenv: func(string) string { return "" }}
		run(context.Background(), quiet, words[1:], strings.NewReader(""), &out, &out)
		return out.String()
	}
	t.Fatalf("the README runs %q, which is neither shuntwright nor cd", words[0])
	return ""
}

// split takes a line apart as a shell does, with double quotes only.
func split(line string) []string {
	var words []string
	word, quoted, begun := "", false, false
	for _, r := range line {
		switch {
		case r == '"':
			quoted, begun = !quoted, true
		case r == ' ' && !quoted:
			if begun {
				words = append(words, word)
			}
			word, begun = "", false
		default:
			word, begun = word+string(r), true
		}
	}
	if begun {
		words = append(words, word)
	}
	return words
}

// firstDifference shows the first line in which two texts differ.
func firstDifference(want, got string) string {
	w, g := strings.Split(want, "\n"), strings.Split(got, "\n")
	for i := range min(len(w), len(g)) {
		if w[i] != g[i] {
			return "README:  " + w[i] + "\nprogram: " + g[i]
		}
	}
	return "one of them is longer"
}
