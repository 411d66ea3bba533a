package main

import (
	"context"
	"fmt"
	"math"
	"math/big"
	"slices"
	"strings"
	"time"

	"shuntwright/cmd/shuntwright/internal/asbuilt"
	"shuntwright/cmd/shuntwright/internal/plan"
	"shuntwright/cmd/shuntwright/internal/predict"
	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/inventory"
	"shuntwright/match"
	"shuntwright/match/network"
	"shuntwright/meter/quantity"
	"shuntwright/meter/wiring"
)

func pickCommand() *command {
	return &command{
		name: "pick", operands: "TARGET", least: 1, most: 1,
		does: "finds the best networks for one resistance",
		more: `Single parts, and parts in series (+) and in parallel (||), each used once.
The target is a resistance: 5.0505, "5.0505 ohm", 4k7, 50mohm. Choices marked equal
cannot be told from the first: their error exceeds its error by no more than its
limit.`,
		example: `shuntwright pick 24.65 --top 3
  the three best parts or pairs from drawer.csv for 24.65 ohm`,
		flags: []string{"drawer", "instruments", "parts", "top", "within", "resolution", "enough", "sure", "keep", "instrument", "current", "volts", "derate", "rated-only", "only", "exclude", "time-limit"},
		run:   runPick,
	}
}

// runPick answers pick.
func runPick(c *call) (report.Document, error) {
	target, err := quantity.Parse(c.args[0], quantity.Ohm, quantity.Positive)
	if err != nil {
		return report.Document{}, misused("target: %w", err)
	}
	if err := c.checkSearch(); err != nil {
		return report.Document{}, err
	}
	b, err := c.openBench()
	if err != nil {
		return report.Document{}, err
	}
	if err := wiring.NotAnID(c.args[0], b.Has); err != nil {
		return report.Document{}, misused("target: %w", err)
	}
	chosen, err := b.Choose(nil, c.options.wanted)
	if err != nil {
		return report.Document{}, err
	}
	stock, err := b.Stock(chosen, c.options.derate)
	if err != nil {
		return report.Document{}, err
	}
	query, limitOf, err := c.query(b, chosen, target.Base)
	if err != nil {
		return report.Document{}, err
	}
	ctx, stop := c.limited()
	defer stop()
	picked, alike, err := plan.Pick(ctx, c.asked(math.NaN()), stock, query, limitOf)
	if err != nil {
		return report.Document{}, err
	}
	return c.pickDocument(b, chosen, target, query, picked, alike)
}

// checkSearch refuses search flags that nobody can serve.
func (c *call) checkSearch() error {
	o := &c.options
	if c.command.name == "pick" && !c.flags.Changed("resolution") {
		o.resolution = min(o.resolution, o.within)
	}
	switch {
	case o.parts < 1 || o.parts > 4:
		return misused("--parts %d: at most 1, 2, 3 or 4 parts a position", o.parts)
	case o.top < 1 && c.command.name == "pick":
		return misused("--top %d: at least 1 row", o.top)
	case o.top > match.MaxTop && c.command.name == "pick":
		return misused("--top %d: at most %d rows", o.top, match.MaxTop)
	case o.within == 0:
		return misused("--within 0: a window needs some width, such as 5")
	case o.resolution > o.within && c.command.name == "pick":
		return misused("--resolution %v: more than --within %v, so that all networks would count as equal; 0.001 is usual, 0 makes every digit count", o.resolution, o.within)
	case math.IsNaN(o.derate) || o.derate <= 0 || o.derate > 1:
		return misused("--derate %g: a share of the rated watts, above 0 and up to 1", o.derate)
	case o.timeLimit < 0:
		return misused("--time-limit %v: a duration such as 10s", o.timeLimit)
	}
	return c.checkEnough()
}

// defaultTime is how long a search may take where nobody says more.
const defaultTime = 10 * time.Second

// limited is the context of the search: with a time limit where there is one.
func (c *call) limited() (context.Context, context.CancelFunc) {
	if c.options.timeLimit > 0 {
		return context.WithTimeout(c.ctx, c.options.timeLimit)
	}
	return context.WithCancel(c.ctx)
}

// query puts the flags into the words of the search. limitOf is the limit of a
// network's value in percent of it.
func (c *call) query(b *asbuilt.Bench, chosen []int, target float64) (q match.Query, limitOf func(network.Network) float64, err error) {
	o := &c.options
	keep := math.NaN()
	var kept []asbuilt.Leaf
	if isNumber(o.keep.base()) {
		if err := wiring.NotAnID(o.keep.value.Text, b.Has); err != nil {
			return q, nil, misused("--keep: %w", err)
		}
		m, err := b.Instruments.Measure(asbuilt.Unlisted(o.keep.value, o.instrument))
		if err != nil {
			return q, nil, misused("--keep: %w", err)
		}
		keep, kept = m.Ohms, []asbuilt.Leaf{{Name: o.keep.value.Text, Measured: m}}
	}
	q = match.Query{Top: o.top, Resolution: float64(o.resolution) / 100, Need: match.Need{
		Target: target, Within: float64(o.within) / 100, AtMost: o.parts,
		Keep: keep, KeepBears: math.Inf(1), Flow: o.current.base(), Drop: o.volts.base(),
	}}
	limitOf = func(n network.Network) float64 {
		w, leaves, err := c.wired(b, n, chosen)
		if err != nil {
			return math.MaxFloat64
		}
		return asbuilt.ValueLimit(w, leaves).Limit
	}
	if o.sure {
		q.Limit = func(n network.Network) float64 { return limitOf(n) / 100 * n.Value() }
		q.LimitFloor = max(0, b.LeastLimit(chosen, kept, o.parts)*(1-q.Within))
	}
	return q, limitOf, nil
}

// wired is a network of the search in the words of the drawer, with what its leaves
// are.
func (c *call) wired(b *asbuilt.Bench, n network.Network, chosen []int) (wiring.Network, []asbuilt.Leaf, error) {
	w := b.Wire(n, chosen, wiring.Network{Ohms: c.options.keep.value})
	leaves, err := b.Resistors(w, c.options.instrument)
	return w, leaves, err
}

// pickDocument shows the choices, and which of them are equal.
func (c *call) pickDocument(b *asbuilt.Bench, chosen []int, target quantity.Value, query match.Query, picked match.Picked, alike plan.Likeness) (report.Document, error) {
	answer := pickAnswer{TargetOhms: target.Base, Choices: []pickChoice{},
		NetworksConsidered: picked.Considered, Proven: picked.Proven}
	table := report.Table{Name: "choices", Columns: []report.Column{
		{Title: "network", Key: "network", Flexible: true}, {Title: "value", Key: "ohms", Number: true},
		{Title: "error", Key: "error_percent", Number: true}, {Title: "limit", Key: "limit_percent", Number: true}, {Title: "equal", Key: "equal"},
	}}
	var used []inventory.Measured
	var unrated, solder []string
	equals := alike.Marks(picked.Choices)
	if r := float64(c.options.resolution); r > 0 {
		answer.ResolutionPercent = report.Some(r)
	}
	if c.options.enough.given() {
		answer.EnoughPercent = report.Some(alike.Percent)
	}
	for k, choice := range picked.Choices {
		w, leaves, err := c.wired(b, choice.Network, chosen)
		if err != nil {
			return report.Document{}, err
		}
		for i, l := range w.Leaves() {
			used = append(used, leaves[i].Measured)
			if k == 0 {
				solder = append(solder, predict.PieceOf(b, l.ID, leaves[i]).Words())
			}
		}
		unrated = append(unrated, b.Unrated(w.IDs())...)
		limit, ohms := asbuilt.ValueLimit(w, leaves), choice.Network.Value()
		answer.Choices = append(answer.Choices, pickChoice{Network: w.String(), Parts: w.IDs(), Ohms: ohms, ErrorPercent: 100 * choice.Error,
			LimitPercent: report.Some(limit.Limit), CoverageFactor: report.Some(limit.Factor), Equal: equals[k]})
		table.Rows = append(table.Rows, []report.Cell{report.Words(w.String()), report.Quantity(ohms, quantity.Ohm, report.ByLimit(limit.Limit)),
			report.PercentError(100*choice.Error, limit.Limit), report.PercentLimit(limit.Limit), equalCell(equals[k])})
	}
	answer.Assumptions = asbuilt.Assumptions(used)
	answer.Warnings = append(asbuilt.Warnings(used), c.ratingWarning(unrated)...)
	if volts := c.options.volts.base(); asbuilt.Hazardous(volts) {
		answer.Cautions = []report.Caution{asbuilt.HighVoltage(quantity.Format(volts, quantity.Volt, 3), asbuilt.VoltageCaution)}
	}
	closing := c.pickClosing(equals, alike)
	if alike.Stepped(query, picked.Choices) {
		closing = append(closing, fmt.Sprintf("errors in the same step of %v %% count as equal: fewer parts first", c.options.resolution))
	}
	doc := report.Document{Tables: []report.Table{table}, Closing: closing, Good: len(picked.Choices) > 0}
	var err error
	wanted := quantity.Format(target.Base, quantity.Ohm, report.Typed(target))
	if doc.Good {
		c.sayPick(&doc, answer, picked, solder, wanted)
	} else if answer.WhyOpen, err = c.whyNone(b, chosen, query.Need); err == nil {
		why := answer.WhyOpen[0]
		doc.Heading, doc.Next = "nothing found for "+wanted, "shuntwright drawer add"
		if why.Text != "" {
			doc.BottomLine = []string{"why: " + why.Text}
		}
		if why.Helps != "" {
			doc.Next = c.againWith("pick", c.args[0], why.Helps)
		}
	}
	doc.Notes, doc.Answer = answer.Notes, answer
	return doc, err
}

// sayPick says which network is the best, what to solder, and what follows.
func (c *call) sayPick(doc *report.Document, answer pickAnswer, picked match.Picked, solder []string, wanted string) {
	best, limit := answer.Choices[0], *answer.Choices[0].LimitPercent
	doc.Heading = fmt.Sprintf("%s: %s, %s off %s", best.Network, quantity.Format(best.Ohms, quantity.Ohm, report.ByLimit(limit)),
		report.PercentPair(best.ErrorPercent, limit).Text, wanted)
	considered := fmt.Sprintf("the best of %s networks considered", picked.Considered)
	if !picked.Proven {
		considered = fmt.Sprintf("not proven: the search was ended; %s networks were to be considered", picked.Considered)
	}
	doc.BottomLine = []string{"solder first: " + strings.Join(solder, "; "), considered}
	overloaded := ""
	if doc.Next, overloaded = c.onceSoldered(answer.TargetOhms, picked.Choices[0].Network, best.Network); overloaded != "" {
		doc.BottomLine = append(doc.BottomLine, "its parts do not bear what "+overloaded+" carries")
	} else if surer := surerPick(answer.Choices); surer != "" {
		doc.BottomLine = append(doc.BottomLine, surer)
		doc.Next = c.again("pick", c.args[0]) + " --sure"
	}
}

// surerPick names the choice that is equal to the first and may really be off by less
// than half of what that may; empty where there is none.
func surerPick(choices []pickChoice) string {
	mayBe := func(c pickChoice) float64 { return math.Abs(c.ErrorPercent) + report.Number(c.LimitPercent) }
	surest := choices[0]
	for _, one := range choices {
		if one.Equal && mayBe(one) < mayBe(surest) {
			surest = one
		}
	}
	if mayBe(surest) >= mayBe(choices[0])/2 {
		return ""
	}
	return fmt.Sprintf("surer: %s, %s; --sure counts error and limit together", surest.Network, report.PercentPair(surest.ErrorPercent, report.Number(surest.LimitPercent)).Text)
}

// ratingWarning names the parts whose ratings nobody knows, where the call
// asks for ratings to be held.
func (c *call) ratingWarning(unrated []string) []string {
	stressed := !math.IsNaN(c.options.current.base()) || !math.IsNaN(c.options.volts.base())
	if len(unrated) == 0 || !stressed {
		return nil
	}
	return []string{"watts and volts are not known of " + report.List(report.Unique(unrated)) + "; --rated-only leaves such parts out"}
}

// pickAnswer is the JSON of pick.
type pickAnswer struct {
	TargetOhms         float64       `json:"target_ohms"`
	Choices            []pickChoice  `json:"choices"`
	ResolutionPercent  report.Maybe  `json:"resolution_percent,omitempty"`
	EnoughPercent      report.Maybe  `json:"enough_percent,omitempty"`
	NetworksConsidered *big.Int      `json:"networks_considered"`
	Proven             bool          `json:"proven"`
	WhyOpen            []predict.Why `json:"why_open,omitempty"`
	report.Notes
}

// pickChoice is one network that pick offers.
type pickChoice struct {
	Network        string       `json:"network"`
	Parts          []string     `json:"parts"`
	Ohms           float64      `json:"ohms"`
	ErrorPercent   float64      `json:"error_percent"`
	LimitPercent   report.Maybe `json:"limit_percent,omitempty"`
	CoverageFactor report.Maybe `json:"coverage_factor,omitempty"`
	Equal          bool         `json:"equal,omitempty"` // cannot be told from the best by what was measured
}

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
