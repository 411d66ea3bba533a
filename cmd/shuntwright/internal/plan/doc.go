// Package plan asks the search what is to go into a meter, or into one place,
// and weighs what it finds.
//
// # What is good enough
//
// Problem.Enough is a floor, range by range: an error within it counts as none,
// in either order; in the exact one, errors as they are come again behind the
// parts. So --enough measured and plan --trim are one question with different
// floors, and a range out of reach takes nothing from the others. --enough
// measured asks for the best plan, for the surest, and then, with the largest
// error plus limit of that one's ranges within the class as the floor, for the
// first plan of parts that somebody has measured, if that reads as well
// (choice.go, measured.go). Where a time limit does not let the surest be
// proven in half of what is left, the surest of the best plans, with as many
// parts and with fewer, gives the figure. With --sure the limit is part of the
// order, and there is nothing left that measurements could not tell. plan
// --trim has the class as the floor and everything fitted as Need.Keep, which
// alone is a network of no parts (trim.go). A network in which what stays
// decides less than half of the value (its share of the slopes, which come to
// 1) is no trim: a search for that position alone, all others as planned, then
// asks for parts in its place (replace.go), and likewise where a range stays
// beyond the class.
//
// # The surest pick
//
// pick --sure first asks by error alone: no answer is worse than those
// networks, so what is further off than that, less the smallest limit that gain
// errors allow, is not looked at (pick.go; 300 parts by fours: 0.3 s, without
// it over a minute).
package plan
