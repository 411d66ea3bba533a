package branch

import "slices"

// above returns the place of the first candidate of the list that is not below v.
func (t *table) above(list []int32, v float64) int {
	i, _ := slices.BinarySearchFunc(list, v, func(c int32, v float64) int {
		if t.values[c] < v {
			return -1
		}
		return 1
	})
	return i
}

// outward appends the list to order, from the middle of its values outward.
func (t *table) outward(order, list []int32) []int32 {
	if len(list) == 0 {
		return order
	}
	mid := t.values[list[0]] + (t.values[list[len(list)-1]]-t.values[list[0]])/2
	j := t.above(list, mid)
	i := j - 1
	for i >= 0 || j < len(list) {
		if j == len(list) || i >= 0 && mid-t.values[list[i]] <= t.values[list[j]]-mid {
			order = append(order, list[i])
			i--
		} else {
			order = append(order, list[j])
			j++
		}
	}
	return order
}
