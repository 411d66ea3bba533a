package coupled

import "slices"

// links tells which slots a range depends on and which ranges a slot moves.
type links struct {
	slots  [][]int32 // of each range
	rising [][]int8  // beside slots: +1 or -1
	ranges [][]int32 // of each slot
}

func newLinks(p Problem) links {
	l := links{slots: make([][]int32, p.Ranges), rising: make([][]int8, p.Ranges), ranges: make([][]int32, len(p.Slots))}
	for r := range p.Ranges {
		for s := range p.Slots {
			sign := p.Response.Rising(r, s)
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

// moves tells whether slot s moves a range that is to be whole.
func (d *dfs) moves(s int32) bool {
	return slices.ContainsFunc(d.links.ranges[s], func(r int32) bool { return d.sc.Whole[r] })
}
