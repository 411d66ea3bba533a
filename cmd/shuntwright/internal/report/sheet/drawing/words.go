package drawing

import "strings"

// Words say what the drawing shows, a sentence a row.
func (c Circuit) Words() string {
	var out []string
	say := func(rows Rows, where, chained string) {
		for i, r := range rows.Rows {
			var of []string
			for _, p := range r.Of {
				of = append(of, p.Words())
			}
			words := where + " " + strings.Join(of, " in series with ")
			switch {
			case len(of) == 0:
				words = "nothing but the movement"
			case rows.Chain && i < len(rows.Rows)-1:
				words += ", " + chained
			}
			if notes := strings.Join(r.Notes, ", "); notes != "" {
				words += " (" + notes + ")"
			}
			if r.Range != "" {
				words = r.Range + ": " + words
			}
			out = append(out, words+".")
		}
	}
	say(c.Lead, "in the lead", "then on as the next range")
	with := "The movement (" + c.Movement.Current + ", " + c.Movement.Coil + ")"
	for _, p := range c.Between {
		with += ", in series with " + p.Words()
	}
	out = append(out, with+".")
	say(c.Across, "across the movement", "then on as the next range")
	return strings.Join(out, " ")
}

// Words say what is in a place.
func (p Place) Words() string {
	words := p.Network.Words()
	if p.Network.Open() {
		words = strings.TrimSpace("an open place " + p.Network.Note)
	}
	if p.Name != "" && p.Name != p.Network.Name {
		return p.Name + ": " + words
	}
	return words
}
