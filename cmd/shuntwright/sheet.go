package main

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"shuntwright/cmd/shuntwright/internal/plan"
	"shuntwright/cmd/shuntwright/internal/readings"
	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/cmd/shuntwright/internal/report/sheet"
	"shuntwright/cmd/shuntwright/internal/worksheet"
	"shuntwright/inventory/safefile"
	"shuntwright/meter/quantity"
	"shuntwright/meter/wiring"
)

func sheetCommand() *command {
	return &command{
		name: "sheet", operands: "METER [READINGS]", least: 1, most: 2,
		does: "writes a bench sheet to print and keep with the set: parts, wiring, test points",
		more: `One HTML file that fetches nothing: open it in a browser and print it, on one or
two pages. It says which part of which tray goes where, how everything is wired,
what to apply and what the pointer must show, what the parts have to bear, and what
a failing part does. With READINGS, as for check, the table is filled in, the error
over the scale is drawn, and the diagnosis is said; visits that check --save wrote
are drawn too. shuntwright plan METER --sheet FILE does it for a plan, before
anything is soldered.`,
		example: `shuntwright sheet bench.json --date 2024-05-31
  bench.html, the sheet of the meter with what is fitted`,
		flags: []string{"drawer", "instruments", "output", "force", "date/sheet", "as/sheet", "class", "reference-limit", "reading-limit",
			"from", "to", "supply", "source-ohms", "diode"},
		run: runSheet,
	}
}

// sheetAnswer is the JSON of sheet.
type sheetAnswer struct {
	Meter   string   `json:"meter"`
	Written string   `json:"written"`
	Open    []string `json:"open,omitempty"`
	Class   *float64 `json:"class,omitempty"`
	Verdict string   `json:"verdict,omitempty"`
	report.Notes
}

// runSheet answers sheet.
func runSheet(c *call) (report.Document, error) {
	path := c.options.output
	if path == "" {
		path = strings.TrimSuffix(c.args[0], filepath.Ext(c.args[0])) + ".html"
	}
	if err := c.checkSheet(path); err != nil {
		return report.Document{}, err
	}
	s, err := c.openSetup(c.args[0], false)
	if err != nil {
		return report.Document{}, err
	}
	job, err := c.sheetJob(s, nil)
	if err != nil {
		return report.Document{}, err
	}
	doc, answer := job.Document()
	for i := range answer.Positions {
		if w, is := plan.Fitted(s.Setup, i); is {
			p := &answer.Positions[i]
			job.Wind = append(job.Wind, w.Words(p.Position, report.Number(p.LimitPercent)))
		}
	}
	out := sheetAnswer{Meter: s.Meter.Name, Written: path, Open: *answer.Open, Class: answer.Class, Notes: answer.Notes}
	good := doc.Good
	if len(c.args) > 1 {
		checked, err := c.readOnSheet(s, job)
		if err != nil {
			return report.Document{}, err
		}
		good, out.Verdict = checked, job.Check.Verdict
	}
	if err := c.saveSheet(path, job); err != nil {
		return report.Document{}, err
	}
	doc = report.Document{Heading: "written: " + path + ", the bench sheet of " + s.Meter.Name, Good: good, Answer: out}
	if len(out.Open) > 0 {
		doc.BottomLine = append(doc.BottomLine, "missing: "+report.List(out.Open))
	}
	if out.Verdict != "" {
		doc.BottomLine = append(doc.BottomLine, "verdict: "+out.Verdict+job.Check.Part())
	}
	switch doc.Notes.Cautions = answer.Cautions; {
	case len(out.Open) > 0:
		doc.Next = "shuntwright plan " + report.InShell(c.args[0])
	case len(c.args) == 1:
		doc.Next = "shuntwright check " + report.InShell(c.args[0])
	default:
		doc.Next = c.afterSheet(good && !job.Check.Partly)
	}
	return doc, nil
}

// afterSheet is the command that judges the readings of a sheet in full, and
// keeps those that are good.
func (c *call) afterSheet(good bool) string {
	asked := []string{"class", "reference-limit", "reading-limit"}
	next := fmt.Sprintf("shuntwright check %s %s", report.InShell(c.args[0]), report.InShell(c.args[1]))
	if good {
		asked, next = append(asked, "date", "as"), next+" --save"
	}
	return next + c.givenFlags(func(name string) bool { return slices.Contains(asked, name) })
}

// checkSheet refuses flags of a sheet that nobody can serve, and a file that is
// there already.
func (c *call) checkSheet(path string) error {
	o := &c.options
	if err := o.checkVisit(); err != nil {
		return err
	}
	if from, to := o.from.or(sheetCold), o.to.or(sheetWarm); !(from < to) {
		return misused("--from %g --to %g: the first must be the colder one", from, to)
	}
	return c.mayWrite(path)
}

// The temperatures of a sheet where no flags say others, in °C.
const (
	sheetCold = 0
	sheetWarm = 45
)

// sheetJob collects what a sheet needs but for readings; planned is what was in
// every position before a plan, nil where it is none.
func (c *call) sheetJob(s *setup, planned []wiring.Network) (*worksheet.Job, error) {
	o := &c.options
	if o.diode == "" {
		o.diode = usualDiode
	}
	o.across, o.inSeries = "movement", 1
	job := &worksheet.Job{Forecast: c.forecast(s), Date: o.date, Planned: planned, As: o.as,
		Points: readings.NewReader(s.Meter, o.referenceLimit, o.readingLimit), Stands: momentary}
	job.FromCelsius, job.ToCelsius = o.from.or(sheetCold), o.to.or(sheetWarm)
	job.Ratings, job.Celsius = true, math.NaN()
	if job.As == "" {
		job.As = readings.AsLeft
	}
	var err error
	if job.Faults, job.FaultSource, err = c.sheetFaults(s); err != nil {
		return nil, err
	}
	h, err := readHistory(s.Path)
	if err == nil && h.data != nil {
		job.Visits, err = h.Visits(s.Meter)
	}
	return job, err
}

// sheetFaults are what protect says, of parts that fail, and what that rests on.
func (c *call) sheetFaults(s *setup) ([]worksheet.Fault, string, error) {
	clamp, err := c.clamp()
	if err != nil {
		return nil, "", err
	}
	supply := c.supply()
	state, _ := s.builtState()
	w := wreck{c: c, s: s, clamp: clamp}
	if err := w.fail(state, supply); err != nil {
		return nil, "", inFile(s.Path, err)
	}
	var out []worksheet.Fault
	all := w.worstFirst()
	for _, f := range all {
		does := f.single()
		if slices.ContainsFunc(all, func(o fault) bool { return o.Position == f.Position && o.single().last() > does.last() }) {
			continue // it can fail in a worse way
		}
		one := worksheet.Fault{Position: f.Position, Range: f.Range, Fault: f.Fault, Times: does.Times, WithDiodes: math.NaN()}
		if len(f.Parts) > 1 && f.Fault == "short" {
			one.Part = f.WorstPart
		}
		if does.WithDiodes != nil {
			one.WithDiodes = *does.WithDiodes
		}
		out = append(out, one)
	}
	return out, fmt.Sprintf("In times full scale, of which a moving coil stands %d for a moment (common practice): as drawn, and with diodes, a %s each way across it. Fed by full scale on voltage ranges, on others by the voltage of the lead, %s where that is not known.",
		momentary, c.options.diode, quantity.Format(supply, quantity.Volt, 3)), nil
}

// readOnSheet puts readings and what they tell on the sheet; it reports whether
// the meter is good.
func (c *call) readOnSheet(s *setup, job *worksheet.Job) (bool, error) {
	o := &c.options
	o.top, o.parts, o.within, o.derate = 3, 2, 20, 0.5
	set, err := readings.NewReader(s.Meter, o.referenceLimit, o.readingLimit).ReadFile(c.files, c.args[1])
	if err != nil {
		return false, err
	}
	doc, answer, err := c.judged(s, set, math.NaN()).Document(c.ctx)
	job.Read, job.Check, job.Said = set, answer, append(doc.Raised, doc.BottomLine...)
	return doc.Good, err
}

// saveSheetOfPlan has the sheet of a plan written.
func (c *call) saveSheetOfPlan(s *setup, made *planned) error {
	before := slices.Clone(made.Before)
	for _, w := range made.wound.done {
		before[w.Position] = wiring.Network{} // wire is put in before the search
	}
	job, err := c.sheetJob(s, before)
	if err != nil {
		return err
	}
	_, answer := job.Document()
	for _, w := range made.wound.done {
		p := &answer.Positions[w.Position]
		job.Wind = append(job.Wind, w.Words(p.Position, report.Number(p.LimitPercent)))
	}
	return c.saveSheet(c.options.sheet, job)
}

// mayWrite refuses a file that is there, unless --force says to replace it.
func (c *call) mayWrite(path string) error {
	info, err := os.Stat(path)
	switch {
	case err != nil:
		return nil
	case info.IsDir():
		return fmt.Errorf("%q is a folder; name a file in it", path)
	case !info.Mode().IsRegular():
		return fmt.Errorf("%q is not an ordinary file; name another", path)
	case !c.options.force:
		return fmt.Errorf("%q is there already and stays as it is; name another file, or replace it with --force", path)
	}
	return nil
}

// write has a file written when the command is through, in place of one that is
// there.
func (c *call) write(path string, data []byte) {
	c.save = func(in *safefile.Change) error {
		_, stamp, err := safefile.Read(path)
		if err != nil && !errors.Is(err, fs.ErrNotExist) {
			return err
		}
		return in.Write(path, data, stamp)
	}
}

// saveSheet makes the sheet and has it written.
func (c *call) saveSheet(path string, job *worksheet.Job) error {
	page, err := job.Page(c.ctx)
	if err != nil {
		return err
	}
	var out bytes.Buffer
	if err := page.Write(&out); err != nil {
		return err
	}
	c.write(path, out.Bytes())
	return nil
}

// saveDrawing has the wiring of a meter written as SVG.
func (c *call) saveDrawing(s *setup) error {
	c.write(c.options.output, []byte(sheet.Together(s.Meter.Name, worksheet.Wiring(s.Setup))))
	return c.mayWrite(c.options.output)
}
