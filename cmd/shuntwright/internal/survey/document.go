package survey

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"shuntwright/cmd/shuntwright/internal/asbuilt"
	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/inventory"
	"shuntwright/meter/quantity"
)

// answer is the JSON of survey.
type answer struct {
	Parts      []partAnswer `json:"parts"`
	In         int          `json:"in"`
	Out        int          `json:"out"`
	Undecided  int          `json:"undecided"`
	Unmeasured int          `json:"unmeasured,omitempty"`
	Proven     *bool        `json:"proven,omitempty"` // of the replacements
	report.Notes
}

// partAnswer is one part of the set; Network and what follows is what takes the
// place of one that is out.
type partAnswer struct {
	Ref              string       `json:"ref"`
	NominalOhms      float64      `json:"nominal_ohms"`
	TolerancePercent float64      `json:"tolerance_percent"`
	MeasuredOhms     report.Maybe `json:"measured_ohms,omitempty"`
	DriftPercent     report.Maybe `json:"drift_percent,omitempty"`
	LimitPercent     report.Maybe `json:"limit_percent,omitempty"`
	Open             bool         `json:"open,omitempty"`
	Verdict          string       `json:"verdict,omitempty"`
	Network          string       `json:"network,omitempty"`
	Parts            []string     `json:"parts,omitempty"`
	Ohms             report.Maybe `json:"ohms,omitempty"`
	ErrorPercent     report.Maybe `json:"error_percent,omitempty"`
}

// Document shows the set, and what takes the place of what is out. file is the
// list, for the command that comes next.
func (s *Survey) Document(file string) report.Document {
	answer := &answer{Parts: []partAnswer{}, In: s.count(verdictIn), Out: s.count(verdictOut), Undecided: s.count(verdictUndecided), Unmeasured: s.count("")}
	table, found := partsTable(), replacementsTable()
	var used []inventory.Measured
	for _, p := range s.Parts {
		answer.Parts = append(answer.Parts, p.answer())
		table.Rows = append(table.Rows, p.row())
		if p.Verdict != "" && !p.Open {
			used = append(used, p.Measured)
		}
		if p.Verdict == verdictOut {
			found.Rows = append(found.Rows, s.replacement(p))
		}
		for _, l := range p.Leaves {
			used = append(used, l.Measured)
		}
	}
	doc := report.Document{Heading: s.heading(answer), Tables: []report.Table{table}, Answer: answer, Good: answer.Out == 0}
	if answer.Out > 0 && len(s.Chosen) > 0 {
		doc.Tables = append(doc.Tables, found)
		answer.Proven = &s.Proven
	}
	doc.BottomLine = s.bottomLine()
	doc.Closing = s.closing()
	answer.Assumptions = append(asbuilt.Assumptions(used), s.usualRatings()...)
	answer.Warnings = append(asbuilt.Warnings(used), s.unrated()...)
	if doc.Next = s.next(file); strings.HasPrefix(doc.Next, takesOut) {
		doc.Closing = append(doc.Closing, "solder first: the next command takes these parts out of the drawer")
	}
	doc.Notes = answer.Notes
	return doc
}

// heading counts the verdicts.
func (s *Survey) heading(a *answer) string {
	words := fmt.Sprintf("%d of %s out of tolerance", a.Out, report.Counted(len(s.Parts), "part"))
	if worst := s.worst(); worst != nil && !math.IsNaN(worst.Drift) {
		words += fmt.Sprintf(" (%s %s)", worst.Ref, report.PercentError(worst.Drift, worst.Limit.Limit).Text)
	}
	for _, more := range []struct {
		n    int
		word string
	}{{a.Undecided, "undecided"}, {a.In, "in"}, {a.Unmeasured, "not measured"}} {
		if more.n > 0 {
			words += fmt.Sprintf(", %d %s", more.n, more.word)
		}
	}
	return words
}

// worst is the part that has drifted most of those that are out, nil where none
// is; one that is open comes before all.
func (s *Survey) worst() *Part {
	var worst *Part
	for i, p := range s.Parts {
		if p.Verdict == verdictOut && (worst == nil || p.Open || math.Abs(p.Drift) > math.Abs(worst.Drift)) {
			worst = &s.Parts[i]
		}
	}
	return worst
}

// refs are the parts of which something holds.
func (s *Survey) refs(holds func(Part) bool) []string {
	var out []string
	for _, p := range s.Parts {
		if holds(p) {
			out = append(out, p.Ref)
		}
	}
	return out
}

// bottomLine says what is to be done.
func (s *Survey) bottomLine() []string {
	var out []string
	if open := s.refs(func(p Part) bool { return p.Open }); len(open) > 0 {
		out = append(out, "open: "+report.List(open))
	}
	if s.count(verdictOut) == 0 {
		return out
	}
	missing := s.refs(func(p Part) bool { return p.Verdict == verdictOut && !p.replaced() })
	switch {
	case len(s.Chosen) == 0:
		out = append(out, "no part of a drawer is free to take their places")
	case len(missing) > 0:
		out = append(out, fmt.Sprintf("nothing in the drawer is within the tolerance of %s, rated as the part was", report.List(missing)))
	default:
		out = append(out, "the drawer has a part for every one")
	}
	return out
}

// closing says what the verdicts leave open.
func (s *Survey) closing() []string {
	var out []string
	if unsure := s.refs(func(p Part) bool { return p.Verdict == verdictUndecided }); len(unsure) > 0 {
		out = append(out, fmt.Sprintf("undecided, within the limit of the reading: %s; read them again with a better instrument", report.List(unsure)))
	}
	low := func(p Part) bool { return p.Verdict == verdictOut && !p.Open && p.Drift < 0 }
	if low := s.refs(low); len(low) > 0 {
		out = append(out, fmt.Sprintf("reads low: %s; carbon composition drifts high, so something may lie across it: lift one lead and read again", report.List(low)))
	}
	if high := func(p Part) bool { return p.Verdict == verdictOut && p.Drift > 0 }; len(s.refs(high)) > 0 {
		out = append(out, "carbon composition: dry it at 100 °C and read again before it counts as failed (MIL-R-39008 6.9); shuntwright help survey")
	}
	return out
}

// usualRatings says which volts were taken for granted.
func (s *Survey) usualRatings() []string {
	taken := s.refs(func(p Part) bool { return p.Verdict == verdictOut && p.Demanded.usual })
	if len(taken) == 0 {
		return nil
	}
	return []string{"volts as for carbon composition (makers' sheets): " + report.Few(taken, 3)}
}

// unrated warns of ratings that nobody knows, of parts verdictIn the set and of what
// takes their places.
func (s *Survey) unrated() []string {
	var out []string
	if refs := s.refs(func(p Part) bool { return p.Verdict == verdictOut && math.IsNaN(p.Demanded.amperes(1)) }); len(refs) > 0 {
		out = append(out, fmt.Sprintf("neither watts nor volts are known of %s; hold what takes their place against what they carry", report.List(refs)))
	}
	var ids []string
	for _, p := range s.Parts {
		ids = append(ids, p.Network.IDs()...)
	}
	if ids = s.Bench.Unrated(ids); len(ids) > 0 {
		out = append(out, "neither watts nor volts are known of "+report.List(ids)+"; --rated-only leaves such parts out")
	}
	return out
}

const takesOut = "shuntwright drawer remove "

// next is the command that most likely follows: the parts that were found are
// taken out of the drawer, once they are verdictIn the set.
func (s *Survey) next(file string) string {
	var ids []string
	for _, p := range s.Parts {
		ids = append(ids, p.Network.IDs()...)
	}
	switch {
	case len(ids) > 0:
		return takesOut + join(ids)
	case s.count(verdictOut) > 0 && len(s.Chosen) > 0 && s.AtMost < 3:
		return fmt.Sprintf("shuntwright survey %s --parts %d", report.InShell(file), s.AtMost+1)
	case s.count(verdictOut) > 0:
		return "shuntwright help survey"
	}
	return ""
}

func join(ids []string) string {
	slices.Sort(ids)
	text := ""
	for i, id := range ids {
		if i > 0 {
			text += " "
		}
		text += id
	}
	return text
}

// answer is a part verdictIn JSON.
func (p Part) answer() partAnswer {
	nominal := p.SetPart.Part.Nominal.Base
	out := partAnswer{Ref: p.Ref, NominalOhms: nominal, TolerancePercent: p.SetPart.Part.TolerancePercent, Open: p.Open, Verdict: p.Verdict}
	if !math.IsNaN(p.Drift) {
		out.MeasuredOhms, out.DriftPercent, out.LimitPercent = report.Some(p.Measured.Ohms), report.Some(p.Drift), report.Some(p.Limit.Limit)
	}
	if p.replaced() {
		out.Network, out.Parts, out.Ohms = p.Network.String(), p.Network.IDs(), report.Some(p.Ohms())
		out.ErrorPercent = report.Some(100 * (p.Ohms()/nominal - 1))
	}
	return out
}

func partsTable() report.Table {
	return report.Table{Name: "parts", Columns: []report.Column{
		{Title: "ref", Key: "ref"}, {Title: "nominal", Key: "nominal_ohms", Number: true}, {Title: "measured", Key: "measured_ohms", Number: true},
		{Title: "drift", Key: "drift_percent", Number: true}, {Title: "limit", Key: "limit_percent", Bare: true}, {Title: "allowed", Key: "tolerance_percent", Number: true},
		{Title: ""}, {Title: "verdict", Key: "verdict"},
		{Title: "network", Key: "network", Bare: true}, {Title: "value", Key: "ohms", Bare: true},
	}}
}

// row is a part verdictIn the table of all.
func (p Part) row() []report.Cell {
	tolerance := p.SetPart.Part.TolerancePercent
	measured := report.None()
	switch {
	case p.Open:
		measured = report.Cell{Text: "open", Silent: true}
	case !math.IsNaN(p.Drift):
		measured = report.Pair(p.SetPart.Part.Ohms.Text, report.Exact(p.Measured.Ohms))
	}
	verdict := report.Cell{Text: p.Verdict, Mark: map[string]report.Mark{verdictIn: report.Fine, verdictUndecided: report.Doubtful, verdictOut: report.Wrong}[p.Verdict]}
	network, ohms := report.Words(""), report.Words("")
	if p.replaced() {
		network, ohms = report.Words(p.Network.String()), report.Words(report.Exact(p.Ohms()))
	}
	return []report.Cell{
		report.Words(p.Ref), report.Pair(p.SetPart.Part.Nominal.Text, report.Exact(p.SetPart.Part.Nominal.Base)), measured,
		report.PercentPair(p.Drift, p.Limit.Limit), report.Words(report.Exact(p.limit())), report.Pair(fmt.Sprintf("±%g %%", tolerance), report.Exact(tolerance)),
		report.Bar(p.Drift, p.Limit.Limit, tolerance), verdict, network, ohms,
	}
}

// limit is that of the drift, NaN where there is none.
func (p Part) limit() float64 {
	if math.IsNaN(p.Drift) {
		return math.NaN()
	}
	return p.Limit.Limit
}

func replacementsTable() report.Table {
	return report.Table{Name: "replacements", Heading: "What the drawer has for those that are out", Columns: []report.Column{
		{Title: "ref", Key: "ref"}, {Title: "wanted", Key: "nominal_ohms", Number: true}, {Title: "network", Key: "network", Flexible: true},
		{Title: "value", Key: "ohms", Number: true}, {Title: "error", Key: "error_percent", Number: true}, {Title: "place", Key: "place", Flexible: true},
	}}
}

// replacement is what takes a part's place.
func (s *Survey) replacement(p Part) []report.Cell {
	nominal := p.SetPart.Part.Nominal
	row := []report.Cell{report.Words(p.Ref), report.Pair(nominal.Text, report.Exact(nominal.Base)), report.Words("nothing"), report.None(), report.None(), report.Words("")}
	if !p.replaced() {
		return row
	}
	limit := asbuilt.ValueLimit(p.Network, p.Leaves).Limit
	var places []string
	for _, id := range p.Network.IDs() {
		if place := s.Bench.Parts[s.Bench.Index[id]].Place; place != "" {
			places = append(places, place)
		}
	}
	row[2], row[3] = report.Words(p.Network.String()), report.Quantity(p.Ohms(), quantity.Ohm, report.ByLimit(limit))
	row[4], row[5] = report.PercentPair(100*(p.Ohms()/nominal.Base-1), limit), report.Words(report.List(report.Unique(places)))
	return row
}
