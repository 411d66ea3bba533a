package report

import (
	"fmt"
	"slices"
	"strings"
)

// List joins words with commas.
func List(words []string) string { return strings.Join(words, ", ") }

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

// InShell quotes a path that holds spaces.
func InShell(path string) string {
	if strings.ContainsAny(path, " '\"\\$`&;()<>|*?") {
		return fmt.Sprintf("%q", path)
	}
	return path
}
