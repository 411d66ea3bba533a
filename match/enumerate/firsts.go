package enumerate

import "container/heap"

// firsts keeps those that come first of all that are offered: a heap with the last
// of them on top.
type firsts[T any] struct {
	list    []T
	compare func(a, b T) int
}

func (f *firsts[T]) Len() int           { return len(f.list) }
func (f *firsts[T]) Less(i, j int) bool { return f.compare(f.list[i], f.list[j]) > 0 }
func (f *firsts[T]) Swap(i, j int)      { f.list[i], f.list[j] = f.list[j], f.list[i] }
func (f *firsts[T]) Push(x any)         { f.list = append(f.list, x.(T)) }

// Pop is never asked for: what comes later than the last is put in its place.
func (f *firsts[T]) Pop() any { panic("enumerate: nothing is taken off") }

// offer reports whether x is among the first so many; of equals those are that came
// earlier.
func (f *firsts[T]) offer(x T, top int) bool {
	if len(f.list) < top {
		heap.Push(f, x)
		return true
	}
	if f.compare(x, f.list[0]) >= 0 {
		return false
	}
	f.list[0] = x
	heap.Fix(f, 0)
	return true
}
