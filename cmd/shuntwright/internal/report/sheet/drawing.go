package sheet

import "math"

// Drawing is a picture that was laid out, and the text that says the same.
type Drawing struct {
	Title         string
	Caption       string // what is to stand above it; empty: its title is in it, or beside it
	Words         string
	width, Height float64
	marks         []mark
}

// shape is what a mark is.
type shape int

const (
	wire     shape = iota // a line through the points
	dashed                // the same, broken
	heavy                 // the same, thick
	symbol                // a rectangle
	missing               // a rectangle of broken lines
	circle                // about the middle of its box
	disc                  // the same, filled
	letters               // text
	boldface              // text that stands out
)

// point is a place in a drawing.
type point struct{ x, y float64 }

// touching is how near to each other two places are one.
const touching = 1e-6

// box is the room that a mark takes; a wire takes none.
type box struct{ x, y, w, h float64 }

// mark is one thing that is drawn.
type mark struct {
	shape  shape
	points []point // of a line
	box            // of everything else
	text   string
	at     anchor // of text
	inside bool   // text that stands in a symbol
}

// The size of text and what a line of it takes.
const (
	textSize  = 10.0
	lineSpace = 11.5
)

// pen collects what is drawn.
type pen struct{ marks []mark }

// line draws a wire through points, given as x and y by turns.
func (p *pen) line(xy ...float64) { p.stroke(wire, xy...) }

// stroke draws a line of a kind, nothing where all points are one.
func (p *pen) stroke(kind shape, xy ...float64) {
	m := mark{shape: kind}
	for i := 0; i+1 < len(xy); i += 2 {
		at, last := point{xy[i], xy[i+1]}, len(m.points)-1
		if last < 0 || math.Hypot(m.points[last].x-at.x, m.points[last].y-at.y) > touching {
			m.points = append(m.points, at)
		}
	}
	if len(m.points) > 1 {
		p.marks = append(p.marks, m)
	}
}

// dot is where wires are joined.
func (p *pen) dot(x, y float64) { p.round(disc, x, y, 2) }

// round draws a circle or disc of a radius.
func (p *pen) round(kind shape, x, y, r float64) {
	p.marks = append(p.marks, mark{shape: kind, box: box{x - r, y - r, 2 * r, 2 * r}})
}

// rectangle draws a symbol about a wire at height y.
func (p *pen) rectangle(kind shape, x, y, w, h float64) {
	p.marks = append(p.marks, mark{shape: kind, box: box{x, y - h/2, w, h}})
}

// anchor is the share of a text's width that lies before the place it is put at.
type anchor float64

const (
	fromLeft  anchor = 0
	centred   anchor = 0.5
	fromRight anchor = 1
)

// words writes one line whose lower edge is at y.
func (p *pen) words(kind shape, at anchor, x, y float64, text string) {
	if text == "" {
		return
	}
	w := TextWidth(text)
	p.marks = append(p.marks, mark{shape: kind, text: text, at: at, box: box{x - float64(at)*w, y - lineSpace, w, lineSpace}})
}

// within marks the last thing drawn as standing inside a symbol.
func (p *pen) within() { p.marks[len(p.marks)-1].inside = true }

// lines writes texts below one another, the first one's upper edge at y.
func (p *pen) lines(at anchor, x, y float64, texts []string) {
	for i, text := range texts {
		p.words(letters, at, x, y+lineSpace*float64(i+1), text)
	}
}
