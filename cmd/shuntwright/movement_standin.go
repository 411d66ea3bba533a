package main

import (
	"fmt"
	"math"
	"strings"

	"shuntwright/cmd/shuntwright/internal/asbuilt"
	"shuntwright/cmd/shuntwright/internal/movement"
	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/inventory"
	"shuntwright/meter/quantity"
)

func movementStandInCommand() *command {
	return &command{
		name: "movement stand-in", operands: "OLD NEW", least: 2, most: 2,
		does: "two resistors that make a new movement look like the old one",
		more: `OLD and NEW are meter files, or full scale and coil in words: "1 mA, 98.6 ohm". With one
resistor in series and one across, scale, shunts and multipliers stay as they are. That goes
where the new movement needs less current and less voltage; where one of them is the same, one
resistor is enough. The drawer, where there is one, is searched for both resistors at once.`,
		example: `shuntwright movement stand-in "1 mA, 98.6 ohm" "500 uA, 150 ohm"
  both ways of connecting them, the parts, and which comes closer`,
		flags: []string{"drawer", "instruments", "instrument", "parts", "within", "resolution", "derate", "rated-only", "only", "exclude", "time-limit"},
		run:   runStandIn,
	}
}

// runStandIn answers movement stand-in.
func runStandIn(c *call) (report.Document, error) {
	if err := c.checkSearch(); err != nil {
		return report.Document{}, err
	}
	b, err := c.benchFor(false)
	if err != nil {
		return report.Document{}, err
	}
	s := movement.StandIn{Bench: b, AtMost: c.options.parts, Within: float64(c.options.within) / 100, Derate: c.options.derate, Step: float64(c.options.resolution)}
	var assumed []string
	for i, to := range []*movement.Side{&s.Old, &s.New} {
		about, err := c.side(to, b, c.args[i])
		if err != nil {
			return report.Document{}, err
		}
		assumed = append(assumed, about...)
	}
	if s.Chosen, err = b.Choose(nil, c.options.wanted); err != nil {
		return report.Document{}, err
	}
	ctx, stop := c.limited()
	defer stop()
	return s.Document(ctx, assumed)
}

// side reads one movement, from a meter file or typed.
func (c *call) side(to *movement.Side, b *asbuilt.Bench, text string) (assumed []string, err error) {
	current, coil, typed := strings.Cut(text, ",")
	if !typed {
		return c.sideOfFile(to, b, text)
	}
	amperes, err := quantity.Parse(strings.TrimSpace(current), quantity.Ampere, quantity.Positive)
	if err == nil {
		err = fullScaleCurrent(strings.TrimSpace(current))
	}
	if err != nil {
		return nil, misused("movement %q: %w", text, err)
	}
	ohms, err := quantity.Parse(strings.TrimSpace(coil), quantity.Ohm, quantity.Positive)
	if err != nil {
		return nil, misused("movement %q: %w", text, err)
	}
	m, err := b.Instruments.AsItStands(asbuilt.Unlisted(ohms, c.options.instrument)) // like the coil of a meter file
	if err != nil {
		return nil, misused("movement %q: %w", text, err)
	}
	*to = movement.SideOf(amperes.Base, 0, m)
	return append(asbuilt.Assumptions([]inventory.Measured{m}), exactCurrent), nil
}

// exactCurrent is what is assumed of a full-scale current without a limit.
const exactCurrent = "full-scale currents without a limit: exact"

// sideOfFile reads a movement from a meter file.
func (c *call) sideOfFile(to *movement.Side, b *asbuilt.Bench, path string) (assumed []string, err error) {
	file, _, _, err := c.readMeter(path)
	if err != nil {
		return nil, err
	}
	m, err := asbuilt.MeasureCoil(b.Instruments, path, file)
	if err != nil {
		return nil, err
	}
	mv := file.Meter.Movement
	limit := mv.FullScaleLimitPercent
	assumed = asbuilt.Assumptions([]inventory.Measured{m})
	if math.IsNaN(limit) {
		limit, assumed = 0, append(assumed, exactCurrent)
	}
	if mv.SwampOhms > 0 {
		assumed = append(assumed, fmt.Sprintf("%s: the coil alone, without its swamping resistor", path))
	}
	*to = movement.SideOf(mv.FullScaleAmperes, limit, m)
	to.From = path
	return assumed, nil
}
