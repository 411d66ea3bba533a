package main

import (
	"fmt"
	"strings"

	"shuntwright/cmd/shuntwright/internal/report"
)

// enough is --enough: an error in percent up to which plans are equally good,
// or what the measurements can tell. The zero value: not given.
type enough struct {
	percent  percent
	measured bool
}

// given tells whether errors within something are to be equal.
func (e enough) given() bool { return e.measured || e.percent > 0 }

func (e *enough) Type() string { return "percent" }

func (e *enough) String() string {
	if e.measured {
		return "measured"
	}
	return e.percent.String()
}

func (e *enough) Set(text string) error {
	*e = enough{}
	if e.measured = strings.TrimSpace(text) == "measured"; e.measured {
		return nil
	}
	if err := e.percent.Set(text); err != nil {
		return fmt.Errorf("%w; or the word measured", err)
	}
	return nil
}

// checkEnough refuses what --enough cannot mean.
func (c *call) checkEnough() error {
	if c.options.enough.measured && c.options.sure {
		return misused("--enough measured with --sure: what the measurements cannot tell is counted already, as the limit beside each error; give a figure, such as --enough 1")
	}
	return nil
}

// enoughWords say what --enough measured came to.
func (s *setup) enoughWords(made *planned) []string {
	if !isNumber(made.Best.Error) {
		return nil
	}
	figure := fmt.Sprintf("%.2g %%", made.Problem.Enough)
	if made.Problem.Enough < made.Best.Alike() {
		figure = "the class of " + report.Exact(made.Problem.Enough) + " %"
	}
	return []string{fmt.Sprintf("--enough measured: even the surest of the best plans may really be %.2g %% off (%s: %s %s), so the measurements cannot tell which of the plans within %s is better; of these this one has the fewest parts",
		made.Best.Alike(), s.Ranges[made.Best.Range].Name, report.PercentSize(made.Best.Error, made.Best.Limit).Text, report.PercentLimit(made.Best.Limit).Text, figure)}
}
