package sheet

import (
	"fmt"
	"math"
)

// overlaps tells whether two boxes have more than an edge in common.
func (b box) overlaps(o box) bool {
	return b.x+b.w > o.x+touching && o.x+o.w > b.x+touching && b.y+b.h > o.y+touching && o.y+o.h > b.y+touching
}

// mostWidth is what a phone of 390 shows at full size, and a column of A4.
const mostWidth = 388

// faults are what is wrong with a drawing.
func faults(d Drawing) []string {
	var out []string
	for i, m := range d.marks {
		if len(m.points) > 0 {
			for _, p := range m.points {
				if p.x < 0 || p.y < 0 || p.x > d.width || p.y > d.Height || math.IsNaN(p.x+p.y) {
					out = append(out, fmt.Sprintf("a wire leaves the page at %v", p))
				}
			}
			continue
		}
		if !(m.x >= 0 && m.y >= 0 && m.x+m.w <= d.width && m.y+m.h <= d.Height) {
			out = append(out, fmt.Sprintf("%q %v leaves the page of %.0f by %.0f", m.text, m.box, d.width, d.Height))
		}
		for _, o := range d.marks[i+1:] {
			switch {
			case m.inside || o.inside:
			case len(o.points) == 0 && m.overlaps(o.box):
				out = append(out, fmt.Sprintf("%q %v overlaps %q %v", m.text, m.box, o.text, o.box))
			}
		}
		for _, o := range d.marks {
			if m.shape != disc && crosses(o.points, m.box) {
				out = append(out, fmt.Sprintf("a wire %v runs through %q %v", o.points, m.text, m.box))
			}
		}
	}
	return append(out, unclear(d)...)
}

// unclear are the places where wires meet in a way that could be read
// otherwise: on top of one another, crossing, or joined without a dot.
func unclear(d Drawing) []string {
	type segment struct {
		box
		of int
	}
	var all []segment
	dots := map[point]bool{}
	for i, m := range d.marks {
		if m.shape == disc {
			dots[point{size1(m.x + m.w/2), size1(m.y + m.h/2)}] = true
		}
		for k := 1; k < len(m.points); k++ {
			p, q := m.points[k-1], m.points[k]
			if p.x == q.x || p.y == q.y {
				all = append(all, segment{box{min(p.x, q.x), min(p.y, q.y), math.Abs(p.x - q.x), math.Abs(p.y - q.y)}, i})
			}
		}
	}
	var out []string
	ends := map[point]int{}
	for _, m := range d.marks {
		if n := len(m.points); n > 0 {
			ends[point{size1(m.points[0].x), size1(m.points[0].y)}]++
			ends[point{size1(m.points[n-1].x), size1(m.points[n-1].y)}]++
		}
	}
	for at, n := range ends {
		if n > 2 && !dots[at] {
			out = append(out, fmt.Sprintf("%d wires end at %v without a dot", n, at))
		}
	}
	const tip = 0.11
	for i, s := range all {
		for _, o := range all[i+1:] {
			wide, high := min(s.x+s.w, o.x+o.w)-max(s.x, o.x), min(s.y+s.h, o.y+o.h)-max(s.y, o.y)
			at := point{size1(max(s.x, o.x)), size1(max(s.y, o.y))}
			inS := s.w+s.h > tip && (s.w > 0 && at.x > s.x+tip && at.x < s.x+s.w-tip || s.h > 0 && at.y > s.y+tip && at.y < s.y+s.h-tip)
			inO := o.w > 0 && at.x > o.x+tip && at.x < o.x+o.w-tip || o.h > 0 && at.y > o.y+tip && at.y < o.y+o.h-tip
			switch {
			case wide < -tip || high < -tip || s.w+s.h < tip || o.w+o.h < tip:
			case s.of != o.of && max(wide, high) > 1:
				out = append(out, fmt.Sprintf("two wires run over each other: %v and %v", s.box, o.box))
			case (inS || inO) && !dots[at] && max(wide, high) < 1:
				out = append(out, fmt.Sprintf("wires meet at %v without a dot: %v and %v", at, s.box, o.box))
			}
		}
	}
	return out
}

// size1 rounds to a tenth.
func size1(x float64) float64 { return math.Round(10*x) / 10 }

// crosses tells whether a line runs through the inside of a box; wires but for
// the switch's arm are level or upright.
func crosses(points []point, b box) bool {
	for i := 1; i < len(points); i++ {
		p, q := points[i-1], points[i]
		line := box{min(p.x, q.x), min(p.y, q.y), math.Abs(p.x - q.x), math.Abs(p.y - q.y)}
		inner := box{b.x + 0.5, b.y + 0.5, b.w - 1, b.h - 1}
		if (line.w == 0 || line.h == 0) && inner.overlaps(line) {
			return true
		}
	}
	return false
}
