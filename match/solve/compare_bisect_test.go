package solve_test

import (
	"fmt"
	"slices"
)

// question asks for a choice; feasible is false where there is none.
type question func(program) (chosen []int, feasible bool, err error)

// leastLevel finds the smallest level at which every position can be filled, by
// questions with only the columns at or below a level: up from the largest of
// the positions' own smallest errors in growing steps, then by bisection.
func leastLevel(lists [][]column, ask question) (percent float64, err error) {
	levels := levelsOf(lists)
	lo, hi := 0, len(levels) // below lo there is none, at hi there is one if it is a level
	for step := 1; lo < hi; {
		at := (lo + hi) / 2
		if hi == len(levels) {
			at = min(lo+step, hi) - 1
			step *= 2
		}
		p := program{lists: upTo(lists, levels[at])}
		chosen, feasible, err := ask(p)
		switch {
		case err != nil:
			return 0, err
		case feasible:
			worst := 0.0
			for i, j := range chosen {
				worst = max(worst, p.lists[i][j].cost)
			}
			hi, _ = slices.BinarySearch(levels, worst)
			hi = max(hi, lo)
		default:
			lo = at + 1
		}
	}
	if hi == len(levels) {
		return 0, fmt.Errorf("no choice fills every position")
	}
	return levels[hi], nil
}

// levelsOf returns all errors that can be the worst, ascending.
func levelsOf(lists [][]column) []float64 {
	var levels []float64
	least := 0.0
	for _, list := range lists {
		own := list[0].cost
		for _, c := range list {
			levels = append(levels, c.cost)
			own = min(own, c.cost)
		}
		least = max(least, own)
	}
	slices.Sort(levels)
	levels = slices.Compact(levels)
	from, _ := slices.BinarySearch(levels, least)
	return levels[from:]
}

func upTo(lists [][]column, percent float64) [][]column {
	return keep(lists, func(_ int, c column) bool { return c.cost <= percent })
}

// keep returns the columns for which ok holds, in new lists.
func keep(lists [][]column, ok func(position int, c column) bool) [][]column {
	out := make([][]column, len(lists))
	for i, list := range lists {
		for _, c := range list {
			if ok(i, c) {
				out[i] = append(out[i], c)
			}
		}
	}
	return out
}
