package worksheet

import (
	"slices"

	"shuntwright/cmd/shuntwright/internal/report/sheet"
	"shuntwright/cmd/shuntwright/internal/report/sheet/drawing"
)

// What there is room for on a printed page, about, in CSS pixels: a page of
// Letter, which is shorter than A4, and what takes how much of it.
const (
	pageHigh      = 985.0
	headHigh      = 215.0 // title, what is known, dangers: on the first page
	headingHigh   = 40.0  // of a section, with the head of its table
	captionHigh   = 22.0
	rowHigh       = 15.5
	blankHigh     = 18.5 // with room to write
	partHigh      = 27.5
	paragraphHigh = 28.0
)

// high is how high a section is, about.
func high(s sheet.Section, row float64) float64 {
	out := headingHigh + paragraphHigh*float64(len(s.Before)+len(s.After))
	if s.Table != nil {
		out += row * float64(len(s.Table.Rows))
	}
	for _, d := range s.Drawings {
		out += d.Height + captionHigh
	}
	return out
}

// together is how high sections below one another are.
func together(all []sheet.Section, row float64) float64 {
	out := 0.0
	for _, s := range all {
		out += high(s, row)
	}
	return out
}

// spreads are the sheet's pages: one to fit the parts and one to test. Where
// the first has no room on a page, the columns run on as they come.
func (m *maker) spreads() []sheet.Spread {
	parts, wiring := m.pickList(), m.wiring()
	test, figures := slices.Concat(m.positionsTable(), m.testTable()), slices.Concat(m.rangesTable(), m.heatTable(), m.faultTable())
	if together(test, blankHigh) < together(figures, rowHigh) {
		test = append(test, m.assumed()...)
	} else {
		figures = append(figures, m.assumed()...)
	}
	wide := slices.Concat(m.scalePlots(), m.driftPlots())
	if headHigh+max(high(parts, partHigh), high(wiring, 0)) <= pageHigh {
		return []sheet.Spread{{Left: []sheet.Section{parts}, Right: []sheet.Section{wiring}}, {Left: test, Right: figures, Wide: wide}}
	}
	return []sheet.Spread{{Left: append([]sheet.Section{parts}, test...), Right: packed(wiring, figures), Wide: wide}}
}

// packed puts figures into the room that is left on a page below the drawings
// where the next drawing does not fit.
func packed(wiring sheet.Section, figures []sheet.Section) []sheet.Section {
	var out []sheet.Section
	room, heading := pageHigh-headHigh-headingHigh, wiring.Heading
	for _, d := range wiring.Drawings {
		need := d.Height + captionHigh
		for i := 0; need > room && i < len(figures); {
			if tall := high(figures[i], rowHigh); tall <= room {
				out, figures, room = append(out, figures[i]), slices.Delete(slices.Clone(figures), i, i+1), room-tall
				continue
			}
			i++
		}
		if room -= need; room < 0 {
			room = pageHigh - need
		}
		one := wiring
		one.Heading, one.Drawings, heading = heading, []drawing.Drawing{d}, ""
		out = append(out, one)
	}
	return append(out, figures...)
}
