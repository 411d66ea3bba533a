package check

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"shuntwright/cmd/shuntwright/internal/asbuilt"
	"shuntwright/cmd/shuntwright/internal/readings"
	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/meter"
	"shuntwright/meter/reading"
)

// visitAnswer is one visit in JSON.
type visitAnswer struct {
	Visit   int            `json:"visit"`
	Date    string         `json:"date"`
	As      string         `json:"as,omitempty"`
	Class   report.Maybe   `json:"class,omitempty"`
	Verdict string         `json:"verdict,omitempty"`
	Ranges  []visitedRange `json:"ranges"`
}

// visitedRange is one range at one visit in JSON. Its drift is since the visit
// before at which the range was read: that of the reading that moved most, or
// else of the gain, or of the worst error.
type visitedRange struct {
	CheckedRange
	Drift      report.Maybe `json:"drift_percent,omitempty"`
	DriftLimit report.Maybe `json:"drift_limit_percent,omitempty"`
	DriftOf    string       `json:"drift_of,omitempty"`
	Since      string       `json:"since,omitempty"`
}

// Document shows every range at every visit, in the order given, and how far it
// moved since the visit before; path is the history's file.
func Document(m *meter.Meter, path string, visits []*readings.Visit) report.Document {
	table := report.Table{Name: "history", Columns: []report.Column{
		{Title: "range", Key: "range", Flexible: true},
		{Title: "date", Key: "date"},
		{Title: "as", Key: "as"},
		{Title: "points", Key: "points", Number: true, Bare: true},
		{Title: "worst error", Key: "worst_error_percent", Number: true},
		{Title: "", Key: "limit_percent", Number: true, Bare: true},
		{Title: "", Key: "gain_percent", Number: true, Bare: true},
		{Title: "verdict", Key: "verdict"},
		{Title: "drift", Key: "drift_percent", Number: true},
		{Title: "at", Key: "drift_of", Flexible: true},
	}}
	answer := struct {
		Meter  string        `json:"meter"`
		File   string        `json:"file"`
		Visits []visitAnswer `json:"visits"`
		report.Notes
	}{Meter: m.Name, File: path, Visits: []visitAnswer{}}
	for _, v := range visits {
		answer.Visits = append(answer.Visits, visitAnswer{Visit: v.Number, Date: v.Date, As: v.As, Class: report.Some(v.Class), Verdict: v.Verdict, Ranges: []visitedRange{}})
	}
	for r, one := range m.Ranges() {
		var before *readings.Visit
		for i, v := range visits {
			at := slices.IndexFunc(v.Ranges, func(j reading.RangeJudgement) bool { return j.Range == r })
			if at < 0 {
				continue
			}
			then := visited(one, v, before, at)
			answer.Visits[i].Ranges = append(answer.Visits[i].Ranges, then)
			table.Rows = append(table.Rows, historyRow(v, v.Ranges[at], then))
			before = v
		}
	}
	var gone []string
	for _, v := range visits {
		gone = append(gone, v.Gone...)
	}
	if gone = report.Unique(gone); len(gone) > 0 {
		answer.Warnings = append(answer.Warnings, fmt.Sprintf("left out: readings of %s, which the meter does not have", report.List(gone)))
	}
	answer.Cautions = asbuilt.Of(m)
	doc := report.Document{Heading: fmt.Sprintf("%s: %s in %s", m.Name, report.Counted(len(visits), "visit"), path),
		Tables: []report.Table{table}, Notes: answer.Notes, Answer: answer, Good: true}
	doc.BottomLine = append(lastVisit(visits), movedMost(answer.Visits)...)
	if len(visits) > 1 {
		doc.Closing = append(doc.Closing, "drift is from the visit before, at the reading with the same reference that moved most, or else of the gain, or of the worst error; from found to left it is the repair")
	}
	return doc
}

// lastVisit says what the last of the visits found.
func lastVisit(visits []*readings.Visit) []string {
	if len(visits) == 0 {
		return nil
	}
	v := visits[len(visits)-1]
	said := "last: " + strings.TrimSpace(v.Date+" "+v.As)
	if v.Verdict != "" {
		said += ": " + strings.ToUpper(v.Verdict)
	}
	return []string{said}
}

// movedMost names the range that moved most between two visits, where one moved
// by more than its limit.
func movedMost(visits []visitAnswer) []string {
	most, said := 0.0, []string(nil)
	for _, v := range visits {
		for _, r := range v.Ranges {
			if r.Drift == nil || r.DriftLimit == nil || math.Abs(*r.Drift) <= max(most, *r.DriftLimit) {
				continue
			}
			most = math.Abs(*r.Drift)
			words := fmt.Sprintf("moved most: %s, %s from %s to %s", r.Range, report.PercentPair(*r.Drift, *r.DriftLimit).Text, r.Since, strings.TrimSpace(v.Date+" "+v.As))
			if strings.HasSuffix(r.Since, readings.AsFound) && v.As == readings.AsLeft {
				words += ", by the repair"
			}
			said = []string{words}
		}
	}
	return said
}

// visited is one range at one visit; before is the visit before at which it
// was read, or nil.
func visited(r meter.Range, v, before *readings.Visit, at int) visitedRange {
	j := v.Ranges[at]
	out := visitedRange{CheckedRange: checkedReadings(r.Name, j)}
	if before == nil {
		return out
	}
	was := before.Ranges[slices.IndexFunc(before.Ranges, func(b reading.RangeJudgement) bool { return b.Range == j.Range })]
	out.Since = strings.TrimSpace(before.Date + " " + before.As)
	drift, limit, of := math.NaN(), math.NaN(), ""
	for _, p := range j.Points {
		for _, q := range was.Points {
			now, then := v.Set.Readings[p.Reading], before.Set.Readings[q.Reading]
			d := p.ErrorPercent - q.ErrorPercent
			if math.Abs(now.Reference-then.Reference) <= now.ReferenceLimit+then.ReferenceLimit+1e-9*r.FullScale &&
				now.Direction == then.Direction && !(math.Abs(d) <= math.Abs(drift)) {
				drift, limit, of = d, math.Hypot(p.LimitPercent, q.LimitPercent), v.Set.Typed[p.Reading].Reference.Text
			}
		}
	}
	switch {
	case of != "":
	case !math.IsNaN(j.GainPercent) && !math.IsNaN(was.GainPercent):
		drift, of = j.GainPercent-was.GainPercent, "gain"
	default:
		drift, limit, of = j.ErrorPercent-was.ErrorPercent, math.Hypot(j.LimitPercent, was.LimitPercent), "worst error"
	}
	out.Drift, out.DriftLimit, out.DriftOf = report.Some(drift), report.Some(limit), of
	return out
}

func historyRow(v *readings.Visit, j reading.RangeJudgement, one visitedRange) []report.Cell {
	drift := report.Cell{}
	if one.Drift != nil {
		drift = report.PercentError(*one.Drift, j.LimitPercent)
	}
	return []report.Cell{report.Words(one.Range), report.Words(v.Date), report.Words(v.As), report.Count(one.Points),
		report.PercentPair(j.ErrorPercent, j.LimitPercent), report.PercentLimit(j.LimitPercent), report.PercentError(j.GainPercent, j.LimitPercent),
		report.VerdictCell(one.Verdict), drift, report.Words(one.DriftOf)}
}
