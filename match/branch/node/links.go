package node

import "shuntwright/match"

// Links tells which slots a range depends on and which ranges a slot moves.
type Links struct {
	Slots  [][]int32 // of each range
	Rising [][]int8  // beside slots: +1 or -1
	Ranges [][]int32 // of each slot
}

func newLinks(response match.Response, ranges, slots int) Links {
	l := Links{Slots: make([][]int32, ranges), Rising: make([][]int8, ranges), Ranges: make([][]int32, slots)}
	for r := range ranges {
		for s := range slots {
			sign := response.Rising(r, s)
			if sign == 0 {
				continue
			}
			l.Slots[r] = append(l.Slots[r], int32(s))
			l.Rising[r] = append(l.Rising[r], int8(sign))
			l.Ranges[s] = append(l.Ranges[s], int32(r))
		}
	}
	return l
}
