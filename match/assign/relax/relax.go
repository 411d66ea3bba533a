// Package relax asks whether fractions of items could do where one whole item
// of every group is to be taken within the room there is: a linear relaxation,
// with cuts that see odd sets of resources. What it says is computed in float64
// and not to be trusted; but where it finds no solution it gives whole prices,
// at which whoever asks can check in integers that there is none.
package relax

import "math"

const (
	cutRound = 10   // cuts added at a time
	cutMax   = 30   // kept
	cutLeast = 0.02 // what a cut must be violated by
)

// Problem lists the items and the resources.
type Problem struct {
	Groups int       // how many there are
	Group  []int32   // of each item
	Uses   [][]Use   // of each item
	Users  [][]int32 // items of each resource
	Room   []int32   // how many units of each resource there are, not negative
}

// Relaxation keeps its basis and its cuts from one question to the next. It is
// not for several goroutines at once.
type Relaxation struct {
	p        Problem
	system   *system
	rows     []int32   // row of each resource, -1 where there is room for all
	unitRows [][]int32 // of each item, the rows with room for one that it takes
	cuts     []cut
	banned   []bool // items that the system holds at 0
}

// cut is an inequality that all choices keep: its items have room for one together.
type cut struct {
	row   int32
	items []int32
}

// New returns a relaxation without cuts in which no item is forbidden. The
// problem must not change while it is used.
func New(p Problem) *Relaxation {
	x := &Relaxation{p: p, rows: make([]int32, len(p.Room)), banned: make([]bool, len(p.Group))}
	bound, equal := make([]float64, p.Groups), make([]bool, p.Groups)
	for g := range bound {
		bound[g], equal[g] = 1, true
	}
	for r, users := range p.Users {
		x.rows[r] = -1
		total := 0
		for _, item := range users {
			total += int(Units(p.Uses[item], int32(r)))
		}
		if total > int(p.Room[r]) {
			x.rows[r] = int32(len(bound))
			bound, equal = append(bound, float64(p.Room[r])), append(equal, false)
		}
	}
	x.system = newSystem(x.columns(), bound, equal)
	return x
}

func (x *Relaxation) columns() [][]entry {
	x.unitRows = make([][]int32, len(x.p.Group))
	columns := make([][]entry, len(x.p.Group))
	for item, g := range x.p.Group {
		columns[item] = append(columns[item], entry{Row: g, Value: 1})
		x.unitRows[item] = append(x.unitRows[item], g)
		for _, u := range x.p.Uses[item] {
			row := x.rows[u.Resource]
			if row < 0 {
				continue
			}
			columns[item] = append(columns[item], entry{Row: row, Value: float64(u.Units)})
			if x.p.Room[u.Resource] == 1 {
				x.unitRows[item] = append(x.unitRows[item], row)
			}
		}
	}
	return columns
}

// Worn tells whether there are as many cuts as are kept, so that no more are added.
func (x *Relaxation) Worn() bool { return len(x.cuts) >= cutMax }

// Forbid says whether an item may not be taken.
func (x *Relaxation) Forbid(item int, no bool) {
	if no != x.banned[item] {
		x.banned[item] = no
		x.system.Forbid(item, no)
	}
}

// Share returns how much of an item the last solution takes.
func (x *Relaxation) Share(item int32) float64 { return x.system.Value(int(item)) }

// Solve looks for a solution, with more cuts where these are wanted. It returns
// false if it says that there is none, for the reason that Prices gives, and
// true also where it has lost its way or stop says to stop.
func (x *Relaxation) Solve(cuts bool, stop func() bool) bool {
	for {
		switch x.system.Solve(stop) {
		case infeasible:
			return false
		case lost:
			return true
		}
		if !cuts || !x.addCuts() {
			return true
		}
	}
}

// addCuts adds some cuts that the fractions violate, and tells whether there
// were any.
func (x *Relaxation) addCuts() bool {
	if x.Worn() {
		return false
	}
	share := make([]float64, len(x.p.Group))
	for item := range share {
		share[item] = x.system.Value(item)
	}
	sets := findOddSets(x.system.Rows(), x.unitRows, share, cutLeast)
	sets = sets[:min(len(sets), cutRound)]
	for _, set := range sets {
		c := cut{row: int32(x.system.Rows())}
		for item, rows := range x.unitRows {
			if set.Takes(rows) >= 2 {
				c.items = append(c.items, int32(item))
			}
		}
		x.cuts = append(x.cuts, c)
		x.system.AddRow(c.items, 1)
	}
	return len(sets) > 0
}

// Prices returns, after Solve has found no solution, a whole price of every
// item, none negative, and a worth that the items of any choice within the room
// do not cost more than together, whatever is forbidden: a sum of rows, each
// times a factor. The items that are not forbidden should cost more, but that
// is to be checked.
func (x *Relaxation) Prices() (price []int64, worth int64) {
	ray := x.system.Ray()
	top := 0.0
	for _, v := range ray {
		top = max(top, math.Abs(v))
	}
	whole := func(row int32) int64 { return max(0, int64(math.Round(ray[row]*(1<<24/top)))) }
	price = make([]int64, len(x.p.Group))
	for r, row := range x.rows {
		if row < 0 {
			continue
		}
		if cost := whole(row); cost > 0 {
			worth += cost * int64(x.p.Room[r])
			for _, item := range x.p.Users[r] {
				price[item] += cost * int64(Units(x.p.Uses[item], int32(r)))
			}
		}
	}
	for _, c := range x.cuts {
		if cost := whole(c.row); cost > 0 {
			worth += cost
			for _, item := range c.items {
				price[item] += cost
			}
		}
	}
	return price, worth
}
