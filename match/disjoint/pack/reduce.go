package pack

import (
	"cmp"
	"slices"
)

// use is how many units of a resource an item takes.
type use struct{ resource, units int32 }

// uses sorts and counts the resources of an item.
func uses(item Item) []use {
	sorted := slices.Sorted(slices.Values(item))
	var list []use
	for _, r := range sorted {
		if n := len(list); n > 0 && list[n-1].resource == r {
			list[n-1].units++
		} else {
			list = append(list, use{r, 1})
		}
	}
	return list
}

// reduced is an item of a group that is still looked at.
type reduced struct {
	uses   []use
	origin int32
}

// reduce drops items that take more than there is, and those that take all that another of the group takes.
func reduce(group []Item, room []int32) []reduced {
	var list []reduced
	for j, item := range group {
		u := uses(item)
		if !slices.ContainsFunc(u, func(x use) bool { return x.units > room[x.resource] }) {
			list = append(list, reduced{u, int32(j)})
		}
	}
	slices.SortStableFunc(list, func(a, b reduced) int { return cmp.Compare(len(a.uses), len(b.uses)) })
	seen := map[[4]use]bool{}
	kept := list[:0]
	for _, x := range list {
		if !covered(x.uses, seen) {
			kept = append(kept, x)
		}
	}
	return kept
}

// covered tells whether a subset of an item's uses has been seen, and marks them as seen. Items of more than four uses are only
// looked at for small subsets of the same units.
func covered(u []use, seen map[[4]use]bool) bool {
	if len(u) > 12 {
		return false
	}
	for mask := range 1 << len(u) {
		var key [4]use
		n := 0
		for i, x := range u {
			if mask>>i&1 != 0 {
				if n < 4 {
					key[n] = use{x.resource + 1, x.units}
				}
				n++
			}
		}
		if n <= 4 && seen[key] {
			return true
		}
		if n == len(u) && n <= 4 {
			seen[key] = true
		}
	}
	return false
}
