package sheet

import (
	"encoding/xml"
	"math"
	"strconv"
	"strings"

	"shuntwright/cmd/shuntwright/internal/report"
)

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

// element is one element of XML.
type element struct {
	XMLName xml.Name
	Attrs   []xml.Attr `xml:",any,attr"`
	Text    string     `xml:",chardata"`
	Of      []element
}

// tag makes an element with attributes, given as name and value by turns.
func tag(name string, attributes ...string) element {
	return element{XMLName: xml.Name{Local: name}}.with(attributes...)
}

// with is the element with more attributes.
func (e element) with(attributes ...string) element {
	for i := 0; i+1 < len(attributes); i += 2 {
		e.Attrs = append(e.Attrs, xml.Attr{Name: xml.Name{Local: attributes[i]}, Value: attributes[i+1]})
	}
	return e
}

// containing is the element with a text in it.
func (e element) containing(text string) element {
	e.Text = text
	return e
}

// size writes a length to a tenth.
func size(x float64) string { return strconv.FormatFloat(math.Round(10*x)/10, 'f', -1, 64) }

// SVG is the drawing for a page; id tells its title and description from those
// of the page's other drawings. One without Words has its title alone.
func (d Drawing) SVG(id string) string {
	return d.svg(id).String()
}

// svg is the drawing as an element.
func (d Drawing) svg(id string) element {
	e := tag("svg", "xmlns", "http://www.w3.org/2000/svg", "role", "img",
		"width", size(d.width), "height", size(d.Height), "viewBox", "0 0 "+size(d.width)+" "+size(d.Height),
		"font-family", faces, "font-size", size(textSize))
	if d.Words == "" {
		e = e.with("aria-label", d.Title)
	} else {
		e = e.with("aria-labelledby", id+"-title "+id+"-desc")
		e.Of = append(e.Of, tag("title", "id", id+"-title").containing(d.Title), tag("desc", "id", id+"-desc").containing(d.Words))
	}
	for _, m := range d.marks {
		e.Of = append(e.Of, m.element())
	}
	return e
}

// faces are the typefaces that TextWidth reckons with.
const faces = "system-ui, 'Segoe UI', Roboto, 'Helvetica Neue', Arial, 'Liberation Sans', 'DejaVu Sans', sans-serif"

// String is the element as text; what XML cannot hold is replaced.
func (e element) String() string {
	data, err := xml.Marshal(e)
	if err != nil {
		return ""
	}
	return string(data)
}

// element draws one mark.
func (m mark) element() element {
	const ink = "#000"
	switch m.shape {
	case wire, dashed, heavy:
		var path strings.Builder
		for i, at := range m.points {
			path.WriteString(report.Either(i == 0, "M", "L") + size(at.x) + " " + size(at.y))
		}
		line := tag("path", "d", path.String(), "fill", "none", "stroke", ink, "stroke-width", report.Either(m.shape == heavy, "3", "1"))
		if m.shape == dashed {
			line = line.with("stroke-dasharray", "3 2")
		}
		return line
	case circle, disc:
		fill := report.Either(m.shape == disc, ink, "#fff")
		return tag("circle", "cx", size(m.x+m.w/2), "cy", size(m.y+m.h/2), "r", size(m.w/2), "fill", fill, "stroke", ink)
	case symbol, missing:
		rect := tag("rect", "x", size(m.x), "y", size(m.y), "width", size(m.w), "height", size(m.h), "fill", "#fff", "stroke", ink, "stroke-width", "1.3")
		if m.shape == missing {
			rect = rect.with("stroke-dasharray", "3 2")
		}
		return rect
	}
	text := tag("text", "x", size(m.x+m.w*float64(m.at)), "y", size(m.y+m.h-3), "fill", ink)
	if name := map[anchor]string{centred: "middle", fromRight: "end"}[m.at]; name != "" {
		text = text.with("text-anchor", name)
	}
	if m.shape == boldface {
		text = text.with("font-weight", "bold")
	}
	return text.containing(m.text)
}

// Together are drawings in one file, below one another.
func Together(title string, all []Drawing) string {
	const gap = 14.0
	w, h := 0.0, 0.0
	var words []string
	for _, d := range all {
		w, h = max(w, d.width, TextWidth(d.Caption)+2*margin), h+d.Height+gap+lineSpace
		words = append(words, d.Caption+". "+d.Words)
	}
	whole := Drawing{Title: title, Words: strings.Join(words, " "), width: w, Height: h}.svg("wiring")
	back := tag("rect", "width", "100%", "height", "100%", "fill", "#fff")
	whole.Of = append(whole.Of, back)
	at := 0.0
	for _, d := range all {
		p := &pen{}
		p.words(boldface, fromLeft, margin, at+lineSpace+margin/2, d.Caption)
		whole.Of = append(whole.Of, p.marks[0].element())
		group := tag("g", "transform", "translate(0 "+size(at+lineSpace+margin)+")")
		for _, m := range d.marks {
			group.Of = append(group.Of, m.element())
		}
		whole.Of = append(whole.Of, group)
		at += d.Height + gap + lineSpace
	}
	return xml.Header + whole.String() + "\n"
}
