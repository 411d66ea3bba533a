package pack

import "slices"

// use is how many units of a resource an item takes.
type use struct{ resource, units int32 }

// usesOf sorts and counts the resources of an item.
func usesOf(item Item) []use {
	list := make([]use, 0, len(item))
	for _, r := range slices.Sorted(slices.Values(item)) {
		if n := len(list); n > 0 && list[n-1].resource == r {
			list[n-1].units++
		} else {
			list = append(list, use{r, 1})
		}
	}
	return list
}

// small is how many uses an item may have to be looked at for others that need less.
const small = 6

type useKey [small]use

// lesser returns, for each of the items first, first+1, … of a group, the items that take nothing but what it takes too: where one
// of them is allowed, the item need not be looked at. Of items that take the same, only the first is lesser than the others.
func lesser(uses [][]use, first int32) [][]int32 {
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

func keyOf(u []use, mask int) (key useKey) {
	n := 0
	for i, x := range u {
		if mask>>i&1 != 0 {
			key[n] = use{x.resource + 1, x.units}
			n++
		}
	}
	return key
}
