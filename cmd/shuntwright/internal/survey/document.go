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
	count := func(verdict string) int { return len(s.refs(func(p part) bool { return p.verdict == verdict })) }
	answer := &answer{In: count(within), Out: count(outside), Undecided: count(undecided), Unmeasured: count("")}
	table, found := report.Table{Name: "parts", Columns: []report.Column{
		{Title: "ref", Key: "ref"}, {Title: "nominal", Key: "nominal_ohms", Number: true}, {Title: "measured", Key: "measured_ohms", Number: true},
		{Title: "drift", Key: "drift_percent", Number: true}, {Title: "limit", Key: "limit_percent", Bare: true}, {Title: "allowed", Key: "tolerance_percent", Number: true},
		{Title: ""}, {Title: "verdict", Key: "verdict"},
		{Title: "network", Key: "network", Bare: true}, {Title: "value", Key: "ohms", Bare: true},
	}}, report.Table{Name: "replacements", Heading: "What the drawer has for those that are out", Columns: []report.Column{
		{Title: "ref", Key: "ref"}, {Title: "wanted", Key: "nominal_ohms", Number: true}, {Title: "network", Key: "network", Flexible: true},
		{Title: "value", Key: "ohms", Number: true}, {Title: "error", Key: "error_percent", Number: true}, {Title: "place", Key: "place", Flexible: true},
	}}
	var used []inventory.Measured
	for _, p := range s.parts {
		a := p.answer()
		answer.Parts = append(answer.Parts, a)
		table.Rows = append(table.Rows, p.row(a))
		if p.verdict != "" && !p.open {
			used = append(used, p.measured)
		}
		if p.out() {
			found.Rows = append(found.Rows, s.replacement(p))
		}
		for _, l := range p.leaves {
			used = append(used, l.Measured)
		}
	}
	doc := report.Document{Heading: s.heading(answer), BottomLine: s.bottomLine(), Tables: []report.Table{table}, Closing: s.closing(), Answer: answer, Good: answer.Out == 0}
	if answer.Out > 0 && len(s.Chosen) > 0 {
		doc.Tables = append(doc.Tables, found)
		answer.Proven = &s.proven
	}
	answer.Assumptions = append(asbuilt.Assumptions(used), s.usualRatings()...)
	answer.Warnings = append(asbuilt.Warnings(used), s.unrated()...)
	doc.Notes = answer.Notes
	switch ids := s.taken(); {
	case len(ids) > 0:
		slices.Sort(ids)
		doc.Next = "shuntwright drawer remove " + strings.Join(ids, " ")
		doc.Closing = append(doc.Closing, "solder first: the next command takes these parts out of the drawer")
	case answer.Out > 0 && len(s.Chosen) > 0 && s.AtMost < 3:
		doc.Next = fmt.Sprintf("shuntwright survey %s --parts %d", report.InShell(file), s.AtMost+1)
	case answer.Out > 0:
		doc.Next = "shuntwright help survey"
	}
	return doc
}

// heading counts the verdicts, and names the part that has drifted most of those
// that are out; where one of these is open, there is no drift to tell.
func (s *Survey) heading(a *answer) string {
	words := fmt.Sprintf("%d of %s out of tolerance", a.Out, report.Counted(len(s.parts), "part"))
	var worst *part
	for i, p := range s.parts {
		if p.out() && (worst == nil || p.open || math.Abs(p.drift) > math.Abs(worst.drift)) {
			worst = &s.parts[i]
		}
	}
	if worst != nil && !math.IsNaN(worst.drift) {
		words += fmt.Sprintf(" (%s %s)", worst.ID, report.PercentError(worst.drift, worst.limit.Limit).Text)
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

// refs are the parts of which something holds.
func (s *Survey) refs(holds func(part) bool) []string {
	var out []string
	for _, p := range s.parts {
		if holds(p) {
			out = append(out, p.ID)
		}
	}
	return out
}

// taken are the parts of the drawer that take the places of others.
func (s *Survey) taken() (ids []string) {
	for _, p := range s.parts {
		ids = append(ids, p.network.IDs()...)
	}
	return ids
}

// bottomLine says what is to be done.
func (s *Survey) bottomLine() []string {
	var out []string
	if open := s.refs(func(p part) bool { return p.open }); len(open) > 0 {
		out = append(out, "open: "+report.List(open))
	}
	missing := s.refs(func(p part) bool { return p.out() && !p.replaced() })
	switch {
	case len(s.refs(part.out)) == 0:
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
	if unsure := s.refs(func(p part) bool { return p.verdict == undecided }); len(unsure) > 0 {
		out = append(out, fmt.Sprintf("undecided, within the limit of the reading: %s; read them again with a better instrument", report.List(unsure)))
	}
	if low := s.refs(func(p part) bool { return p.out() && p.drift < 0 }); len(low) > 0 {
		out = append(out, fmt.Sprintf("reads low: %s; carbon composition drifts high, so something may lie across it: lift one lead and read again", report.List(low)))
	}
	if high := s.refs(func(p part) bool { return p.out() && p.drift > 0 }); len(high) > 0 {
		out = append(out, "carbon composition: dry it at 100 °C and read again before it counts as failed (MIL-R-39008 6.9); shuntwright help survey")
	}
	return out
}

// usualRatings says which volts were taken for granted.
func (s *Survey) usualRatings() []string {
	taken := s.refs(func(p part) bool { return p.out() && p.usualVolts })
	if len(taken) == 0 {
		return nil
	}
	return []string{"volts as for carbon composition (makers' sheets): " + report.Few(taken, 3)}
}

// unrated warns of ratings that nobody knows, of parts in the set and of what
// takes their places.
func (s *Survey) unrated() []string {
	var out []string
	if refs := s.refs(func(p part) bool { return p.out() && !p.rated() }); len(refs) > 0 {
		out = append(out, fmt.Sprintf("neither watts nor volts are known of %s; hold what takes their place against what they carry", report.List(refs)))
	}
	if ids := s.Bench.Unrated(s.taken()); len(ids) > 0 {
		out = append(out, "neither watts nor volts are known of "+report.List(ids)+"; --rated-only leaves such parts out")
	}
	return out
}

// answer is a part in JSON.
func (p part) answer() partAnswer {
	out := partAnswer{Ref: p.ID, NominalOhms: p.Nominal.Base, TolerancePercent: p.TolerancePercent, Open: p.open, Verdict: p.verdict}
	if !math.IsNaN(p.drift) {
		out.MeasuredOhms, out.DriftPercent, out.LimitPercent = report.Some(p.measured.Ohms), report.Some(p.drift), report.Some(p.limit.Limit)
	}
	if p.replaced() {
		out.Network, out.Parts, out.Ohms = p.network.String(), p.network.IDs(), report.Some(p.ohms())
		out.ErrorPercent = report.Some(100 * (p.ohms()/p.Nominal.Base - 1))
	}
	return out
}

// row is a part in the table of all.
func (p part) row(a partAnswer) []report.Cell {
	measured := report.None()
	switch {
	case p.open:
		measured = report.Cell{Text: "open", Silent: true}
	case a.MeasuredOhms != nil:
		measured = report.Pair(p.Ohms.Text, report.Exact(p.measured.Ohms))
	}
	return []report.Cell{
		report.Words(p.ID), report.Pair(p.Nominal.Text, report.Exact(p.Nominal.Base)), measured,
		report.PercentPair(p.drift, p.limit.Limit), report.Words(report.Exact(report.Number(a.LimitPercent))), report.Pair(fmt.Sprintf("±%g %%", p.TolerancePercent), report.Exact(p.TolerancePercent)),
		report.Bar(p.drift, p.limit.Limit, p.TolerancePercent),
		{Text: p.verdict, Mark: map[string]report.Mark{within: report.Fine, undecided: report.Doubtful, outside: report.Wrong}[p.verdict]},
		report.Words(a.Network), report.Words(report.Exact(report.Number(a.Ohms))),
	}
}

// replacement is what takes a part's place.
func (s *Survey) replacement(p part) []report.Cell {
	row := []report.Cell{report.Words(p.ID), report.Pair(p.Nominal.Text, report.Exact(p.Nominal.Base)), report.Words("nothing"), report.None(), report.None(), report.Words("")}
	if !p.replaced() {
		return row
	}
	limit := asbuilt.ValueLimit(p.network, p.leaves).Limit
	var places []string
	for _, id := range p.network.IDs() {
		if place := s.Bench.Parts[s.Bench.Index[id]].Place; place != "" {
			places = append(places, place)
		}
	}
	row[2], row[3] = report.Words(p.network.String()), report.Quantity(p.ohms(), quantity.Ohm, report.ByLimit(limit))
	row[4], row[5] = report.PercentPair(100*(p.ohms()/p.Nominal.Base-1), limit), report.Words(report.List(report.Unique(places)))
	return row
}
