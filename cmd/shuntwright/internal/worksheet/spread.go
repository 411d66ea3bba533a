package worksheet

import (
	"math"
	"slices"

	"shuntwright/cmd/shuntwright/internal/report/sheet"
)

// What there is room for on a printed page, in CSS pixels: a page of Letter,
// which is shorter than A4, and one of two columns on A4, which is narrower.
const (
	pageHigh   = 1000.0
	columnWide = 360.0
	plotsABend = 3 // plots side by side in a column
)

// The sizes of type that a sheet may have in print, in points.
var sizes = []float64{8.6, 8.2, 7.8, 7.4, 7}

// spread puts the sections on two printed pages, one to fit the parts and one to
// test, in the largest type with which they have room. Where the first has none
// in the smallest, all runs on as it comes.
func (m *maker) spread(p *sheet.Page) {
	parts, made, wiring, assumed := []sheet.Section{m.pickList()}, m.positionsTable(), []sheet.Section{m.wiring()}, m.assumed()
	tests := slices.Concat(m.testTable(), m.rangesTable(), m.scalePlots(), m.driftTable(), m.heatTable(), m.faultTable())
	for i, points := range sizes {
		p.Points = points
		room, last := pageHigh-headHigh(*p), i == len(sizes)-1
		column := func(first, then []sheet.Section) (all, left []sheet.Section) {
			if all = slices.Concat(first, then); high(all, points) <= room {
				return all, nil
			}
			return first, then
		}
		var before, after []sheet.Section
		p.Left, before = column(parts, made)
		p.Right, after = column(wiring, assumed)
		p.Rest = slices.Concat(before, tests, after)
		if below := high(p.Rest, points); max(high(p.Left, points), high(p.Right, points)) <= room && (last || below <= 2*pageHigh) {
			p.Whole = below <= pageHigh
			return
		}
	}
	p.Left, p.Right, p.Rest = nil, nil, slices.Concat(parts, wiring, made, tests, assumed)
}

// lines is about how many lines a text takes in so much room.
func lines(text string, points, wide float64) float64 {
	const measured, running = 10, 0.84 // pixels of the type that TextWidth reckons with, and what running text takes of that
	return math.Ceil(sheet.TextWidth(text) * running * pixels(points) / measured / wide)
}

// pixels is how high type is, in CSS pixels.
func pixels(points float64) float64 { return points * 96 / 72 }

// leading is from line to line, and in a table, in heights of the type.
const leading, inTable = 1.15, 1.1

// headHigh is about how high the head of the page is.
func headHigh(p sheet.Page) float64 {
	const title, facts, frame = 26, 3, 16
	rows := float64(facts)
	for _, text := range slices.Concat(p.Marks, p.Danger, p.Care) {
		rows += lines(text, p.Points, 2*columnWide)
	}
	return title + frame + 8*float64(len(p.Marks)) + rows*leading*pixels(p.Points)
}

// high is about how high sections below one another are.
func high(all []sheet.Section, points float64) float64 {
	line, out := leading*pixels(points), 0.0
	for _, s := range all {
		const heading = 12
		out += heading + line
		for _, text := range slices.Concat(s.Before, s.After) {
			out += lines(text, points, columnWide)*line + 2
		}
		if s.Table != nil {
			out += tableHigh(*s.Table, inTable*pixels(points))
		}
		for i, d := range s.Drawings {
			const gap = 3
			switch {
			case d.Caption != "":
				out += d.Height + line + gap
			case i%plotsABend == 0:
				out += d.Height + gap
			}
		}
	}
	return out
}

// tableHigh is about how high a table is.
func tableHigh(t sheet.Table, line float64) float64 {
	const padding, write = 2.0, 13.0
	out := 2 * line // its head
	for _, row := range t.Rows {
		most := line
		for i, cell := range row {
			if cell.Rows == 0 {
				most = max(most, float64(len(cell.Lines))*line)
			}
			if cell.Drawing != nil {
				most = max(most, cell.Drawing.Height)
			} else if t.Columns[i].Kind == "blank" && len(cell.Lines) == 0 {
				most = max(most, write)
			}
		}
		out += most + padding
	}
	return out
}
