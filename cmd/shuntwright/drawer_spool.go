package main

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/inventory"
	"shuntwright/meter/quantity"
)

// addsSpool tells a call that adds wire from one that adds resistors.
func (c *call) addsSpool() bool {
	return slices.ContainsFunc([]string{"wire", "diameter", "metres", "amperes"}, c.flags.Changed) || len(c.args) == 1 && strings.HasSuffix(strings.ToLower(strings.TrimSpace(c.args[0])), "/m")
}

// runAddSpool adds a spool of wire, measured or by its alloy and diameter.
func runAddSpool(c *call, like inventory.Part) (report.Document, error) {
	p, err := c.spool(like)
	if err != nil {
		return report.Document{}, err
	}
	return c.changeDrawer("added", func(d *inventory.Drawer) (drawerChange, error) {
		p, err := d.Add(p)
		return drawerChange{parts: []inventory.Part{p}}, err
	})
}

// spool is the wire that the call describes.
func (c *call) spool(p inventory.Part) (inventory.Part, error) {
	o := &c.options
	byAlloy := c.flags.Changed("wire") || c.flags.Changed("diameter")
	p.Metres, p.Amperes = o.metres.base(), o.amperes.base()
	var err error
	switch {
	case !c.flags.Changed("metres"):
		err = misused("a spool of wire needs its length: --metres 5")
	case byAlloy && len(c.args) > 0:
		err = misused("%q beside --wire: give the wire's ohms per metre as measured, or its --wire and --diameter", c.args[0])
	case byAlloy && !(c.flags.Changed("wire") && c.flags.Changed("diameter")):
		err = misused("--wire ALLOY and --diameter belong together; the alloys are %s", strings.Join(inventory.AlloyNames(), ", "))
	case byAlloy:
		err = o.byAlloy(&p)
	case len(c.args) != 1:
		err = misused("a spool is one VALUE in ohms per metre, such as \"9.98 ohm/m\", or --wire and --diameter")
	case !strings.HasSuffix(strings.ToLower(strings.TrimSpace(c.args[0])), "/m"):
		err = misused("%q beside --metres: of one metre, or of all of it? write \"%s/m\", or what a metre of it has", c.args[0], c.args[0])
	default:
		p.Ohms, err = quantity.Parse(c.args[0], quantity.OhmPerMetre, quantity.Positive)
		if err != nil {
			err = misused("%w", err)
		}
	}
	return p, err
}

// byAlloy works a spool out from what its wire is made of.
func (o *options) byAlloy(p *inventory.Part) error {
	alloy, err := inventory.FindAlloy(o.wire)
	if err != nil {
		return misused("--wire: %w", err)
	}
	per, err := alloy.OhmsPerMetre(o.diameter.base())
	if err != nil {
		return misused("--diameter %s: %w; write such as 0.25mm", o.diameter.value.Text, err)
	}
	p.Ohms, err = quantity.Parse(strconv.FormatFloat(per, 'g', 4, 64)+" ohm/m", quantity.OhmPerMetre, quantity.Positive)
	if err != nil {
		return fmt.Errorf("wire: %w", err)
	}
	p.TolerancePercent = alloy.LimitPercent
	p.TempcoPPM, p.TempcoSigned = alloy.TempcoPPM, alloy.TempcoSigned
	if p.Kind == "" {
		p.Kind = fmt.Sprintf("%s wire %g mm", alloy.Name, math.Round(o.diameter.base()*1e6)/1e3)
	}
	if p.Note == "" {
		p.Note = fmt.Sprintf("by table, ±%g %% until it is trimmed", alloy.LimitPercent)
	}
	return nil
}
