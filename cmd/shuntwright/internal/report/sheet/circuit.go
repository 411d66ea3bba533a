package sheet

// Circuit is the wiring of one or more ranges: from the terminal + through the
// Lead to a junction, from there through what lies Between and the movement to
// the terminal −, and through what lies Across from the junction to − as well.
type Circuit struct {
	Title    string
	Switched bool // a switch chooses among the rows that are named
	Lead     rows
	Between  []Place // in series with the movement, whatever the range
	Movement Movement
	Across   rows
}

// Movement is what is written in and beside the movement's symbol.
type Movement struct {
	Letters string // mA or µA
	Current string // for the last mark
	Coil    string // its resistance
}

// Rows are what the settings of a switch choose from. The rows of a chain are
// one string of resistors with a tap before each; else every row is a way of its
// own.
type rows struct {
	Chain bool
	Rows  []Row
}

// Row is the wire of one range, or of what they all share where it has no name.
type Row struct {
	Range string   // stands above the wire
	Notes []string // stand below it
	Of    []Place  // in series
}

// Place is a network in the circuit, with a name where the row does not say it.
type Place struct {
	Name    string
	Network Network
}

// Where things stand from left to right: the wire of the terminals, the
// contacts of the switch, and where the resistors begin.
const (
	busX     = 8.0
	contactX = 26.0
	railX    = 112.0
	labelX   = contactX + 5
	labelW   = railX - labelX - 4
	margin   = 4.0
	radius   = 2.6  // of a terminal or contact
	dial     = 13.0 // radius of the movement
	rowGap   = 5.0
	mostRow  = 244.0 // width of a row's resistors
)

// movement is the symbol in a row.
type movement struct{ Movement }

func (m movement) extent() extent {
	return extent{2*lead + 2*dial + clearance + max(TextWidth(m.Current), TextWidth(m.Coil)), dial + clearance, dial + clearance}
}

func (m movement) draw(p *pen, x, y float64) {
	middle := x + lead + dial
	p.line(x, y, middle-dial, y)
	p.round(circle, middle, y, dial)
	p.words(letters, centred, middle, y+lineSpace/2, m.Letters)
	p.within()
	p.line(middle+dial, y, x+m.extent().w, y)
	p.words(letters, fromLeft, middle+dial+clearance, y-clearance, m.Current)
	p.lines(fromLeft, middle+dial+clearance, y+clearance, []string{m.Coil})
}

// named is a cell with the name of its place above it.
type named struct {
	name string
	cell
}

func (n named) extent() extent {
	e := n.cell.extent()
	return extent{max(e.w, TextWidth(n.name)+2*lead), e.up + lineSpace, e.down}
}

func (n named) draw(p *pen, x, y float64) {
	w, e := n.extent().w, n.cell.extent()
	before := (w - e.w) / 2
	p.line(x, y, x+before, y)
	n.cell.draw(p, x+before, y)
	p.line(x+before+e.w, y, x+w, y)
	p.words(boldface, centred, x+w/2, y-e.up, n.name)
}

// cellsOf are the cells of places in series, long strings resistor by resistor.
func cellsOf(places []Place) []cell {
	var out []cell
	for _, place := range places {
		c := cellOf(place.Network)
		if place.Name != "" {
			c = named{Fit(place.Name, mostWide), c}
		}
		if s, long := c.(series); long {
			out = append(out, s...)
			continue
		}
		out = append(out, c)
	}
	return out
}

// strip is cells in series, in as many lines as their width asks for.
type strip []series

// stripOf breaks cells into lines.
func stripOf(cells []cell) strip {
	out, wide := strip{nil}, 0.0
	for _, c := range cells {
		w := c.extent().w
		if last := len(out) - 1; wide+w > mostRow && len(out[last]) > 0 {
			out, wide = append(out, nil), 0
		}
		out[len(out)-1] = append(out[len(out)-1], c)
		wide += w
	}
	return out
}

// returning is the room of a wire that goes back to the left.
const returning = 6.0

func (s strip) extent() extent {
	var e extent
	for i, line := range s {
		one := line.extent()
		if i > 0 {
			one.w = max(one.w+2*returning, s[i-1].extent().w+returning)
		}
		e = e.above(one, returning)
	}
	return e
}

// draw draws the strip from a place on and tells where its wire ends.
func (s strip) draw(p *pen, x, y float64) (endX, endY float64) {
	for i, line := range s {
		one := line.extent()
		line.draw(p, x, y)
		endX, endY = x+one.w, y
		if i == len(s)-1 {
			break
		}
		turn := y + one.down + returning/2
		y += one.down + returning + s[i+1].extent().up
		if i == 0 {
			x += 2 * returning
		}
		p.line(endX, endY, endX+returning, endY, endX+returning, turn, x-returning, turn, x-returning, y, x, y)
	}
	return endX, endY
}

// labelled is a row ready to be drawn.
type labelled struct {
	row          Row
	above, below []string
	strip        strip
	up, down     float64
}

func label(r Row) labelled {
	l := labelled{row: r, above: wrapped(r.Range, labelW, 2), strip: stripOf(cellsOf(r.Of))}
	for _, note := range r.Notes {
		l.below = append(l.below, wrapped(note, labelW, 2)...)
	}
	e := l.strip.extent()
	l.up = max(e.up, clearance+lineSpace*float64(len(l.above)), radius)
	l.down = max(e.down, clearance+lineSpace*float64(len(l.below)), radius)
	return l
}

// write writes the label about the wire at height y.
func (l labelled) write(p *pen, y float64) {
	for i, text := range l.above {
		p.words(boldface, fromLeft, labelX, y-clearance-lineSpace*float64(len(l.above)-1-i), text)
	}
	p.lines(fromLeft, labelX, y+clearance, l.below)
}
