package sheet

import (
	"fmt"
	"strings"
)

// Network is one resistor, or networks in series or in parallel; one of which
// nothing is known but a Note is an open place.
type Network struct {
	Name  string // of one resistor: its id, or what it is for
	Value string // what it is worth, as it is to be read
	Note  string // what else belongs beside it, such as a length of wire

	Parallel bool      // Of lie side by side; else one after the other
	Of       []Network // two or more; none for one resistor
}

// open tells that nothing is there.
func (n Network) open() bool { return n.Name == "" && n.Value == "" && len(n.Of) == 0 }

// leaves counts the resistors.
func (n Network) leaves() int {
	if len(n.Of) == 0 {
		return 1
	}
	sum := 0
	for _, o := range n.Of {
		sum += o.leaves()
	}
	return sum
}

// Words say how a network is wired.
func (n Network) Words() string {
	if len(n.Of) == 0 {
		var about []string
		for _, text := range []string{n.Value, n.Note} {
			if text != "" {
				about = append(about, text)
			}
		}
		switch {
		case n.Name == "":
			return strings.Join(about, ", ")
		case len(about) == 0:
			return n.Name
		}
		return fmt.Sprintf("%s (%s)", n.Name, strings.Join(about, ", "))
	}
	var parts []string
	for _, o := range n.Of {
		words := o.Words()
		if len(o.Of) > 0 {
			words = "[" + words + "]"
		}
		parts = append(parts, words)
	}
	if n.Parallel {
		return strings.Join(parts, " in parallel with ")
	}
	return strings.Join(parts, " in series with ")
}

// extent is the room that a cell takes about its wire.
type extent struct{ w, up, down float64 }

// above is the room of cells below one another, with a gap between them, about the
// wire of the first.
func (e extent) above(next extent, gap float64) extent {
	if e == (extent{}) {
		return next
	}
	return extent{max(e.w, next.w), e.up, e.down + gap + next.up + next.down}
}

// cell is something that a wire runs through from left to right.
type cell interface {
	extent() extent
	// draw draws it with its wire at height y, from x to x + w.
	draw(p *pen, x, y float64)
}

// The resistor's symbol, and the wire before and behind it.
const (
	resistorWide, resistorHigh = 38.0, 9.0
	lead                       = 6.0
	clearance                  = 1.5
	mostLabel                  = 92.0 // of one resistor's text
)

// resistor is one symbol with a line above and lines below it.
type resistor struct {
	kind  shape
	above string
	below []string
}

func (r resistor) extent() extent {
	w := max(resistorWide, TextWidth(r.above))
	for _, text := range r.below {
		w = max(w, TextWidth(text))
	}
	e := extent{w + 2*lead, resistorHigh / 2, resistorHigh / 2}
	if r.above != "" {
		e.up += clearance + lineSpace
	}
	if n := len(r.below); n > 0 {
		e.down += clearance + lineSpace*float64(n)
	}
	return e
}

func (r resistor) draw(p *pen, x, y float64) {
	w := r.extent().w
	left := x + (w-resistorWide)/2
	p.line(x, y, left, y)
	p.rectangle(r.kind, left, y, resistorWide, resistorHigh)
	p.line(left+resistorWide, y, x+w, y)
	p.words(letters, centred, x+w/2, y-resistorHigh/2-clearance, r.above)
	p.lines(centred, x+w/2, y+resistorHigh/2+clearance, r.below)
}

// series is cells one after the other.
type series []cell

func (s series) extent() extent {
	var e extent
	for _, c := range s {
		one := c.extent()
		e.w, e.up, e.down = e.w+one.w, max(e.up, one.up), max(e.down, one.down)
	}
	return e
}

func (s series) draw(p *pen, x, y float64) {
	for _, c := range s {
		c.draw(p, x, y)
		x += c.extent().w
	}
}

// parallel is cells below one another, between two wires that join them. The
// wire comes in at the first one.
type parallel []cell

// rail is the room of a joining wire, between rows the room between two cells.
const (
	rail     = 7.0
	betweens = 3.5
)

func (s parallel) extent() extent {
	var e extent
	for _, c := range s {
		e = e.above(c.extent(), betweens)
	}
	e.w += 2 * rail
	return e
}

func (s parallel) draw(p *pen, x, y float64) {
	w := s.extent().w
	left, right := x+rail, x+w-rail
	p.line(x, y, left, y)
	p.line(right, y, x+w, y)
	at := y
	for i, c := range s {
		one := c.extent()
		if i > 0 {
			at += s[i-1].extent().down + betweens + one.up
			if i < len(s)-1 {
				p.dot(left, at)
				p.dot(right, at)
			}
		}
		before := (right - left - one.w) / 2
		p.line(left, at, left+before, at)
		c.draw(p, left+before, at)
		p.line(right-before, at, right, at)
	}
	p.line(left, y, left, at)
	p.line(right, y, right, at)
	p.dot(left, y)
	p.dot(right, y)
}

// cellOf makes a cell of a network, with id and value of a resistor in one line
// above it, or where that is too wide below one another. A network that is too
// large for a drawing is one symbol that says how many parts it stands for.
func cellOf(n Network) cell {
	if flat := shaped(n, true); flat.extent().w <= mostWide {
		return flat
	}
	return shaped(n, false)
}

// shaped is a cell with its texts in one line each, or in more.
func shaped(n Network, flat bool) cell {
	switch {
	case n.open():
		return resistor{missing, "open", []string{Fit(n.Note, mostLabel)}}
	case len(n.Of) == 0:
		return labelledResistor(n, flat)
	}
	var of []cell
	for _, o := range n.Of {
		of = append(of, shaped(o, flat))
	}
	if !n.Parallel {
		return series(of)
	}
	c := parallel(of)
	if e := c.extent(); e.w > mostWide || e.up+e.down > mostHigh {
		return resistor{symbol, fmt.Sprintf("%d parts", n.leaves()), []string{"see list"}}
	}
	return c
}

// labelledResistor is a resistor with what is to be read beside it.
func labelledResistor(n Network, flat bool) cell {
	name := Fit(n.Name, mostLabel)
	if line := strings.TrimSpace(name + " " + Fit(n.Value, mostLabel)); flat && n.Note == "" {
		return resistor{kind: symbol, above: line}
	}
	r := resistor{kind: symbol, above: name}
	for _, text := range []string{n.Value, n.Note} {
		if text != "" {
			r.below = append(r.below, Fit(text, mostLabel))
		}
	}
	return r
}

// What the network of one place may take; rows that run longer are broken.
const (
	mostWide = 232.0
	mostHigh = 260.0
)
