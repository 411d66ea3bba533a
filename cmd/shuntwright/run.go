package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"github.com/spf13/pflag"

	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/inventory"
	"shuntwright/inventory/safefile"
)

// The exit codes.
const (
	exitGood  = 0   // done, and the answer is good
	exitPoor  = 1   // done, and it is not
	exitWrong = 2   // the call or an input is wrong; nothing was changed
	exitEnded = 130 // ended by Ctrl-C before it was done; nothing was changed
)

// call is one call of one command: what was asked, and of whom.
type call struct {
	ctx     context.Context
	env     env
	command *command
	args    []string
	options options
	flags   *pflag.FlagSet
	given   []givenFlag // the flags in the order in which they were typed
	in      io.Reader
	out     io.Writer
	err     io.Writer
	// save writes what the command changes; it is called when the answer is
	// rendered, so that nothing is written where that fails. Nil: nothing to write.
	save func(*safefile.Change) error
	// change holds the files that the command changes; nil before hold.
	change     *safefile.Change
	typed      []string       // the arguments behind the command's name
	beside     string         // the drawer beside the meter; empty: there is none
	tookDrawer bool           // the drawer was read
	prompts    bool           // it reads lines: Ctrl-C ends these, not the call
	asFound    inventory.Part // what fit is to take into the drawer; without a reading: nothing
	files      safefile.Files // what is read; the demo hands in its own
}

// givenFlag is a flag with the text that it was given.
type givenFlag struct {
	*pflag.Flag
	text string
}

// usageError is a call that is wrong in itself: the way out is the help.
type usageError struct{ error }

// misused makes a usageError.
func misused(format string, values ...any) error {
	return usageError{fmt.Errorf(format, values...)}
}

// run does what the arguments say and returns the exit code. It touches
// nothing but its parameters and the files that they name.
func run(ctx context.Context, env env, args []string, in io.Reader, out, errs io.Writer) int {
	plain := env.plain() || slices.Contains(args, "--ascii")
	if plain {
		errs = report.PlainWriter(errs)
	}
	chosen, rest, err := choose(args)
	if err != nil {
		return complain(errs, "shuntwright", "shuntwright help", err)
	}
	c := &call{ctx: ctx, env: env, command: chosen, typed: rest, in: in, out: out, err: errs}
	name := "shuntwright " + chosen.name
	help, err := c.parse(rest)
	if err != nil {
		return complain(errs, name, name+" --help", usageError{err})
	}
	if plain && (help || c.options.format == "table") {
		c.out = report.PlainWriter(out)
	}
	if help {
		fmt.Fprint(c.out, chosen.help())
		return exitGood
	}
	code, err := c.answer()
	if err != nil {
		complain(errs, name, name+" --help", err)
	}
	return code
}

// answer runs the command and renders what it says.
func (c *call) answer() (int, error) {
	style := report.Style{
		Format: c.options.format,
		Table:  c.options.table,
		Color:  c.env.color() && !c.options.noColor,
		Width:  c.env.width(),
		Full:   c.options.full,
		Plain:  c.env.plain() || c.options.ascii,
	}
	if err := checkStyle(style); err != nil {
		return exitWrong, err
	}
	defer c.letGo()
	doc, err := c.command.run(c)
	ended := c.ctx.Err() != nil && !c.prompts
	if ended && (err != nil || c.save != nil) {
		return exitEnded, errors.New("interrupted; nothing was written")
	}
	if err != nil {
		return exitWrong, err
	}
	doc = c.besideMeter(doc)
	if doc.Next == "" {
		doc.Next = c.onwards()
	}
	doc.Next = c.carried(doc.Next)
	for _, sentences := range [][]string{doc.BottomLine, doc.Closing} {
		for i, s := range sentences {
			sentences[i] = c.carriedBelow(s)
		}
	}
	var out, aside bytes.Buffer
	if err := report.Render(&out, &aside, doc, style); err != nil {
		return exitWrong, err
	}
	if err := c.commit(); err != nil {
		return exitWrong, err
	}
	err = errors.Join(copyTo(c.out, &out), copyTo(c.err, &aside))
	if ended {
		return exitEnded, err
	}
	if !doc.Good || err != nil {
		return exitPoor, err // what was to be written is
	}
	return exitGood, nil
}

// copyTo passes on what was rendered.
func copyTo(w io.Writer, rendered *bytes.Buffer) error {
	if _, err := rendered.WriteTo(w); err != nil {
		return fmt.Errorf("writing the answer: %w", err)
	}
	return nil
}

// checkStyle refuses a wrong --format before anything is done or written.
func checkStyle(style report.Style) error {
	if slices.Contains(report.Formats, style.Format) {
		return nil
	}
	return misused("unknown --format %q: one of %s", style.Format, strings.Join(report.Formats, ", "))
}

// complain writes the error in one line, and the way out in a second where the
// call itself is wrong.
func complain(errs io.Writer, who, way string, err error) int {
	if said := (alreadySaid{}); errors.As(err, &said) {
		return exitWrong
	}
	fmt.Fprintf(errs, "%s: %s\n", who, report.Harmless(strings.ReplaceAll(err.Error(), "\n", " ")))
	if usage := (usageError{}); errors.As(err, &usage) {
		fmt.Fprintf(errs, "see: %s\n", way)
	}
	return exitWrong
}
