package main

import (
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"shuntwright/cmd/shuntwright/internal/entry"
	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/meter"
	"shuntwright/meter/quantity"
)

// question is one thing that a person is asked: the answer so far is kept in to,
// and check refuses a text that is wrong.
type question struct {
	prompt string
	to     *string
	needed bool
	check  func(string) error
}

// errBack is the answer of somebody who wants the question before once more.
var errBack = errors.New("back")

// meterKeys are what an answer may be besides; ? says them again.
const meterKeys = `  b goes back one question; Enter keeps what stands in brackets, - empties it;
  Ctrl-D ends, and prints the call so far; ? says this again
`

// askMeter asks a person for everything that the flags would say.
func (c *call) askMeter() error {
	in := c.lines()
	in.Say(meterKeys)
	var ask []func() error
	for _, f := range slices.DeleteFunc(c.options.meterFields(), func(f meterField) bool { return f.prompt == "" }) {
		check := f.check
		if f.flag == "instrument" {
			check = func(text string) error {
				if err := f.check(text); err != nil {
					return err
				}
				_, err := c.undescribed(text)
				return err
			}
		}
		ask = append(ask, func() error { return c.ask(in, question{f.prompt, f.to, f.needed, check}) })
	}
	for _, kind := range meter.Kinds() {
		ask = append(ask, func() error { return c.askRanges(in, kind) })
	}
	ask = append(ask, func() error {
		return c.askField(in, "with-ring", "%[2]s: range of the ring that it feeds, such as %[1]s, where the ring stays across the movement on volts (empty: it is switched out)", "multiplier", "chain")
	}, func() error {
		return c.askField(in, "circuit-volts", "%[2]s: voltage to earth of the lead that it sits in, such as 450 V (empty: harmless)", "shunt", "external-shunt")
	})
	for at := 0; at < len(ask); {
		switch err := ask[at](); {
		case errors.Is(err, errBack):
			at = max(0, at-1)
		case err != nil:
			return err
		default:
			at++
		}
		if at == len(ask) && len(c.options.circuits) == 0 {
			in.Say("  no range is given; a meter needs at least one\n")
			at -= len(meter.Kinds()) + 2
		}
	}
	return nil
}

// askRanges asks for the ranges of one kind of circuit, again and again where
// every range needs more than its text.
func (c *call) askRanges(in *entry.Reader, kind meter.Kind) error {
	units := map[quantity.Unit]string{quantity.Ampere: "current", quantity.Volt: "voltage"}
	var words []string
	for _, u := range kind.Units {
		words = append(words, units[u])
	}
	prompt := fmt.Sprintf("%s ranges %s, such as %s (empty: none)", strings.Join(words, " or "), kind.Does, kind.Example)
	o := &c.options
	before := ""
	for _, f := range o.circuits {
		if f.kind == kind.Name {
			before = f.text
		}
	}
	o.circuits = slices.DeleteFunc(o.circuits, func(f circuitFlag) bool { return f.kind == kind.Name }) // asked for anew
	for {
		text := ""
		if kind.Needs == "" {
			text = before
		}
		err := c.ask(in, question{prompt, &text, false, func(text string) error {
			return c.tryMeter(append(slices.Clone(o.circuits), circuitFlag{kind.Name, text}))
		}})
		if err != nil || text == "" {
			return err
		}
		o.circuits = append(o.circuits, circuitFlag{kind.Name, text})
		if kind.Needs == "" {
			return nil
		}
		prompt = "another such range (empty: none)"
	}
}

// askField asks for a field of the circuits of some kinds that do not say it. The
// prompt has the first range of a ring, and the circuit; of a ring it is asked
// only where there is one.
func (c *call) askField(in *entry.Reader, key, prompt string, kinds ...string) error {
	all := c.options.circuits
	ring := ""
	if at := slices.IndexFunc(all, func(f circuitFlag) bool { return f.kind == "ring" }); at >= 0 {
		ring, _, _ = strings.Cut(all[at].text, ",")
	}
	for i, f := range all {
		if !slices.Contains(kinds, f.kind) || strings.Contains(f.text, key+"=") || key == "with-ring" && ring == "" {
			continue
		}
		with := func(text string) circuitFlag { return circuitFlag{f.kind, f.text + "," + key + "=" + text} }
		text := ""
		err := c.ask(in, question{fmt.Sprintf(prompt, ring, f.kind+" "+f.text), &text, false, func(text string) error {
			return c.tryMeter(slices.Replace(slices.Clone(all), i, i+1, with(text)))
		}})
		if err != nil {
			return err
		}
		if text != "" {
			all[i] = with(text)
		}
	}
	return nil
}

// tryMeter refuses circuits that a meter file cannot hold, that the movement cannot
// serve, or that name an instrument which is not described.
func (c *call) tryMeter(circuits []circuitFlag) error {
	trial := &call{options: c.options}
	trial.options.circuits = circuits
	_, file, err := trial.newMeter("the meter")
	if err == nil {
		_, err = c.undescribed(namedIn(file)...)
	}
	return err
}

// ask puts one question until the answer can be read.
func (c *call) ask(in *entry.Reader, q question) error {
	about := q.to != nil // of the meter, which remembers
	if !about {
		q.to = new(string)
	}
	for {
		prompt := q.prompt
		if *q.to != "" {
			prompt += " [" + *q.to + "]"
		}
		line, err := in.Next(report.Wrap(prompt+":", c.env.width()-10) + " ") // room for the answer
		switch {
		case errors.Is(err, io.EOF) && about:
			return c.ended()
		case errors.Is(err, io.EOF):
			return misused("the answers ended before all was asked; nothing is written")
		case errors.Is(err, entry.ErrTooLong): // said below
		case err != nil:
			return err
		case line == "b" && about:
			return errBack
		case line == "?":
			in.Say(report.Either(about, meterKeys, "  Enter leaves it out, where it may be; Ctrl-D ends, and nothing is written\n"))
			continue
		case line == "" && *q.to != "":
			return nil
		case line == "-" && !q.needed:
			line = ""
		case line == "" && q.needed:
			err = errors.New("this cannot be left out")
		case line != "" && q.check != nil:
			err = q.check(line)
		}
		if err == nil {
			*q.to = line
			return nil
		}
		in.Say("  " + report.Wrap(err.Error(), c.env.width()-2) + "\n")
	}
}

// ended is the error of answers that end too early: the call that goes on from
// there, so that nothing is typed twice.
func (c *call) ended() error {
	call := "shuntwright meter new"
	for _, f := range c.options.meterFields() {
		if *f.to != "" {
			call += fmt.Sprintf(" --%s %s", f.flag, report.InShell(*f.to))
		}
	}
	for _, f := range c.options.circuits {
		call += fmt.Sprintf(" --%s %s", f.kind, report.InShell(f.text))
	}
	return misused("the answers ended before the meter was described; so far they are %s %s", call, report.InShell(c.args[0]))
}
