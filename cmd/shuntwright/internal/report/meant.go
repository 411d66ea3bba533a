package report

import (
	"fmt"
	"strings"
)

// Meant asks, in brackets, whether the nearest of the words was meant; nothing
// where none is near.
func Meant(typed string, words []string) string {
	letters, digits := apart(typed)
	best, least := "", (len(letters)+2)/4 // a slip for every four letters
	for _, word := range words {
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
