package node

import "slices"

// Above returns the place of the first candidate of the list that is not below v.
func (t *Table) Above(list []int32, v float64) int {
	i, _ := slices.BinarySearchFunc(list, v, func(c int32, v float64) int {
		if t.Values[c] < v {
			return -1
		}
		return 1
	})
	return i
}

// Outward appends the list to order, from the middle of its values outward.
func (t *Table) Outward(order, list []int32) []int32 {
	if len(list) == 0 {
		return order
	}
	mid := t.Values[list[0]] + (t.Values[list[len(list)-1]]-t.Values[list[0]])/2
	j := t.Above(list, mid)
	i := j - 1
	for i >= 0 || j < len(list) {
		if j == len(list) || i >= 0 && mid-t.Values[list[i]] <= t.Values[list[j]]-mid {
			order = append(order, list[i])
			i--
		} else {
			order = append(order, list[j])
			j++
		}
	}
	return order
}
