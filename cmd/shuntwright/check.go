package main

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"

	"shuntwright/cmd/shuntwright/internal/asbuilt"
	"shuntwright/cmd/shuntwright/internal/check"
	"shuntwright/cmd/shuntwright/internal/readings"
	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/meter/quantity"
)

func checkCommand() *command {
	return &command{
		name: "check", operands: "METER [READINGS]", least: 1, most: 2,
		does: "says whether the meter reads true, what is to blame, and the repair",
		more: `READINGS is a table with the columns range, reference (what was really applied)
and indicated (what the pointer showed), and if you like direction (up, down),
reference_limit and reading_limit. A value without a unit is in the range's own,
prefix included; 30.0 div is in divisions of the scale. Without READINGS they are
typed, one a line: RANGE REFERENCE INDICATED [up|down]; on a terminal the points
are asked for one by one, up and down with --sweep, and kept in METER.readings.csv
until the visit is saved. A pointer at its stop is written as >. Take them from zero to full scale, on every range. Where
something is wrong, every part by itself is held against all readings, then pairs
and more of them, and the drawer is searched for the repair.`,
		example: `shuntwright check bench.json readings.csv --reference-limit 0.5%
  the verdict on every range, the part to blame and what to put there`,
		flags: []string{"drawer", "instruments", "class", "simple", "reference-limit", "reading-limit", "temperature", "top", "parts", "within", "derate", "rated-only",
			"in", "sweep", "save", "date", "as", "history", "wait"},
		run: runCheck,
	}
}

// runCheck answers check.
func runCheck(c *call) (report.Document, error) {
	if err := c.checkFlags(); err != nil {
		return report.Document{}, err
	}
	if c.options.history {
		return c.showHistory()
	}
	s, err := c.openSetup(c.args[0], false)
	if err != nil {
		return report.Document{}, err
	}
	rr := readings.NewReader(s.Meter, c.options.referenceLimit, c.options.readingLimit)
	if c.options.in != "" {
		if err := rr.InDivisions(); err != nil {
			return report.Document{}, fmt.Errorf("%s: --in %s: %w", c.args[0], c.options.in, err)
		}
	}
	var set *readings.Set
	if len(c.args) > 1 {
		set, err = rr.ReadFile(c.files, c.args[1])
	} else {
		set, err = c.typedSet(rr, s)
	}
	if err != nil {
		return report.Document{}, err
	}
	k := c.judged(s, set, c.options.temperature.base())
	ctx, stop := c.limited()
	defer stop()
	doc, answer, err := k.Document(ctx)
	if err != nil {
		return doc, err
	}
	for i := range answer.Repair {
		r := &answer.Repair[i]
		r.Command = c.carried(r.Command)
		for n := range r.First {
			r.First[n] = c.carried(r.First[n])
		}
	}
	doc.Next = c.afterCheck(answer, doc.Good)
	if first := k.First(); first != "" && answer.Mixup == "" && !doc.Good && len(answer.Contradictions) == 0 {
		doc.Next = c.carried(first)
	}
	if k.OutOfDate() || len(c.args) > 1 && doc.Next == c.checkOf(c.args) { // the same file would say the same again
		doc.Next = c.checkOf(c.args[:1], "save", "date", "as", "temperature")
	}
	if c.options.save {
		return c.saveVisit(k, doc, answer)
	}
	if kept := c.keptPath(); kept != "" {
		doc.Closing = append(doc.Closing, "the readings are kept in "+kept+" until the visit is saved")
	}
	return doc, nil
}

// keptPath is the file that keeps what was typed in this call; empty where
// nothing was typed, or kept.
func (c *call) keptPath() string {
	if kept := readings.KeptPath(c.args[0]); len(c.args) == 1 && c.env.asks && exists(kept) {
		return kept
	}
	return ""
}

// afterCheck is the command that follows: keep what was read, take the further
// reading, or note the repair.
func (c *call) afterCheck(answer *check.Answer, good bool) string {
	again := slices.Clone(c.args)
	if kept := c.keptPath(); kept != "" {
		again = append(again, kept)
	}
	line := c.checkOf(again, "save", "date", "as", "sweep")
	if answer.Mixup != "" && !good {
		return c.carried(answer.Mixup)
	}
	if celsius := answer.Celsius; !good && celsius != nil {
		return fmt.Sprintf("%s --temperature %gC", line, *celsius)
	}
	switch {
	case good && answer.Partly:
		return line
	case good && c.options.save:
		if kept, _, err := c.keptReadings(); kept != "" || err != nil { // they are in the history alone then
			return c.carried(spelled("check", c.args[:1]) + " --history")
		}
		return c.carried(spelled("sheet", again)) + c.givenFlags(func(name string) bool { return slices.Contains(judgedBy, name) })
	case good:
		return line + " --save --as left"
	case len(answer.Contradictions) > 0 || len(answer.Diagnosis) > 0 && len(answer.Diagnosis[0].SameAs) > 0:
		return line
	case len(answer.Repair) > 0 && answer.Repair[0].Within != nil && *answer.Repair[0].Within:
		first := answer.Repair[0]
		return cmp.Or(strings.Join(first.First[:min(1, len(first.First))], ""), first.Command, line)
	}
	return cmp.Or(c.carried(answer.Measure), line)
}

// judgedBy are the flags that say how readings are judged and when they were taken.
var judgedBy = []string{"class", "reference-limit", "reading-limit", "date", "as"}

// checkOf is a check of these operands with the flags of this call but for some.
func (c *call) checkOf(operands []string, but ...string) string {
	return spelled("check", operands) + c.givenFlags(func(name string) bool { return !slices.Contains(but, name) })
}

// spelled is a command with its operands.
func spelled(command string, operands []string) string {
	line := "shuntwright " + command
	for _, word := range operands {
		line += " " + report.InShell(word)
	}
	return line
}

// checkFlags refuses flags of check that nobody can serve.
func (c *call) checkFlags() error {
	o := &c.options
	if err := c.checkSearch(); err != nil {
		return err
	}
	switch {
	case o.top < 1:
		return misused("--top %d: at least 1 row", o.top)
	case o.history && (o.save || len(c.args) > 1):
		return misused("--history shows what was saved and takes no readings; leave out %s", report.Either(o.save, "--save", "READINGS"))
	case o.in != "" && o.in != "div":
		return misused("--in %q: div belongs here; other numbers without a unit are in the range's own", o.in)
	case o.sweep && (len(c.args) > 1 || !c.env.asks):
		return misused("--sweep says which points are asked for on a terminal; leave it out where the readings come from a file or a pipe")
	case !o.save && (o.date != "" || o.as != ""):
		return misused("--date and --as go with --save")
	}
	if o.save {
		o.date = cmp.Or(o.date, time.Now().Format(time.DateOnly))
	}
	return o.checkVisit()
}

// checkVisit refuses what cannot be said of a visit: how far readings are trusted,
// its day, and whether it was before anything was done.
func (o *options) checkVisit() error {
	if err := readings.CheckLimits(o.referenceLimit, o.readingLimit); err != nil {
		return usageError{err}
	}
	if o.as != "" && o.as != readings.AsFound && o.as != readings.AsLeft {
		return misused("--as %q: found or left belongs here", o.as)
	}
	return checkDate(o.date)
}

// typedSet reads what is typed; before a person applies any voltage there is
// the caution.
func (c *call) typedSet(rr *readings.Reader, s *setup) (*readings.Set, error) {
	ask := readings.Asking{Sweep: c.options.sweep, Warn: map[int]string{}}
	if c.env.asks {
		for _, caution := range asbuilt.Cautions(s.Meter) {
			fmt.Fprintln(c.err, report.Wrap("caution: "+caution.Text, defaultWidth))
		}
		for i, r := range s.Ranges {
			if r.Unit == quantity.Volt && asbuilt.Hazardous(r.FullScale) {
				ask.Warn[i] = report.Wrap("caution: "+r.Name+": "+asbuilt.HighVoltageTest, defaultWidth) + "\n"
			}
		}
		ask.Keep = readings.KeptPath(c.args[0])
		ask.Since = c.refitted(s, writtenAt(ask.Keep)).String()
	}
	set, err := rr.ReadTyped(c.lines(), ask)
	if none := (readings.NoneGiven{}); errors.As(err, &none) {
		return nil, usageError{err}
	}
	return set, err
}
