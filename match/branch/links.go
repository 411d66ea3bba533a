package branch

import "shuntwright/match"

// links tells which slots a range depends on and which ranges a slot moves.
type links struct {
	slots  [][]int32 // of each range
	rising [][]int8  // beside slots: +1 or -1
	ranges [][]int32 // of each slot
}

func newLinks(response match.Response, ranges, slots int) links {
	l := links{slots: make([][]int32, ranges), rising: make([][]int8, ranges), ranges: make([][]int32, slots)}
	for r := range ranges {
		for s := range slots {
			sign := response.Rising(r, s)
			if sign == 0 {
				continue
			}
			l.slots[r] = append(l.slots[r], int32(s))
			l.rising[r] = append(l.rising[r], int8(sign))
			l.ranges[s] = append(l.ranges[s], int32(r))
		}
	}
	return l
}
