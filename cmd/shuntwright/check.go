package main

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"shuntwright/cmd/shuntwright/internal/calibration"
	"shuntwright/cmd/shuntwright/internal/caution"
	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/cmd/shuntwright/internal/wording"
	"shuntwright/inventory"
	"shuntwright/meter"
	"shuntwright/meter/reading"
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
are asked for one by one. Take them from zero to full scale, on every range. Where
something is wrong, every part by itself is held against all readings, then pairs
and more of them, and the drawer is searched for the repair.`,
		example: `shuntwright check bench.json readings.csv --reference-limit 0.5%
  the verdict on every range, the part to blame and what to put there`,
		flags: []string{"drawer", "instruments", "class", "simple", "reference-limit", "reading-limit", "top", "parts", "within", "derate", "rated-only",
			"save", "date", "as", "history"},
		run: runCheck,
	}
}

// checked is a meter held against readings.
type checked struct {
	*setup
	set    *calibration.Set
	class  float64
	judged reading.Judgement
	state  meter.State
	found  reading.Diagnosis
	mended []inventory.Measured // parts that the repairs take
}

// runCheck answers check.
func runCheck(c *call) (report.Document, error) {
	if err := c.checkFlags(); err != nil {
		return report.Document{}, err
	}
	if c.options.history {
		return c.showHistory()
	}
	s, err := c.openSetup(c.args[0], c.demo)
	if err != nil {
		return report.Document{}, err
	}
	rr := calibration.NewReader(s.Meter, c.options.referenceLimit, c.options.readingLimit)
	var set *calibration.Set
	if len(c.args) > 1 {
		set, err = c.readingsOf(rr, c.args[1])
	} else {
		set, err = c.typedSet(rr, s.Meter)
	}
	if err != nil {
		return report.Document{}, err
	}
	k := c.judge(s, set)
	doc, answer, err := c.checkDocument(k)
	if err != nil || !c.options.save {
		return doc, err
	}
	return c.saveVisit(k, doc, answer)
}

// checkFlags refuses flags of check that nobody can serve.
func (c *call) checkFlags() error {
	o := &c.options
	if err := c.checkSearch(); err != nil {
		return err
	}
	if err := calibration.CheckLimits(o.referenceLimit, o.readingLimit); err != nil {
		return usageError{err}
	}
	switch {
	case o.top < 1:
		return misused("--top %d: at least 1 row", o.top)
	case o.history && (o.save || len(c.args) > 1):
		return misused("--history shows what was saved and takes no readings; leave out %s", map[bool]string{true: "--save", false: "READINGS"}[o.save])
	case o.save && o.date == "":
		return misused("--save needs the day of the readings, such as --date 2024-05-31")
	case !o.save && (o.date != "" || o.as != ""):
		return misused("--date and --as go with --save")
	case o.as != "" && o.as != calibration.AsFound && o.as != calibration.AsLeft:
		return misused("--as %q: found or left belongs here", o.as)
	case o.date != "":
		return checkDate(o.date)
	}
	return nil
}

// typedSet reads what is typed; before a person applies any voltage there is
// the caution.
func (c *call) typedSet(rr *calibration.Reader, m *meter.Meter) (*calibration.Set, error) {
	if c.env.asks {
		for _, text := range caution.Of(m) {
			fmt.Fprintf(c.err, "caution: %s\n", text)
		}
	}
	set, err := rr.ReadTyped(c.in, c.err, c.env.asks)
	if none := (calibration.NoneGiven{}); errors.As(err, &none) {
		return nil, usageError{err}
	}
	return set, err
}

// readingsOf reads the file of readings, or the demo's.
func (c *call) readingsOf(rr *calibration.Reader, path string) (*calibration.Set, error) {
	if !c.demo {
		return rr.ReadFile(path)
	}
	data, err := demoFiles.ReadFile("demo/" + path)
	if err != nil {
		return nil, err
	}
	return rr.Parse(path, data)
}

// judge holds the readings against the class and looks for the cause.
func (c *call) judge(s *setup, set *calibration.Set) *checked {
	k := &checked{setup: s, set: set, class: s.class(c), state: s.Meter.State(s.Ohms())}
	k.judged = reading.Judge(s.Ranges, set.Readings, k.class, c.options.simple)
	k.found = reading.Diagnose(reading.Case{Meter: s.Meter, State: k.state, Readings: set.Readings, Doubts: s.Doubts(k.state),
		Divisions: s.Meter.Movement.Divisions, Verdict: k.judged.Verdict})
	return k
}

// good tells whether the meter passes; one without a class, whether nothing
// is wrong with it.
func (k *checked) good() bool {
	if isNumber(k.class) {
		return k.judged.Verdict == reading.Pass
	}
	return !k.found.Wrong
}

// checkAnswer is the JSON of check.
type checkAnswer struct {
	Meter          string          `json:"meter"`
	Class          report.Maybe    `json:"class,omitempty"`
	Rule           string          `json:"rule,omitempty"`
	Ranges         []checkedRange  `json:"ranges"`
	Verdict        string          `json:"verdict,omitempty"`
	Readings       []checkedPoint  `json:"readings"`
	Diagnosis      []diagnosed     `json:"diagnosis,omitempty"`
	AsPredicted    bool            `json:"as_predicted,omitempty"`
	Contradictions []contradiction `json:"contradictions,omitempty"`
	Next           *nextReading    `json:"next_reading,omitempty"`
	Repair         []repaired      `json:"repair,omitempty"`
	CannotTell     []string        `json:"notes,omitempty"`
	Saved          string          `json:"saved,omitempty"`
	report.Notes
}

// The rules of decision, as the answer states them.
const (
	guardedRule = "pass where error and limit together stay within the class, fail where the error less its limit is outside, else undecided " +
		"(the limit as guard band on both sides: JCGM 106, ILAC-G8)"
	simpleRule = "the error alone decides, whatever its limit (simple acceptance: ILAC-G8)"
)

// rule is the rule of decision, nothing where there is no class.
func (c *call) rule(k *checked) string {
	switch {
	case !isNumber(k.class):
		return ""
	case c.options.simple:
		return simpleRule
	}
	return guardedRule
}

// checkDocument shows what was found.
func (c *call) checkDocument(k *checked) (report.Document, *checkAnswer, error) {
	answer := &checkAnswer{Meter: k.Meter.Name, Class: report.Some(k.class), Rule: c.rule(k), Verdict: k.judged.Verdict.String(), CannotTell: k.found.Notes}
	doc := report.Document{Heading: k.heading(), Good: k.good()}
	doc.Tables = append(doc.Tables, k.rangesTable(answer), k.lineTable(answer), k.pointsTable(answer))
	k.diagnosis(c.options.top, &doc, answer)
	if err := c.repair(k, &doc, answer); err != nil {
		return doc, nil, err
	}
	for _, note := range answer.CannotTell {
		doc.Closing = append(doc.Closing, "note: "+note)
	}
	if answer.Rule != "" {
		doc.Closing = append(doc.Closing, "verdict: "+answer.Rule)
	}
	answer.Cautions = caution.Of(k.Meter)
	answer.Assumptions = slices.Concat(k.readingAssumptions(), caution.Assumed(k.Setup, k.mended...))
	answer.Warnings = slices.Concat(k.contradictionWarnings(answer), k.rangeWarnings(), k.Warnings, caution.Warnings(append(k.Used(), k.mended...)))
	doc.Notes, doc.Answer = answer.Notes, answer
	return doc, answer, nil
}

// heading says the verdict in one line.
func (k *checked) heading() string {
	read := fmt.Sprintf("%s on %s", wording.Counted(len(k.set.Readings), "reading"), wording.Counted(len(k.judged.Ranges), "range"))
	if !isNumber(k.class) {
		return fmt.Sprintf("%s: %s; no class is given, so there is no verdict", k.Meter.Name, read)
	}
	return fmt.Sprintf("%s: %s in class %g: %s", k.Meter.Name, read, k.class, strings.ToUpper(k.judged.Verdict.String()))
}

// readingAssumptions says what was taken for granted about the readings.
func (k *checked) readingAssumptions() []string {
	var out []string
	if k.set.Exact {
		out = append(out, "the reference is taken as exact where neither reference_limit nor --reference-limit says how sure it is")
	}
	switch {
	case !k.set.AssumedPointer:
	case isNumber(k.Meter.Movement.Divisions):
		out = append(out, fmt.Sprintf("the pointer is read to ±%g division (common practice)", calibration.ReadDivisions))
	default:
		out = append(out, "the pointer is read to half of the last digit typed, the finest on each range: the meter file does not say how many divisions the scale has")
	}
	return out
}

// smallRatio is the ratio of class to limit below which readings hardly
// decide. IEC 60051-9 asks for 5 of the test equipment alone; here the
// pointer's reading is in the limit too.
const smallRatio = 3

// rangeWarnings says which ranges the readings do not decide, and why.
func (k *checked) rangeWarnings() []string {
	var weak, unread, open []string
	read := map[int]bool{}
	errors := make([]float64, len(k.Ranges))
	k.Meter.Errors(errors, k.state)
	for _, j := range k.judged.Ranges {
		read[j.Range] = true
		if j.Ratio < smallRatio {
			weak = append(weak, fmt.Sprintf("%s (%.1f)", k.Ranges[j.Range].Name, j.Ratio))
		}
		if math.IsNaN(errors[j.Range]) {
			open = append(open, k.Ranges[j.Range].Name)
		}
	}
	for r, one := range k.Ranges {
		if !read[r] {
			unread = append(unread, one.Name)
		}
	}
	var out []string
	if len(weak) > 0 {
		out = append(out, fmt.Sprintf("class by limit is below %d on %s: too little for a sure decision (IEC 60051-9 asks for 5 of the test equipment); "+
			"a better reference, or a pointer read more finely, would tell", smallRatio, wording.List(weak)))
	}
	if len(unread) > 0 {
		out = append(out, "not read at all: "+wording.List(unread))
	}
	if len(open) > 0 {
		out = append(out, "by the meter file a position is open on "+wording.List(open)+": these ranges take no part in the diagnosis; record what is there with shuntwright fit")
	}
	return out
}
