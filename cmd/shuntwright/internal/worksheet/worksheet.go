// Package worksheet says what stands on a bench sheet: the parts and where they
// go, the wiring, the test points, what the meter will read and what happens if
// a part fails, and what readings told. Its figures are those of predict,
// protect and check.
package worksheet

import (
	"context"
	"fmt"
	"math"
	"path/filepath"
	"regexp"
	"slices"
	"strings"

	"shuntwright/cmd/shuntwright/internal/asbuilt"
	"shuntwright/cmd/shuntwright/internal/check"
	"shuntwright/cmd/shuntwright/internal/predict"
	"shuntwright/cmd/shuntwright/internal/readings"
	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/cmd/shuntwright/internal/report/sheet"
	"shuntwright/meter/quantity"
	"shuntwright/meter/wiring"
)

// Job is what a sheet is made of.
type Job struct {
	*predict.Forecast                  // with the ratings, and from and to what temperature
	Date              string           // as it was given; empty: a line to write it on
	Planned           []wiring.Network // by position, what is there before a plan is soldered; nil: it is no plan
	Wind              []string         // how wire is cut and trimmed
	Faults            []Fault          // the worst of every position
	FaultSource       string           // what feeds the faults, and which diodes are meant, in a sentence
	Stands            float64          // what the movement survives, in times its full scale

	Points *readings.Reader // fresh, for the points to test at
	Read   *readings.Set    // nil: nothing was read
	As     string           // readings.AsFound or AsLeft: the column that Read stands in
	Check  *check.Answer    // of Read
	Said   []string         // what Check comes to, in sentences
	Visits []*readings.Visit
}

// Fault is what the movement carries when a position fails on the range where
// that does most, in times its full scale.
type Fault struct {
	Position, Range, Fault string  // Fault is open or short
	Part                   string  // the one of several that does it; empty: all of it
	Times, WithDiodes      float64 // NaN: no diodes there
}

// maker is a job while its sheet is made.
type maker struct {
	*Job
	answer predict.Answer
	class  float64
	tested []point
}

// begin predicts, and chooses the points to test at.
func (j *Job) begin(ctx context.Context) (*maker, error) {
	doc, err := j.Full(ctx)
	if err != nil {
		return nil, err
	}
	m := &maker{Job: j, class: j.Class, answer: doc.Answer.(predict.Answer)}
	return m, m.choosePoints()
}

// Page makes the sheet. An error is that of ctx.
func (j *Job) Page(ctx context.Context) (sheet.Page, error) {
	m, err := j.begin(ctx)
	if err != nil {
		return sheet.Page{}, err
	}
	p := sheet.Page{Title: j.Meter.Name, Plan: j.Planned != nil, Marks: m.marks(), Facts: m.facts(), Care: []string{movementCare}}
	for _, c := range asbuilt.Cautions(m.Meter) {
		p.Danger = append(p.Danger, c.Text+".")
	}
	if asbuilt.SeparateShunts(m.Meter) {
		p.Care = append(p.Care, "The switch between shunts in one lead must make before it breaks, or be turned with the current off.")
	}
	m.spread(&p)
	return p, nil
}

// marks are what must be seen before anything else.
func (m *maker) marks() []string {
	var out []string
	if m.Planned != nil {
		out = append(out, m.planMarks()...)
	}
	if open := *m.answer.Open; len(open) > 0 {
		out = append(out, "Missing: "+report.List(open)+". These positions are open; their ranges do not read")
	}
	const most = 3
	var over []string
	for _, r := range m.answer.Ratings {
		if what := r.Beyond(); what != "" {
			over = append(over, fmt.Sprintf("%s in %s has %s", r.Part, r.Position, what))
		}
	}
	if len(over) > 0 {
		out = append(out, "Too much for its rating: "+report.Few(over, most))
	}
	var outside []string
	for _, r := range m.answer.Ranges {
		if r.Verdict == "fail" {
			outside = append(outside, fmt.Sprintf("%s (%s)", r.Range, report.PercentPair(report.Number(r.FullScaleError), report.Number(r.LimitPercent)).Text))
		}
	}
	if len(outside) > 0 {
		out = append(out, "Outside the class with these parts: "+report.Few(outside, most))
	}
	return out
}

// planMarks say that nothing is done yet, and what has to come out.
func (m *maker) planMarks() []string {
	stays := ""
	var old []string
	for i, was := range m.Planned {
		for _, l := range leavesOf(was) {
			if has(m.Networks[i], l) {
				stays = ", but what is there"
			} else {
				old = append(old, l.String()+" of "+m.Positions[i].Name)
			}
		}
	}
	out := []string{"A plan: nothing on this sheet is soldered yet" + stays}
	if len(old) > 0 {
		out = append(out, "Take out: "+report.List(old))
	}
	return out
}

// facts are what is known of the meter.
func (m *maker) facts() []sheet.Fact {
	mv := m.Meter.Movement
	current := report.Short(mv.FullScaleAmperes, quantity.Ampere)
	if limit := mv.FullScaleLimitPercent; !math.IsNaN(limit) {
		current += fmt.Sprintf(" ±%g %%", limit)
	}
	coil := report.Quantity(mv.CoilOhms, quantity.Ohm, report.Target(m.File.Coil)-1)
	coil.Text += fmt.Sprintf(" ±%s at %g °C", quantity.Format(m.Coil.LimitOhms(), quantity.Ohm, 2), mv.ReferenceCelsius)
	facts := []sheet.Fact{
		{Name: "Date", Cell: sheet.Words(m.Date)},
		{Name: "Done by"},
		{Name: "Movement", Cell: sheet.Words(current + " for the last mark")},
		{Name: "Coil", Cell: sheet.Figures(coil)},
	}
	if mv.SwampOhms > 0 {
		facts = append(facts, sheet.Fact{Name: "Swamping resistor", Cell: sheet.Words(report.Short(mv.SwampOhms, quantity.Ohm))})
	}
	if !math.IsNaN(mv.Divisions) {
		facts = append(facts, sheet.Fact{Name: "Scale", Cell: sheet.Words(fmt.Sprintf("%g divisions", mv.Divisions))})
	}
	if !math.IsNaN(m.class) {
		facts = append(facts, sheet.Fact{Name: "Class", Cell: sheet.Words(fmt.Sprintf("%g (±%g %% of full scale)", m.class, m.class))})
	}
	return append(facts, sheet.Fact{Name: "Meter file", Cell: sheet.Words(filepath.Base(m.Path))})
}

// movementCare is what spares the movement.
const movementCare = "Never put an ohmmeter across the movement, nor across parts that are joined to it: its current can bend or burn it. Never open a shunt while current flows."

// assumed is what the figures rest on.
func (m *maker) assumed() []sheet.Section {
	s := sheet.Section{Heading: "What the figures rest on", Before: []string{"Errors are (indicated − true) / full scale; ± is the 95 % limit of what was measured."}}
	warnings, assumed := m.answer.Warnings, m.answer.Assumptions
	if m.Check != nil {
		warnings, assumed = report.Unique(slices.Concat(warnings, m.Check.Warnings)), report.Unique(slices.Concat(assumed, m.Check.Assumptions))
	}
	for i, w := range warnings {
		if i == mostWarnings && i < len(warnings)-1 {
			s.Before = append(s.Before, fmt.Sprintf("And %d warnings more, which shuntwright predict and check say.", len(warnings)-i))
			break
		}
		s.Before = append(s.Before, "Warning: "+onPaper(w)+".")
	}
	if len(assumed) > 0 {
		s.Before = append(s.Before, "Taken for granted: "+onPaper(strings.Join(assumed, "; "))+".")
	}
	return []sheet.Section{s}
}

// onPaper is a text without the page of help that it names: paper has none.
func onPaper(text string) string { return helpPage.ReplaceAllString(text, "") }

var helpPage = regexp.MustCompile(`[:;] (see )?(shuntwright )?help [a-z]+`)

// mostWarnings is how many of them a sheet has room for.
const mostWarnings = 5

// unbroken is a name for a table, not too long, with a short word at its end,
// such as a unit, held to the one before it.
func unbroken(name string) string {
	const wide = 300 // some forty-five letters
	name = sheet.Fit(name, wide)
	if at := strings.LastIndex(name, " "); at > 0 && len(name)-at <= len(" mA ") {
		return name[:at] + report.Unbroken + name[at+1:]
	}
	return name
}
