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

// Meant asks, in brackets, whether the nearest of the words was meant, or the first
// that begins so; nothing where none is near.
func Meant(typed string, words []string) string {
	letters, digits := apart(typed)
	best, least := "", (len(letters)+2)/4 // a slip for every four letters
	for _, word := range words {
		if len(typed) > 4 && strings.HasPrefix(word, typed) {
			best = word
			break
		}
		l, d := apart(word)
		if far := distance(letters, l); d == digits && (far < least || far == least && best == "") {
			best, least = word, far
		}
	}
	if best == "" {
		return ""
	}
	return fmt.Sprintf(" (did you mean %q?)", best)
}

// apart takes the digits of a name from the rest: another number is another
// thing and no slip. Case and leading zeros do not count.
func apart(name string) (letters []rune, digits string) {
	for _, r := range strings.ToLower(name) {
		if r >= '0' && r <= '9' {
			digits += string(r)
		} else {
			letters = append(letters, r)
		}
	}
	return letters, strings.TrimLeft(digits, "0")
}

// distance counts the letters to put in, leave out, change, or exchange with
// their neighbour to turn one name into another.
func distance(a, b []rune) int {
	before, last := []int{}, make([]int, len(b)+1)
	for j := range last {
		last[j] = j
	}
	for i := range a {
		next := make([]int, len(b)+1)
		next[0] = i + 1
		for j := range b {
			change := last[j]
			if a[i] != b[j] {
				change++
			}
			next[j+1] = min(last[j+1]+1, next[j]+1, change)
			if i > 0 && j > 0 && a[i] == b[j-1] && a[i-1] == b[j] {
				next[j+1] = min(next[j+1], before[j-1]+1)
			}
		}
		before, last = last, next
	}
	return last[len(b)]
}
