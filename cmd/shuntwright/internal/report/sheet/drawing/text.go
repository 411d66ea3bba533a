package drawing

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

// fit shortens a line to a width; what was cut off ends in an ellipsis.
func fit(line string, width float64) string {
	line = strings.Join(strings.Fields(line), " ")
	if TextWidth(line) <= width {
		return line
	}
	runes := []rune(line)
	for len(runes) > 0 && TextWidth(string(runes)+"…") > width {
		runes = runes[:len(runes)-1]
	}
	return strings.TrimRight(string(runes), " ") + "…"
}

// wrapped breaks a text at spaces into at most so many lines of a width; the
// last one is shortened where that is not enough, from its front words on.
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
		out = append(out, fit(strings.Join(words[:n], " "), width))
		words = words[n:]
	}
	return out
}
