package main

import (
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
	"time"

	"github.com/spf13/pflag"

	"shuntwright/cmd/shuntwright/internal/asbuilt"
	"shuntwright/cmd/shuntwright/internal/report"
)

// options holds the values of all flags; a command sees those that it takes.
type options struct {
	drawer, instruments  string
	format, table        string
	noColor, full, ascii bool

	parts      int
	top        int
	within     percent
	enough     enough
	resolution percent
	sure       bool
	trim       bool
	keep       typed
	keeps      []string
	current    typed
	volts      typed
	class      percent
	timeLimit  time.Duration

	temperature, from, to typed
	sourceOhms            typed
	sensitivity, ratings  bool
	budget                bool
	trials                int
	seed                  uint64
	supply, drop          typed
	dropPercent           percent
	currentPercent        percent
	diode, across         string
	inSeries              int
	buy                   int
	buyWatts, buyVolts    typed
	series                string

	simple, save, history, sweep bool
	in                           string
	referenceLimit, readingLimit string
	date, as                     string

	derate float64
	wanted asbuilt.Wanted
	where  selections

	id, nominal, tolerance, watts, tempco, kind, place, note, instrument string
	partVolts                                                            string

	wire, wind                string
	diameter, metres, amperes typed

	accuracy          accuracy
	leads, leadsFloor typed
	wires             int

	near                     typed
	drifted                  percent
	fitted, free, unmeasured bool
	sort                     string

	columns             []string
	dryRun, skipRefused bool
	bands               string

	write         string
	wait          time.Duration
	list          bool
	output, sheet string
	force         bool

	movementSeries, movementShunt, reads string
	battery, knownFullScale              typed
	withinTolerance                      bool

	meterName, fullScale, coil, swamp, divisions, meterClass string
	fullScaleLimit, coilLimit, swampLimit, coilTemperature   string
	circuits                                                 []circuitFlag
	without, renames                                         []string
}

// common are the flags that every command takes.
var common = []string{"full", "format", "table", "no-color", "ascii"}

// parse reads the arguments behind the command's name. It tells whether help
// was asked for.
func (c *call) parse(args []string) (help bool, err error) {
	flags := c.flagSet()
	take := func(f *pflag.Flag, value string) error {
		c.given = append(c.given, givenFlag{f, value})
		return flags.Set(f.Name, value)
	}
	if err := flags.ParseAll(args, take); errors.Is(err, pflag.ErrHelp) {
		return true, nil
	} else if err != nil {
		return false, meantFlag(flags, args, err)
	}
	c.flags, c.args = flags, flags.Args()
	c.findMeter()
	return false, c.countOperands()
}

// meantFlag asks behind the error of a flag that is not there which was meant; a
// negative number was not meant as a flag.
func meantFlag(flags *pflag.FlagSet, args []string, err error) error {
	var unknown *pflag.NotExistError
	if !errors.As(err, &unknown) {
		return err
	}
	for _, arg := range args {
		if number, minus := strings.CutPrefix(arg, "-"); minus && number != "" && strings.ContainsAny(number[:1], "0123456789.,") {
			return fmt.Errorf("%q is negative; what belongs here is above zero, such as %s", arg, number)
		}
	}
	var names []string
	flags.VisitAll(func(f *pflag.Flag) { names = append(names, "--"+f.Name) })
	return fmt.Errorf("%w%s", err, report.Meant("--"+unknown.GetSpecifiedName(), names))
}

// flagSet makes the command's flags.
func (c *call) flagSet() *pflag.FlagSet {
	flags := pflag.NewFlagSet(c.command.name, pflag.ContinueOnError)
	flags.SortFlags = false
	flags.SetOutput(io.Discard)
	table := c.options.flagTable(c.command.name)
	for _, key := range append(slices.Clone(c.command.flags), common...) {
		name, _, _ := strings.Cut(key, "/")
		table[key](flags, name)
	}
	return flags
}

// countOperands refuses too few or too many operands, naming what is missing.
func (c *call) countOperands() error {
	n := len(c.args)
	switch {
	case n < c.command.least:
		missing := strings.Trim(strings.Fields(c.command.operands)[n], "[]…")
		return fmt.Errorf("%s is missing: shuntwright %s %s", missing, c.command.name, c.command.operands)
	case c.command.most >= 0 && n > c.command.most:
		return fmt.Errorf("%q is one operand too many: shuntwright %s", c.args[c.command.most],
			strings.TrimSpace(c.command.name+" "+c.command.operands))
	}
	return nil
}
