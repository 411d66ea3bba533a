package sheet

import "math"

// layout is a circuit while it is drawn from top to bottom.
type layout struct {
	pen
	Circuit
	y     float64 // down to where it is drawn
	right float64 // where the wire to the terminal − runs
	node  float64 // height of the wire that waits for the next row where resistors begin; NaN: none does
	first float64 // height of the first contact; NaN: none yet
}

// Draw lays the circuit out.
func (c Circuit) Draw() Drawing {
	l := &layout{Circuit: c, y: margin, node: math.NaN(), first: math.NaN()}
	l.right = l.width()
	l.lead()
	top := l.movement()
	l.across()
	l.plus(top)
	y := max(l.y, l.first+lineSpace+2*radius) + radius
	if math.IsNaN(l.first) {
		y = l.y + lineSpace + radius
	}
	l.line(l.right, top, l.right, y, busX+radius, y)
	l.terminal(y, "−")
	return Drawing{Title: c.Title, Caption: c.Title, Words: c.Words(), width: l.right + margin, Height: y + radius + margin, marks: l.marks}
}

// width is where the right-hand wire runs: behind every row.
func (l *layout) width() float64 {
	w := l.movementStrip().extent().w
	for _, rows := range []rows{l.Lead, l.Across} {
		for _, r := range rows.Rows {
			w = max(w, label(r).strip.extent().w+returning)
		}
	}
	return railX + w + returning
}

func (l *layout) movementStrip() strip {
	return stripOf(append(cellsOf(l.Between), movement{l.Movement}))
}

// terminal draws a terminal with its sign above.
func (l *layout) terminal(y float64, sign string) {
	l.round(circle, busX, y, radius)
	l.words(letters, centred, busX, y-radius-1, sign)
}

// The switch turns armLength above its first contact, and the wire comes to it
// from a terminal headroom above that.
const (
	armLength = 12.0
	headroom  = armLength + 2*radius + 4
)

// begin draws the beginning of a row, down from where the drawing is, and
// returns the height of its wire.
func (l *layout) begin(r labelled) float64 {
	y := l.y + r.up
	if r.row.Range != "" && math.IsNaN(l.first) {
		least := margin + lineSpace + radius
		if l.Switched {
			least = l.y + headroom
			if len(l.Lead.Rows) > 0 {
				least += lineSpace
			}
		}
		y = max(y, least)
		l.first = y
	}
	if !math.IsNaN(l.node) {
		l.line(railX, l.node, railX, y)
		if r.row.Range != "" || len(l.Lead.Rows) == 0 {
			l.dot(railX, y)
		}
	}
	switch {
	case r.row.Range == "":
	case l.Switched:
		l.round(circle, contactX, y, radius)
		if len(r.row.Of) > 0 {
			l.line(contactX+radius, y, railX, y)
		}
	default:
		l.line(busX+radius, y, railX, y)
	}
	r.write(&l.pen, y)
	return y
}

// lead draws what carries the whole current; its wire then waits for the
// movement's row.
func (l *layout) lead() {
	rows, collected := l.Lead.Rows, math.NaN()
	for i, row := range rows {
		r := label(row)
		y := l.begin(r)
		endX, endY := r.strip.draw(&l.pen, railX, y)
		l.y = y + r.down + rowGap
		turn := l.y - rowGap/2
		if l.Lead.Chain {
			l.line(endX, endY, endX+returning, endY, endX+returning, turn, railX, turn)
			l.node = turn
			continue
		}
		l.line(endX, endY, l.right, endY)
		if i == 0 {
			collected = endY
		} else {
			l.dot(l.right, endY)
		}
		if i == len(rows)-1 {
			l.line(l.right, collected, l.right, turn, railX, turn)
			l.node = turn
		}
	}
}

// movement draws the movement's row, from where the wire waits or from the
// terminal, and returns the height at which it comes to the right.
func (l *layout) movement() float64 {
	s := l.movementStrip()
	e := s.extent()
	y := l.y + max(e.up, lineSpace+2*radius)
	switch {
	case !math.IsNaN(l.node):
		l.line(railX, l.node, railX, y)
		if len(l.Across.Rows) > 0 {
			l.dot(railX, y)
		}
	case !l.Across.Chain:
		l.line(busX+radius, y, railX, y)
		l.terminal(y, "+")
	}
	endX, endY := s.draw(&l.pen, railX, y)
	l.line(endX, endY, l.right, endY)
	l.y, l.node = y+e.down+rowGap, y
	return endY
}

// across draws what lies across the movement.
func (l *layout) across() {
	rows, junction := l.Across.Rows, l.node
	for i, row := range rows {
		r := label(row)
		if !l.Across.Chain && row.Range != "" {
			l.node = math.NaN() // it has a contact of its own
		}
		y := l.begin(r)
		endX, endY := r.strip.draw(&l.pen, railX, y)
		l.y = y + r.down + rowGap
		switch {
		case len(row.Of) == 0:
		case l.Across.Chain && i < len(rows)-1:
			l.node = l.y - rowGap/2
			l.line(endX, endY, endX+returning, endY, endX+returning, l.node, railX, l.node)
		default:
			l.line(endX, endY, l.right, endY)
			l.dot(l.right, endY)
			l.node = junction
		}
	}
}

// plus draws the terminal + and the switch, where the movement's row at the
// height given has not brought it already.
func (l *layout) plus(movement float64) {
	direct := len(l.Lead.Rows) == 0 && !l.Across.Chain
	switch {
	case math.IsNaN(l.first):
	case !l.Switched:
		l.terminal(l.first, "+")
	default:
		from := l.first - headroom
		if direct {
			from = movement
		} else {
			l.terminal(from, "+")
		}
		l.line(busX, from+radius, busX, l.first-armLength)
		l.dot(busX, l.first-armLength)
		l.line(busX, l.first-armLength, contactX-radius, l.first)
	}
}
