package main

import (
	"fmt"
	"slices"

	"shuntwright/cmd/shuntwright/internal/plan"
)

// pickClosing says what is equal, and how to have the fewest parts first.
func (c *call) pickClosing(equals []bool, alike plan.Likeness) []string {
	switch {
	case c.options.enough.measured && isNumber(alike.Percent):
		return []string{fmt.Sprintf("--enough measured: errors within %.2g %%, the smallest and its limit, are equal, since the measurements cannot tell which is better; fewer parts first", alike.Percent)}
	case c.options.enough.given() && isNumber(alike.Percent):
		return []string{fmt.Sprintf("errors within --enough %g %% are equal; fewer parts first", alike.Percent)}
	case slices.Contains(equals, true):
		return []string{fmt.Sprintf("equal: within %.2g %%, the smallest error and its limit, so that the measurements cannot tell which is better; --enough measured lists fewer parts first", alike.Percent)}
	}
	return nil
}
