package objective

import "math"

// Windows are narrowed until a round takes no window more than a small part of
// its width, and so many times at most; any result holds, later ones say more.
const (
	rounds   = 40
	halvings = 16
)

// Narrow cuts the window of every slot, from lo to hi, to the values that can
// bring all of the given ranges within level, in percent, while the other slots
// stand anywhere in their windows: no choice within the windows that does so is
// lost. Errors that are not numbers cut nothing. It changes lo and hi, and
// reports false if a window is empty.
func (l *Links) Narrow(lo, hi []float64, ranges []int, level float64) bool {
	for range rounds {
		moved := false
		for _, r := range ranges {
			for _, s := range l.SlotsOf[r] {
				a, b := l.cut(r, s, lo, hi, level)
				if !(a <= b) {
					return false
				}
				moved = moved || b-a < 0.95*(hi[s]-lo[s])
				lo[s], hi[s] = a, b
			}
		}
		if !moved {
			break
		}
	}
	return true
}

// Least returns what range r costs at least, its limit not counted, where the
// slots stand anywhere in their windows, which are not empty.
func (l *Links) Least(r int, lo, hi []float64) float64 {
	if len(l.SlotsOf[r]) == 0 {
		return math.Abs(l.ErrorOf(r))
	}
	s := l.SlotsOf[r][0]
	rising := float64(l.response.Rising(r, s))
	ends := [2]float64{lo[s], hi[s]}
	if rising < 0 {
		ends[0], ends[1] = ends[1], ends[0]
	}
	return max(0, l.corner(r, s, ends[0], -1, lo, hi), -l.corner(r, s, ends[1], 1, lo, hi))
}

// cut returns the part of slot s's window in which range r can come within the
// level, a little wide.
func (l *Links) cut(r, s int, lo, hi []float64, level float64) (from, to float64) {
	rising := float64(l.response.Rising(r, s))
	// low and high are the least and the greatest of the error, taken so that
	// it grows with s.
	low := func(v float64) float64 { return l.corner(r, s, v, -rising, lo, hi) * rising }
	high := func(v float64) float64 { return l.corner(r, s, v, rising, lo, hi) * rising }
	from, to = lo[s], hi[s]
	if from > to || low(from) > level || high(to) < -level {
		return 1, 0
	}
	if high(from) < -level {
		from = edge(from, to, func(v float64) bool { return high(v) < -level })
	}
	if low(to) > level {
		to = edge(to, from, func(v float64) bool { return low(v) > level })
	}
	return from, to
}

// edge halves its way from where out is true towards where it is not, and
// returns the last value found where it is.
func edge(from, to float64, out func(float64) bool) float64 {
	for range halvings {
		if mid := from + (to-from)/2; out(mid) {
			from = mid
		} else {
			to = mid
		}
	}
	return from
}

// corner returns the greatest (side +1) or least (side -1) error of range r
// with slot s at v and the others anywhere in their windows.
func (l *Links) corner(r, s int, v, side float64, lo, hi []float64) float64 {
	for _, i := range l.SlotsOf[r] {
		l.Values[i] = lo[i]
		if float64(l.response.Rising(r, i))*side > 0 {
			l.Values[i] = hi[i]
		}
	}
	l.Values[s] = v
	if e := l.ErrorOf(r); !math.IsNaN(e) {
		return e
	}
	return 0 // says nothing
}
