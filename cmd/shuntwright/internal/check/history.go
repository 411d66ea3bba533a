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

// visitedRange is one range at one visit in JSON. Its drift is that of its straight
// line held to full scale, since the visit before at which the range was read, and
// since the first of those that no repair parts from it, where that is another.
type visitedRange struct {
	checkedRange
	Drift           report.Maybe `json:"drift_percent,omitempty"`
	DriftLimit      report.Maybe `json:"drift_limit_percent,omitempty"`
	Since           string       `json:"since,omitempty"`
	DriftFirst      report.Maybe `json:"drift_from_first_percent,omitempty"`
	DriftFirstLimit report.Maybe `json:"drift_from_first_limit_percent,omitempty"`
	SinceFirst      string       `json:"since_first,omitempty"`
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
		{Title: "", Key: "drift_limit_percent", Number: true, Bare: true},
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
		var before, first *readings.Visit
		for i, v := range visits {
			at := slices.IndexFunc(v.Ranges, func(j reading.RangeJudgement) bool { return j.Range == r })
			if at < 0 {
				continue
			}
			then := visited(one, v, before, first, at)
			answer.Visits[i].Ranges = append(answer.Visits[i].Ranges, then)
			table.Rows = append(table.Rows, historyRow(v, v.Ranges[at], then))
			if before = v; first == nil || v.As == readings.AsLeft {
				first = v
			}
		}
	}
	var gone []string
	for _, v := range visits {
		gone = append(gone, v.Gone...)
	}
	if gone = report.Unique(gone); len(gone) > 0 {
		answer.Warnings = append(answer.Warnings, fmt.Sprintf("left out: readings of %s, which the meter does not have", report.List(gone)))
	}
	answer.Cautions = asbuilt.Cautions(m)
	doc := report.Document{Heading: fmt.Sprintf("%s: %s in %s", m.Name, report.Counted(len(visits), "visit"), path),
		Tables: []report.Table{table}, Notes: answer.Notes, Answer: answer, Good: true}
	doc.BottomLine = append(lastVisit(m, visits), movedMost(answer.Visits)...)
	if len(visits) > 1 {
		doc.Closing = append(doc.Closing, "drift is from the visit before, of the straight line through the readings held to full scale; from found to left it is the repair")
	}
	return doc
}

// lastVisit says what the last of the visits found.
func lastVisit(m *meter.Meter, visits []*readings.Visit) []string {
	if len(visits) == 0 {
		return nil
	}
	v := visits[len(visits)-1]
	said := "last: " + stamp(v)
	if v.Verdict != "" {
		said += ": " + strings.ToUpper(v.Verdict)
	}
	partly := len(v.Ranges) < len(m.Ranges()) || slices.ContainsFunc(v.Ranges, func(j reading.RangeJudgement) bool { return j.Partly })
	if v.Verdict == reading.Pass.String() && partly {
		said += " for what was read"
	}
	return []string{said}
}

// stamp is how a visit is called.
func stamp(v *readings.Visit) string { return strings.TrimSpace(v.Date + " " + v.As) }

// movedMost names the range that moved most between two visits, beyond its limit,
// where one did that no repair moved.
func movedMost(visits []visitAnswer) []string {
	most, said := 0.0, []string(nil)
	for _, v := range visits {
		for _, r := range v.Ranges {
			if v.As == readings.AsLeft && strings.HasSuffix(r.Since, readings.AsFound) {
				continue
			}
			for _, d := range []struct {
				by, limit report.Maybe
				since     string
			}{{r.Drift, r.DriftLimit, r.Since}, {r.DriftFirst, r.DriftFirstLimit, r.SinceFirst}} {
				if d.by == nil || d.limit == nil || math.Abs(*d.by)-*d.limit <= most {
					continue
				}
				most = math.Abs(*d.by) - *d.limit
				said = []string{fmt.Sprintf("moved most: %s, %s from %s to %s", r.Range, report.PercentPair(*d.by, *d.limit).Text, d.since, strings.TrimSpace(v.Date+" "+v.As))}
			}
		}
	}
	return said
}

// visited is one range at one visit; before is the visit before at which it was
// read, first the first of them since the last repair; nil: none was.
func visited(r meter.Range, v, before, first *readings.Visit, at int) visitedRange {
	j := v.Ranges[at]
	out := visitedRange{checkedRange: checkedReadings(r.Name, j)}
	since := func(was *readings.Visit) (drift, limit report.Maybe) {
		then := was.Ranges[slices.IndexFunc(was.Ranges, func(b reading.RangeJudgement) bool { return b.Range == j.Range })]
		return report.Some(j.FullPercent - then.FullPercent), report.Some(math.Hypot(j.FullLimit, then.FullLimit))
	}
	if before != nil {
		out.Drift, out.DriftLimit = since(before)
		out.Since = stamp(before)
	}
	if first != before {
		out.DriftFirst, out.DriftFirstLimit = since(first)
		out.SinceFirst = stamp(first)
	}
	return out
}

func historyRow(v *readings.Visit, j reading.RangeJudgement, one visitedRange) []report.Cell {
	drift, limit := report.Cell{}, report.Cell{}
	if one.Drift != nil && one.DriftLimit != nil {
		drift, limit = report.PercentPair(*one.Drift, *one.DriftLimit), report.PercentLimit(*one.DriftLimit)
	}
	return []report.Cell{report.Words(one.Range), report.Words(v.Date), report.Words(v.As), report.Count(one.Points),
		report.PercentPair(j.ErrorPercent, j.LimitPercent), report.PercentLimit(j.LimitPercent), report.PercentError(j.GainPercent, j.LimitPercent),
		report.VerdictCell(one.Verdict), drift, limit}
}
