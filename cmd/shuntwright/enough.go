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
	b := made.Best
	where := fmt.Sprintf("%s: %s %s", s.Ranges[b.Range].Name, report.PercentSize(b.Error, b.Limit).Text, report.PercentLimit(b.Limit).Text)
	surest := "the surest plan"
	if !made.Surest {
		surest = "the surest of the best plans"
	}
	which := "of these this one has few parts"
	if made.Plan.Proven {
		which = "of these this one has the fewest parts"
	}
	if made.PassedOver > 0 {
		which += " without taking any that was never measured"
	}
	if class := made.Problem.Enough; class < b.Alike() {
		return []string{fmt.Sprintf("--enough measured: even %s may really be %.2g %% off (%s), beyond the class, so that errors within the class of %s %% count as none; %s",
			surest, b.Alike(), where, report.Exact(class), which)}
	}
	return []string{fmt.Sprintf("--enough measured: even %s may really be %.2g %% off (%s), so that errors within %.2g %% count as none; %s",
		surest, b.Alike(), where, made.Problem.Enough, which)}
}
