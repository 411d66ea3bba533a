// Package pack answers whether every group can get one of its items within the room there is.
package pack

import "context"

// Item lists the resources that an item takes one unit of each; a resource named twice gives two units. Ascending.
type Item []int32

// Problem asks for one item of every group.
type Problem struct {
	Groups [][]Item
	Room   []int32 // how many units of each resource there are
}

// Find returns an item of every group that together stay within the room, as indexes into the groups, or nil if there is no
// such choice. The error is that of the context.
func Find(ctx context.Context, p Problem) ([]int, error) {
	s := &search{ctx: ctx, p: p, room: append([]int32(nil), p.Room...), picks: make([]int, len(p.Groups))}
	for i := range s.picks {
		s.picks[i] = -1
	}
	yes, err := s.descend(len(p.Groups))
	if err != nil || !yes {
		return nil, err
	}
	return s.picks, nil
}

type search struct {
	ctx   context.Context
	p     Problem
	room  []int32
	picks []int
	tick  int
}

func (s *search) fits(item Item) bool {
	yes := true
	for _, r := range item {
		s.room[r]--
		yes = yes && s.room[r] >= 0
	}
	for _, r := range item {
		s.room[r]++
	}
	return yes
}

// descend fills the group with the fewest items that fit, and so on.
func (s *search) descend(left int) (bool, error) {
	if left == 0 {
		return true, nil
	}
	group, err := s.scarcest()
	if err != nil {
		return false, err
	}
	for j, item := range s.p.Groups[group] {
		if !s.fits(item) {
			continue
		}
		for _, r := range item {
			s.room[r]--
		}
		s.picks[group] = j
		yes, err := s.descend(left - 1)
		if yes || err != nil {
			return yes, err
		}
		s.picks[group] = -1
		for _, r := range item {
			s.room[r]++
		}
	}
	return false, nil
}

func (s *search) scarcest() (int, error) {
	best, fewest := -1, -1
	for i, items := range s.p.Groups {
		if s.picks[i] >= 0 {
			continue
		}
		n := 0
		for _, item := range items {
			if s.tick++; s.tick&1023 == 0 && s.ctx.Err() != nil {
				return -1, s.ctx.Err()
			}
			if s.fits(item) {
				if n++; best >= 0 && n >= fewest {
					break
				}
			}
		}
		if best < 0 || n < fewest {
			best, fewest = i, n
		}
	}
	return best, nil
}
