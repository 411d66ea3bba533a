package sheet

import (
	"math"
	"slices"
	"strconv"
)

// Mark is an error with its limit, in percent of full scale.
type Mark struct {
	At             float64 // share of the scale, where it is drawn along that
	Percent, Limit float64 // NaN: nothing is known
	Falling        bool    // the pointer came from above: drawn as an open circle
}

// axis is the scale that errors are drawn on: from −Span to +Span percent, with
// lines at what the class allows.
type axis struct {
	Span, class float64 // in percent; NaN for a class that is not given
}

// farBeyond is how many times the class an axis shows at most.
const farBeyond = 4

// NewAxis is an axis on which all marks can be seen, and those that are more
// than four times the class off as an arrowhead at its end.
func NewAxis(class float64, marks ...Mark) axis {
	a := axis{Span: 1.25 * class, class: class}
	if math.IsNaN(class) {
		a.Span = 0.1
	}
	for _, m := range marks {
		if off := math.Abs(m.Percent) + zeroIfNone(m.Limit); off > a.Span {
			a.Span = round(off)
		}
	}
	if !math.IsNaN(class) {
		a.Span = min(a.Span, farBeyond*class)
	}
	return a
}

// round is the next span of two digits at most that ends well.
func round(span float64) float64 {
	power := math.Pow10(int(math.Floor(math.Log10(span))))
	for _, digit := range []float64{1, 1.2, 1.5, 2, 2.5, 3, 4, 5, 6, 8} {
		if span <= digit*power*(1+1e-9) {
			return digit * power
		}
	}
	return 10 * power
}

func zeroIfNone(x float64) float64 {
	if math.IsNaN(x) {
		return 0
	}
	return x
}

// The size of the small pictures that stand in a row of a table.
const (
	barWide, barHigh = 104.0, 11.0
	arrow            = 4.0
)

// along is the place of an error on an axis that is w long, and whether it is
// on it: −1 and +1 tell the end that it lies behind.
func (a axis) along(percent, w float64) (x float64, beyond int) {
	half := w/2 - arrow
	switch {
	case percent > a.Span:
		return w - arrow, 1
	case percent < -a.Span:
		return arrow, -1
	}
	return w/2 + half*percent/a.Span, 0
}

// Bar pictures errors in one row: the limit as a thick line, the error as a
// dot, the class as two lines and zero between them. Of several errors the
// first is an open circle, the last a dot, and a line joins them.
func (a axis) Bar(title string, marks ...Mark) Drawing {
	p := &pen{}
	a.frame(p, barWide, barHigh)
	const middle = barHigh / 2
	marks = slices.DeleteFunc(slices.Clone(marks), func(m Mark) bool { return math.IsNaN(m.Percent) })
	for i, m := range marks {
		x, beyond := a.along(m.Percent, barWide)
		if from, _ := a.along(m.Percent-m.Limit, barWide); m.Limit > 0 {
			to, _ := a.along(m.Percent+m.Limit, barWide)
			p.stroke(heavy, from, middle, to, middle)
		}
		if i > 0 {
			before, _ := a.along(marks[i-1].Percent, barWide)
			p.line(before, middle, x, middle)
		}
		if i > 0 && i < len(marks)-1 {
			continue
		}
		p.spot(x, middle, beyond, i == 0 && len(marks) > 1)
	}
	return Drawing{Title: title, width: barWide, Height: barHigh, marks: p.marks}
}

// frame draws zero and the class.
func (a axis) frame(p *pen, w, h float64) {
	p.line(w/2, 0, w/2, h)
	if math.IsNaN(a.class) {
		return
	}
	for _, end := range []float64{-a.class, a.class} {
		x, _ := a.along(end, w)
		p.stroke(dashed, x, 0, x, h)
	}
}

// spot draws an error, one behind an end of the axis as an arrowhead.
func (p *pen) spot(x, y float64, beyond int, open bool) {
	switch {
	case beyond != 0:
		tip := x + arrow*float64(beyond)
		p.line(x, y-arrow, tip, y, x, y+arrow, x, y-arrow)
	case open:
		p.round(circle, x, y, 2.6)
	default:
		p.round(disc, x, y, 2.6)
	}
}

// Scale is the head above the bars of an axis.
func (a axis) Scale() Drawing {
	p := &pen{}
	mark := a.class
	if x, _ := a.along(-mark, barWide); !(barWide/2-x > TextWidth(percent(-mark))) { // no room between it and zero
		mark = a.Span
	}
	for _, end := range []float64{-mark, 0, mark} {
		if end == 0 && 2*TextWidth(percent(mark))+TextWidth(percent(0)) > barWide {
			continue
		}
		x, _ := a.along(end, barWide)
		text := percent(end)
		half := TextWidth(text) / 2
		p.words(letters, centred, min(max(x, half), barWide-half), lineSpace, text)
	}
	return Drawing{Title: "from " + percent(-mark) + " to " + percent(mark), width: barWide, Height: lineSpace + 1, marks: p.marks}
}

// percent is a percentage with its sign.
func percent(x float64) string {
	text := strconv.FormatFloat(math.Abs(x), 'g', 2, 64) + " %"
	switch {
	case x > 0:
		return "+" + text
	case x < 0:
		return "-" + text
	}
	return text
}

// The size of a plot, and of the room for what is written round it.
const (
	plotWide, plotHigh    = 112.0, 66.0
	plotLeft, plotTop     = 2.0, 14.0
	plotRight, plotBottom = 108.0, 52.0
	plotIn                = 6.0 // between the ends and the first and last mark
)

// Plot pictures errors over the scale of a meter, whose end is in words.
func (a axis) Plot(title, words, end string, marks []Mark) Drawing {
	p := &pen{}
	p.words(boldface, fromLeft, 0, lineSpace, Fit(title, plotWide))
	height := func(percent float64) (float64, int) {
		x, beyond := a.along(percent, plotBottom-plotTop)
		return plotBottom - x, beyond
	}
	zero, _ := height(0)
	p.line(plotLeft, plotTop, plotLeft, plotBottom, plotRight, plotBottom)
	p.line(plotLeft, zero, plotRight, zero)
	for _, limit := range []float64{-a.class, a.class} {
		if y, _ := height(limit); !math.IsNaN(limit) {
			p.stroke(dashed, plotLeft, y, plotRight, y)
		}
	}
	p.words(letters, fromLeft, plotLeft, plotBottom+lineSpace+1, "0")
	p.words(letters, fromRight, plotRight, plotBottom+lineSpace+1, end)
	for _, m := range marks {
		y, beyond := height(m.Percent)
		x := plotLeft + plotIn + (plotRight-plotLeft-2*plotIn)*m.At
		if m.Limit > 0 {
			low, _ := height(m.Percent - m.Limit)
			high, _ := height(m.Percent + m.Limit)
			p.line(x, low, x, high)
		}
		if beyond != 0 {
			p.line(x-arrow, y, x, y-arrow*float64(beyond), x+arrow, y, x-arrow, y)
			continue
		}
		p.spot(x, y, 0, m.Falling)
	}
	return Drawing{Title: title, Words: words, width: plotWide, Height: plotHigh, marks: p.marks}
}
