// Package assign chooses one candidate for every position so that no part is
// used twice.
//
// A candidate is a set of parts, a cost, and points. What counts, in this
// order: as many positions filled as can be at once; the fewest points
// together; the smallest worst cost of those without points, the smallest next
// worst, and so on down, what is good enough counting as none; likewise the
// costs of those with points; the fewest parts; the costs as they are; the
// lists of parts, position by position.
//
// # How it works
//
// Everything is put as a chain of yes-or-no questions: "can every position get
// one of these candidates?" A position left open is a candidate without parts.
// Most that are answered yes are answered by repairing: the best choice so far,
// without what the question rules out, is made whole by positions that throw
// one another out, those parts getting dearer that are fought for. What remains
// is for the sub-package sat: it knows some noes from the prices of parts that
// proved earlier ones, offers the solution of a linear relaxation to be
// repaired, and searches in the end, learning from its failures; see there for
// its bounds.
//
//  1. A greedy choice, repaired as long as that makes it better, or the one
//     that is given, is a first answer; what costs more than its worst can be
//     forgotten, unless it is good enough. So can a candidate whose parts
//     contain those of another that costs no more: the other fits wherever it
//     fits, with fewer parts.
//  2. How many positions stay open is found by bisection.
//  3. The points together are bisected; what each position must have at least
//     is not asked about.
//  4. The k-th worst cost is one of the costs given, between the bound that the
//     cheapest candidates give and the best answer so far, which is mostly near
//     it. So the questions go down from that answer, where a no says most, in
//     strides that grow with every yes. Where only one position has candidates
//     at the level found, that position carries it, and its list shrinks to
//     them. Where several have, it stays open which, and the questions count
//     instead: at most so many positions above such a level, one fewer than in
//     the best answer.
//  5. The number of parts is bounded likewise, and then, position by position,
//     the list of parts that comes first is taken.
//
// # Why it is exact
//
// Each answer yes is a choice at hand, and each answer no a proof in integers
// that there is none. So the result is defined by the order alone: neither the
// time it takes, the machine, nor the number of cores changes it; nothing here
// runs concurrently. When the context ends, the best answer so far comes back
// with the bound that is proven. Deciding such questions is hard in general
// (with two parts a position they are rainbow matchings), so there are inputs
// that no limit of time is enough for.
package assign

import "context"

// Candidate is one way of filling a position.
type Candidate struct {
	Parts  []int32 // ascending, distinct, each below Problem.Parts; may be empty
	Cost   float64 // finite, not negative
	Points int     // not negative, and of no two candidates fewer for the dearer one
}

// Problem asks for one candidate a position, no part used twice.
type Problem struct {
	Parts     int           // how many parts there are
	Positions [][]Candidate // candidates in any order; a position without any stays open
	// Enough is a cost that counts as none.
	Enough float64
	// First, if not nil, is a choice to start from: for each position an index
	// into its candidates, -1: open. No part is used twice.
	First []int
	// Loose says that what comes after the number of parts in the order does
	// not matter.
	Loose bool
	Step  func(Progress) // told after every question, on the goroutine of Solve; may be nil
}

// Progress tells how far Solve has come.
type Progress struct {
	Filled       int     // positions filled in the best choice so far
	Worst, Bound float64 // as in Answer
	Chosen       []int   // as in Answer
}

// Answer is the best choice found.
type Answer struct {
	Chosen []int   // for each position an index into its candidates, -1: open
	Filled int     // how many positions are filled
	Worst  float64 // the largest cost chosen without points; NaN if there is none
	Points int     // proven: no choice that fills as many positions has fewer points
	// Bound is proven: no choice that fills as many positions, with as few
	// points, has a smaller worst cost. Where Proven is set it is Worst, but
	// for choices that are good enough, where a smaller worst cost is not
	// looked for.
	Bound  float64
	Proven bool // no choice fills more positions, or as many with a smaller worst cost (one that is good enough: see Bound)
	Exact  bool // no choice comes before this one in the whole order
}

// Solve finds the first choice in the order of the package comment. It returns
// an error where costs or points cannot be counted; all else that the fields say
// the caller must see to. When ctx ends first, the answer is the best choice so far
// and Exact is false. The problem is not changed.
func Solve(ctx context.Context, p Problem) (Answer, error) {
	if err := p.check(); err != nil {
		return Answer{}, err
	}
	s := newSearch(ctx, p)
	if ctx.Err() == nil {
		s.run()
	}
	return s.answer(), nil
}

func (s *search) answer() Answer {
	return Answer{Chosen: s.best.indexes(), Worst: s.best.worst(), Filled: s.best.filled(), Points: s.least, Bound: s.bound(), Proven: s.proven, Exact: s.exact}
}

// bound is the proven lower bound of the worst cost.
func (s *search) bound() float64 {
	if worst := s.best.worst(); worst < s.low {
		return worst
	}
	return s.low
}
