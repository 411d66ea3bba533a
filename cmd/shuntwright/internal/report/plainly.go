package report

import (
	"io"
	"strings"
)

// plain are the signs that the program writes, in characters that every terminal
// has. Each is one that the program reads too, where it can be typed.
var plain = strings.NewReplacer(
	"Ω", "ohm", "µ", "u", "μ", "u", "±", "+-", "°C", "C", "℃", "C", "°", "deg", "√", "sqrt", "²", "^2", "³", "^3", "·", "*", "×", "x",
	"−", "-", "–", "-", "…", "...", "≤", "<=", "≥", ">=", "≈", "~", "→", "->", "θ", "theta", "Σ", "sum",
	"├", "|", "┤", "|", "┼", "+", "┬", "+", "└", "+", "┘", "+", "─", "-", "━", "=", "●", "o", "▶", ">", "◀", "<")

// plainly writes a text in ASCII, but for letters that somebody gave to what is
// his: a file whose name were written otherwise would not be found.
func plainly(text string) string { return plain.Replace(text) }

// PlainWriter passes on what is written to it, plainly.
func PlainWriter(w io.Writer) io.Writer { return plainWriter{w} }

type plainWriter struct{ io.Writer }

func (w plainWriter) Write(text []byte) (int, error) {
	if _, err := io.WriteString(w.Writer, plainly(string(text))); err != nil {
		return 0, err
	}
	return len(text), nil
}
