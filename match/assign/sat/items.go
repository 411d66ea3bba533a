package sat

import (
	"fmt"
	"slices"
)

// items are those of a problem, numbered through its groups.
type items struct {
	groups [][]int32 // items
	group  []int32   // of each item
	uses   [][]Use   // of each item
	users  [][]int32 // items of each resource
	full   []int32   // room of each resource
}

func number(p Problem) *items {
	x := &items{groups: make([][]int32, len(p.Groups)), users: make([][]int32, len(p.Room)), full: p.Room}
	for g, group := range p.Groups {
		for _, resources := range group {
			item := int32(len(x.group))
			x.groups[g] = append(x.groups[g], item)
			x.group = append(x.group, int32(g))
			x.uses = append(x.uses, useOf(resources))
			for _, u := range x.uses[item] {
				x.users[u.Resource] = append(x.users[u.Resource], item)
			}
		}
	}
	return x
}

// Use is how many units of a resource an item takes.
type Use struct{ Resource, Units int32 }

// useOf counts the units in a list of resources, in which a resource stands
// once for every unit. The uses are ascending by resource.
func useOf(item []int32) []Use {
	list := make([]Use, 0, len(item))
	for _, r := range slices.Sorted(slices.Values(item)) {
		if n := len(list); n > 0 && list[n-1].Resource == r {
			list[n-1].Units++
		} else {
			list = append(list, Use{r, 1})
		}
	}
	return list
}

// CheckParts returns an error where a list of parts is not ascending and
// distinct, or names a part that is not one of so many, counted from 0.
func CheckParts(list []int32, parts int) error {
	last := int32(-1)
	for _, part := range list {
		if part < 0 || int(part) >= parts {
			return fmt.Errorf("part %d; want 0 to %d", part, parts-1)
		}
		if part <= last {
			return fmt.Errorf("parts %v; want them ascending and distinct", list)
		}
		last = part
	}
	return nil
}

// unitsOf returns how many units of a resource are used.
func unitsOf(uses []Use, resource int32) int32 {
	for _, u := range uses {
		if u.Resource == resource {
			return u.Units
		}
	}
	return 0
}

// small is how many uses an item may have to be looked at for others that need
// less.
const small = 6

type useKey [small]Use

// lesser returns, for each of the items first, first+1, … of a group, the items
// that take nothing but what it takes too: where one of them is allowed, the
// item need not be looked at. Of items that take the same, only the first is
// lesser than the others. Items of more than six uses are left out on both
// sides.
func lesser(uses [][]Use, first int32) [][]int32 {
	byUse := make(map[useKey]int32, len(uses))
	for i, u := range uses {
		if len(u) <= small {
			key := keyOf(u, -1)
			if _, ok := byUse[key]; !ok {
				byUse[key] = int32(i)
			}
		}
	}
	list := make([][]int32, len(uses))
	for i, u := range uses {
		if len(u) > small {
			continue
		}
		for mask := range 1 << len(u) {
			if j, ok := byUse[keyOf(u, mask)]; ok && int(j) != i {
				list[i] = append(list[i], first+j)
			}
		}
	}
	return list
}

func keyOf(u []Use, mask int) (key useKey) {
	n := 0
	for i, x := range u {
		if mask>>i&1 != 0 {
			key[n] = Use{x.Resource + 1, x.Units}
			n++
		}
	}
	return key
}
