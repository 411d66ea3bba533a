package main

import (
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"shuntwright/cmd/shuntwright/internal/lines"
	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/inventory/instrument"
	"shuntwright/meter"
	"shuntwright/meter/meterfile"
	"shuntwright/meter/quantity"
)

// question is one thing that meter new asks.
type question struct {
	prompt string
	to     *string
	check  func(string) error
}

// askMeter asks a person for everything that the flags would say.
func (c *call) askMeter() error {
	o := &c.options
	in := c.lines()
	quantityOf := func(unit quantity.Unit, sign quantity.Sign, needed bool) func(string) error {
		return func(text string) error {
			if text == "" && !needed {
				return nil
			}
			_, err := quantity.Parse(text, unit, sign)
			return err
		}
	}
	questions := []question{
		{"name of the meter", &o.meterName, nil},
		{"full-scale current of the movement, such as 1 mA or 50 uA", &o.fullScale, fullScaleCurrent},
		{"coil resistance in ohms, as measured (never with an ohmmeter across the movement: its current can destroy it)", &o.coil, quantityOf(quantity.Ohm, quantity.Positive, true)},
		{"name of the instrument that measured the coil, as drawer instrument calls it (empty: none is named)", &o.instrument, optionalName},
		{"limit of the full-scale current in percent (empty: taken as exact)", &o.fullScaleLimit, quantityOf(quantity.Percent, quantity.NotNegative, false)},
		{"limit of the coil resistance, such as 0.5 % + 1 count (empty: what that instrument promises)", &o.coilLimit, optionalAccuracy},
		{"swamping resistor in ohms (empty: none)", &o.swamp, quantityOf(quantity.Ohm, quantity.NotNegative, false)},
		{"divisions of the scale (empty: not known)", &o.divisions, quantityOf(quantity.Division, quantity.Positive, false)},
		{"accuracy class in percent (empty: none)", &o.meterClass, optionalClass},
	}
	for _, q := range questions {
		if err := c.ask(in, q); err != nil {
			return err
		}
	}
	for {
		for _, kind := range meter.Kinds() {
			if err := c.askRanges(in, kind); err != nil {
				return err
			}
		}
		if len(o.circuits) > 0 {
			return nil
		}
		in.Say("  no range is given; a meter needs at least one\n")
	}
}

// optionalClass takes an accuracy class, or nothing.
func optionalClass(text string) error {
	if text == "" {
		return nil
	}
	if _, err := quantity.Parse(text, quantity.Percent, quantity.Positive); err != nil {
		return err
	}
	p := percent(0)
	return atMost{&p, meterfile.MostClass, classHint}.Set(text)
}

// optionalName takes the name of an instrument, or nothing.
func optionalName(text string) error {
	if text == "" {
		return nil
	}
	return instrument.ValidName(text)
}

// optionalAccuracy takes an accuracy, or nothing.
func optionalAccuracy(text string) error {
	if text == "" {
		return nil
	}
	_, err := parseAccuracy(text)
	return err
}

// askRanges asks for the ranges of one kind of circuit, again and again where
// every range needs more than its text.
func (c *call) askRanges(in *lines.Reader, kind meter.Kind) error {
	units := map[quantity.Unit]string{quantity.Ampere: "current", quantity.Volt: "voltage"}
	var words []string
	for _, u := range kind.Units {
		words = append(words, units[u])
	}
	prompt := fmt.Sprintf("%s ranges %s, such as %s (empty: none)", strings.Join(words, " or "), kind.Does, kind.Example)
	for {
		text := ""
		err := c.ask(in, question{prompt, &text, func(text string) error {
			if text == "" {
				return nil
			}
			_, err := describeCircuits(append(slices.Clone(c.options.circuits), circuitFlag{kind.Name, text}))
			return err
		}})
		if err != nil || text == "" {
			return err
		}
		c.options.circuits = append(c.options.circuits, circuitFlag{kind.Name, text})
		if kind.Needs == "" {
			return nil
		}
		prompt = "another such range (empty: none)"
	}
}

// ask puts one question until the answer can be read.
func (c *call) ask(in *lines.Reader, q question) error {
	for {
		line, err := in.Next(report.Wrap(q.prompt+":", c.env.width()-10) + " ") // room for the answer
		switch {
		case errors.Is(err, io.EOF):
			return misused("the answers ended before all was asked; nothing is written")
		case err != nil && !errors.Is(err, lines.ErrTooLong):
			return err
		}
		if q.to != nil {
			*q.to = line
		}
		if err == nil && q.check != nil {
			err = q.check(line)
		}
		if err == nil {
			return nil
		}
		in.Say("  " + report.Wrap(err.Error(), c.env.width()-2) + "\n")
	}
}
