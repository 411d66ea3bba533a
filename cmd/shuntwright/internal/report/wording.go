package report

import (
	"fmt"
	"slices"
	"strings"
	"unicode"
)

// List joins words with commas.
func List(words []string) string { return strings.Join(words, ", ") }

// Few joins the first words of a list, and counts the rest: a sentence names few
// things.
func Few(words []string, most int) string {
	if len(words) <= most {
		return List(words)
	}
	return fmt.Sprintf("%s, and %d more", List(words[:most]), len(words)-most)
}

// Quoted puts every text into quotation marks.
func Quoted(texts []string) []string {
	var out []string
	for _, text := range texts {
		out = append(out, fmt.Sprintf("%q", text))
	}
	return out
}

// Counted says how many of a thing there are.
func Counted(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

// Either is the first of two texts where something is so, else the second.
func Either(so bool, yes, no string) string {
	if so {
		return yes
	}
	return no
}

// Plural is a word for so many.
func Plural(n int, word string) string {
	if n == 1 {
		return word
	}
	return word + "s"
}

// Unique drops repetitions and keeps the order.
func Unique(texts []string) []string {
	var out []string
	for _, text := range texts {
		if !slices.Contains(out, text) {
			out = append(out, text)
		}
	}
	return out
}

// InShell quotes a word that a shell would take apart, and what a terminal would
// take for a command. What a shell takes apart even there stands between single
// quotes.
func InShell(word string) string {
	odd := func(r rune) bool { return !unicode.IsPrint(r) }
	switch {
	case strings.ContainsFunc(word, odd):
		return fmt.Sprintf("%q", word)
	case strings.ContainsAny(word, "\"\\$`!"):
		return "'" + strings.ReplaceAll(word, "'", `'\''`) + "'"
	case word == "" || strings.ContainsAny(word, " '&;()<>|*?#~[]{}"):
		return `"` + word + `"`
	}
	return word
}
