package sat

import "slices"

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

// fits tells whether there is room for an item.
func (x *items) fits(item int32, room []int32) bool {
	return !slices.ContainsFunc(x.uses[item], func(u Use) bool { return u.Units > room[u.Resource] })
}

// unitsOf returns how many units of a resource an item takes.
func (x *items) unitsOf(item, resource int32) int32 {
	for _, u := range x.uses[item] {
		if u.Resource == resource {
			return u.Units
		}
	}
	return 0
}
