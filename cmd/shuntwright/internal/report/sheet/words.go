package sheet

import "strings"

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
	if p.Name != "" && p.Name != p.Network.Name {
		return p.Name + ": " + words
	}
	return words
}
