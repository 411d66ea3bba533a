package main

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
	"unicode/utf8"

	"shuntwright/cmd/shuntwright/internal/asbuilt"
	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/inventory"
)

func drawerListCommand() *command {
	return &command{
		name: "drawer list", operands: "[ID…]", most: -1,
		does: "lists the parts of the drawer, or some of them",
		more: `Every condition leaves out what does not meet it. --near goes by what the part reads,
--drifted by how far that is from what is marked on it; a part that nobody has measured
has not drifted. Behind the marking stands how far the part is off it.`,
		example: `shuntwright drawer list --free --near 4k7
  the parts not fitted anywhere within 10 % of 4.7 kΩ, the nearest first`,
		flags: []string{"drawer", "instruments", "near", "within", "fitted", "free", "unmeasured", "drifted", "place", "sort"},
		run:   runDrawerList,
	}
}

// valued is a part and what it is worth.
type valued struct {
	inventory.Part
	is inventory.Measured
}

// drift is how far the part is off its marking, in percent; NaN where nobody can
// tell.
func (l valued) drift() float64 {
	if l.is.Marked {
		return math.NaN()
	}
	return l.Drift(l.is.Ohms)
}

// runDrawerList lists the parts that are asked for.
func runDrawerList(c *call) (report.Document, error) {
	keep, err := c.listConditions()
	if err != nil {
		return report.Document{}, err
	}
	order, err := c.listOrder()
	if err != nil {
		return report.Document{}, err
	}
	b, err := c.openBench()
	if err != nil {
		return report.Document{}, err
	}
	for _, id := range c.args {
		if _, _, found := b.Drawer.Find(id); !found {
			return report.Document{}, noSuchPart(b.Drawer, id)
		}
	}
	var all []valued
	for i, p := range b.Parts {
		l := valued{p, b.Measured[i]}
		if !slices.ContainsFunc(keep, func(meets func(valued) bool) bool { return !meets(l) }) {
			all = append(all, l)
		}
	}
	if order != nil {
		slices.SortStableFunc(all, order)
	}
	of := drawerChange{}
	for _, l := range all {
		of.parts = append(of.parts, l.Part)
	}
	of.notes.Warnings = slips(of.parts, nil, false)
	heading := fmt.Sprintf("%s: %s, %d of them free", b.Drawer.Path(), report.Counted(len(b.Parts), "part"), len(b.Free(nil, asbuilt.Wanted{})))
	if len(keep) > 0 {
		heading = fmt.Sprintf("%s: %d of %s", b.Drawer.Path(), len(all), report.Counted(len(b.Parts), "part"))
	}
	doc, err := drawerDocument(b, of, heading)
	doc.Good = len(all) > 0 || len(keep) == 0
	return doc, err
}

// listConditions are what the flags ask of the parts that are listed.
func (c *call) listConditions() ([]func(valued) bool, error) {
	o := &c.options
	var keep []func(valued) bool
	if o.fitted && o.free {
		return nil, misused("--fitted and --free leave nothing together; leave one out")
	}
	for _, one := range []struct {
		asked bool
		meets func(valued) bool
	}{
		{c.flags.Changed("near"), func(l valued) bool {
			return !l.IsSpool() && math.Abs(l.is.Ohms/o.near.value.Base-1)*100 <= float64(o.within)
		}},
		{len(c.args) > 0, func(l valued) bool { return slices.Contains(c.args, l.ID) }},
		{o.fitted, func(l valued) bool { return l.Fitted != "" }},
		{o.free, func(l valued) bool { return l.Fitted == "" }},
		{o.unmeasured, func(l valued) bool { return l.is.Marked }},
		{c.flags.Changed("drifted"), func(l valued) bool { return math.Abs(l.drift()) > float64(o.drifted) }},
		{c.flags.Changed("place"), func(l valued) bool { return inventory.HasWords(l.Place, o.place) }},
	} {
		if one.asked {
			keep = append(keep, one.meets)
		}
	}
	if c.flags.Changed("within") && !c.flags.Changed("near") {
		return nil, misused("--within says how near to --near OHMS, which is not given")
	}
	return keep, nil
}

// listOrder is the order that --sort, or else --near, asks for; nil: that of the
// drawer.
func (c *call) listOrder() (func(a, b valued) int, error) {
	near := c.options.near.value.Base
	orders := map[string]func(a, b valued) int{
		"ohms":  func(a, b valued) int { return cmp.Compare(a.is.Ohms, b.is.Ohms) },
		"id":    func(a, b valued) int { return compareIDs(a.ID, b.ID) },
		"drift": func(a, b valued) int { return cmp.Compare(math.Abs(b.drift()), math.Abs(a.drift())) }, // NaN is last
		"place": func(a, b valued) int {
			return cmp.Or(cmp.Compare(boolInt(a.Place == ""), boolInt(b.Place == "")), compareIDs(a.Place, b.Place))
		},
		"": nil,
	}
	if near > 0 {
		orders[""] = func(a, b valued) int { return cmp.Compare(math.Abs(a.is.Ohms/near-1), math.Abs(b.is.Ohms/near-1)) }
	}
	order, known := orders[c.options.sort]
	if !known {
		return nil, misused("--sort %q: one of ohms, id, drift, place", c.options.sort)
	}
	return order, nil
}

func boolInt(is bool) int {
	if is {
		return 1
	}
	return 0
}

// compareIDs puts tray 9 before tray 10: digits that stand together count as a
// number, as far as these texts go.
func compareIDs(a, b string) int {
	for a != "" && b != "" {
		x, y := leadingDigits(a), leadingDigits(b)
		if x == "" || y == "" {
			r, n := utf8.DecodeRuneInString(a)
			s, m := utf8.DecodeRuneInString(b)
			if r != s {
				return cmp.Compare(r, s)
			}
			a, b = a[n:], b[m:]
			continue
		}
		less, more := strings.TrimLeft(x, "0"), strings.TrimLeft(y, "0")
		if c := cmp.Or(cmp.Compare(len(less), len(more)), cmp.Compare(less, more)); c != 0 {
			return c
		}
		a, b = a[len(x):], b[len(y):]
	}
	return cmp.Compare(len(a), len(b))
}

// leadingDigits are the digits that a text begins with.
func leadingDigits(text string) string {
	return text[:len(text)-len(strings.TrimLeft(text, "0123456789"))]
}
