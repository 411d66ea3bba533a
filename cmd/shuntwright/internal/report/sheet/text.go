package sheet

import (
	"strings"
	"unicode"

	"github.com/jedib0t/go-pretty/v6/text"
)

// TextWidth is about how wide a line of text is in the widest of the usual
// sans-serif faces: rather more than less, for what stands beside it must not
// be touched.
func TextWidth(line string) float64 {
	em := 0.0
	for _, r := range line {
		columns := float64(text.RuneWidth(r))
		switch {
		case strings.ContainsRune("mMW@%Ωµ…", r):
			em += 1
		case strings.ContainsRune("il.,'|: ", r):
			em += 0.36
		case unicode.IsUpper(r) && r < 0x250:
			em += 0.76
		case r < 0x250:
			em += 0.65 * columns
		case columns > 1:
			em += 0.65 * columns
		default:
			em += 0.9 * columns
		}
	}
	return em * textSize
}

// Fit shortens a line to a width. Its last word stays, with the number before
// it, where there is room: names of ranges end in what tells them apart.
func Fit(line string, width float64) string {
	words := strings.Fields(line)
	line = strings.Join(words, " ")
	if TextWidth(line) <= width {
		return line
	}
	end := ""
	if n := len(words); n > 1 {
		end = words[n-1]
		if unicode.IsDigit([]rune(words[n-2])[0]) {
			end = words[n-2] + " " + end
		}
	}
	if end = "…" + end; TextWidth(end) > width {
		end = "…"
	}
	runes := []rune(line)
	for len(runes) > 0 && TextWidth(string(runes)+end) > width {
		runes = runes[:len(runes)-1]
	}
	return strings.TrimRight(string(runes), " ") + end
}

// wrapped breaks a text at spaces into at most so many lines of a width; the
// last one is shortened where that is not enough.
func wrapped(line string, width float64, most int) []string {
	var out []string
	words := strings.Fields(line)
	for len(words) > 0 {
		n := 1
		for n < len(words) && TextWidth(strings.Join(words[:n+1], " ")) <= width {
			n++
		}
		if len(out) == most-1 {
			n = len(words)
		}
		out = append(out, Fit(strings.Join(words[:n], " "), width))
		words = words[n:]
	}
	return out
}
