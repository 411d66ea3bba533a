package report

import (
	"fmt"
	"math"
	"strings"
)

// barHalf is how many columns of a bar lie on either side of its middle.
const barHalf = 5

// Bar pictures an error with its limit between minus and plus the largest error
// allowed, all in percent: ├───━●━──┼─────┤, the limit being the heavy part of
// the line. An error beyond what is allowed is an arrowhead in place of the end
// that it lies behind. The cell is empty where the error is NaN or nothing above
// zero is allowed; a NaN limit draws none. It is for a column without a Key.
func Bar(percent, limit, allowed float64) Cell {
	if math.IsNaN(percent) || !(allowed > 0) || math.IsInf(allowed, 0) {
		return Cell{Silent: true}
	}
	at := func(x float64) int { return int(math.Round(max(min(x/allowed, 2), -2) * barHalf)) }
	bar := []rune("├" + strings.Repeat("─", barHalf-1) + "┼" + strings.Repeat("─", barHalf-1) + "┤")
	for i := max(at(percent-limit), 1-barHalf); limit > 0 && i <= min(at(percent+limit), barHalf-1); i++ {
		bar[barHalf+i] = '━'
	}
	switch middle := min(max(at(percent), -barHalf), barHalf); {
	case percent > allowed:
		bar[2*barHalf] = '▶'
	case percent < -allowed:
		bar[0] = '◀'
	default:
		bar[barHalf+middle] = '●'
	}
	return Cell{Text: string(bar), Silent: true}
}

// BarTitle stands above bars of one class, in percent: what their ends are.
func BarTitle(class float64) string { return fmt.Sprintf("±%g %%", class) }
