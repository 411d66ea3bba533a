package main

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"shuntwright/cmd/shuntwright/internal/report"
)

// filledWords say what can be done where every position is filled: class is in
// percent, NaN where there is none.
func (s *setup) filledWords(class float64) []string {
	const nothing = "nothing to plan: every position is filled"
	path := report.InShell(s.Path)
	outside := s.outside(class)
	if len(outside) == 0 {
		return []string{fmt.Sprintf("%s; shuntwright unfit %s POSITION opens one", nothing, path)}
	}
	var names, open []string
	for _, r := range outside {
		names = append(names, s.Ranges[r].Name)
	}
	for _, position := range s.moving(outside) {
		open = append(open, fmt.Sprintf("shuntwright unfit %s %q", path, s.Positions[position].Name))
	}
	trim := fmt.Sprintf("shuntwright plan %s --trim", path)
	if s.Meter.Class != class {
		trim += " --class " + report.Exact(class)
	}
	return []string{
		fmt.Sprintf("%s; outside of the class of %s %%: %s", nothing, report.Exact(class), report.List(names)),
		"what to add to what is there, or to put in its place, says:\n  " + trim,
		"or to plan anew from an empty position:\n  " + strings.Join(open, "\n  "),
	}
}

// outside are the ranges whose error is beyond the class.
func (s *setup) outside(class float64) (out []int) {
	for r, as := range s.Meter.Predict(s.Ohms()).Ranges {
		if as.Whole() && math.Abs(as.ErrorPercent) > class {
			out = append(out, r)
		}
	}
	return out
}

// moving are the positions that some of the ranges depend on.
func (s *setup) moving(ranges []int) (out []int) {
	all := make([]int, len(s.Positions))
	for i := range all {
		all[i] = i
	}
	response := s.Meter.Response(all, s.Ohms())
	for i := range all {
		if slices.ContainsFunc(ranges, func(r int) bool { return response.Rising(r, i) != 0 }) {
			out = append(out, i)
		}
	}
	return out
}
