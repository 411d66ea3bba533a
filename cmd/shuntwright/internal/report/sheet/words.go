package sheet

import (
	"strings"
	"unicode"

	"github.com/jedib0t/go-pretty/v6/text"
)

// Words say what the drawing shows: a sentence for the movement, for every row
// and for every string.
func (c Circuit) Words() string {
	out := c.Lead.words("in the lead", "the movement")
	with := "The movement (" + c.Movement.Current + ", " + c.Movement.Coil + ")"
	for _, p := range c.Between {
		with += ", in series with " + p.bracketed()
	}
	out = append(out, with+".")
	return strings.Join(append(out, c.Across.words("across the movement", "the terminal −")...), " ")
}

// words say what rows there are somewhere, and after is what follows a string.
func (rows rows) words(where, after string) []string {
	var out []string
	for _, r := range rows.Rows {
		words := r.words()
		switch {
		case rows.Chain && len(rows.Rows) > 1:
			words = r.Range + " enters before " + words
		case len(r.Of) == 0:
			words = r.Range + ": nothing but the movement"
		case r.Range != "":
			words = r.Range + ": " + where + " " + words
		default:
			words = upper(where) + " " + words
		}
		if notes := strings.Join(r.Notes, ", "); notes != "" {
			words += " (" + notes + ")"
		}
		out = append(out, words+".")
	}
	if rows.Chain && len(out) > 1 {
		return []string{upper(where) + " one string: " + strings.TrimSuffix(strings.Join(out, " "), ".") + ", and then follows " + after + "."}
	}
	return out
}

// words say what is in a row.
func (r Row) words() string {
	if len(r.Of) == 1 {
		return r.Of[0].Words()
	}
	var of []string
	for _, p := range r.Of {
		of = append(of, p.bracketed())
	}
	return strings.Join(of, " in series with ")
}

// bracketed say what is in a place that something else is in series with.
func (p Place) bracketed() string {
	if len(p.Network.Of) == 0 {
		return p.Words()
	}
	return "[" + p.Words() + "]"
}

// upper begins a sentence.
func upper(words string) string { return strings.ToUpper(words[:1]) + words[1:] }

// Words say what is in a place.
func (p Place) Words() string {
	words := p.Network.Words()
	if p.Network.open() {
		words = strings.TrimSpace("an open place " + p.Network.Note)
	}
	if p.Name != "" {
		return p.Name + ": " + words
	}
	return words
}

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
