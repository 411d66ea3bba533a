package main

import (
	"errors"
	"fmt"
	"io/fs"
	"math"
	"slices"
	"strings"

	"shuntwright/cmd/shuntwright/internal/calibration"
	"shuntwright/cmd/shuntwright/internal/caution"
	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/cmd/shuntwright/internal/wording"
	"shuntwright/inventory/safefile"
	"shuntwright/meter"
	"shuntwright/meter/reading"
)

// checkDate refuses what is no day of the calendar.
func checkDate(text string) error {
	if !calibration.IsDate(text) {
		return misused("--date %q: a day of the calendar as YYYY-MM-DD belongs here, such as 2024-05-31", text)
	}
	return nil
}

// saveVisit lets the readings be written behind those of the visits before.
func (c *call) saveVisit(k *checked, doc report.Document, answer *checkAnswer) (report.Document, error) {
	path := calibration.HistoryPath(k.Path)
	data, stamp, err := safefile.Read(path)
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return doc, fmt.Errorf("reading history: %w", err)
	}
	h := &calibration.History{}
	if err == nil {
		if h, err = calibration.ParseHistory(path, data); err != nil {
			return doc, err
		}
	}
	visit := &calibration.Visit{Number: h.Next(), Date: c.options.date, As: c.options.as, Class: k.class, Verdict: k.judged.Verdict.String(), Set: *k.set}
	if before, held := h.Holds(visit, k.Ranges); held {
		return doc, fmt.Errorf("%s holds these readings already, as visit %d of %s%s: nothing is saved twice; another --date or --as tells another visit",
			path, before, visit.Date, map[bool]string{true: ", as " + visit.As}[visit.As != ""])
	}
	longer, err := h.Appended(data, visit, k.Ranges)
	if err != nil {
		return doc, err
	}
	c.save = func() error {
		if _, err := safefile.Write(path, longer, stamp); err != nil {
			return fmt.Errorf("writing history: %w", err)
		}
		return nil
	}
	answer.Saved = path
	doc.Closing = append(doc.Closing, fmt.Sprintf("saved: %s of %s, in %s; shuntwright check %s --history shows them all",
		wording.Counted(len(k.set.Readings), "reading"), c.options.date, path, wording.InShell(k.Path)))
	return doc, nil
}

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
	checkedRange
	Drift      report.Maybe `json:"drift_percent,omitempty"`
	DriftLimit report.Maybe `json:"drift_limit_percent,omitempty"`
	DriftOf    string       `json:"drift_of,omitempty"`
	Since      string       `json:"since,omitempty"`
}

// showHistory answers check --history.
func (c *call) showHistory() (report.Document, error) {
	file, _, _, err := c.readMeter(c.args[0])
	if err != nil {
		return report.Document{}, err
	}
	path := calibration.HistoryPath(c.args[0])
	data, _, err := safefile.Read(path)
	if errors.Is(err, fs.ErrNotExist) {
		return report.Document{}, fmt.Errorf("no history of %s yet: there is no file %q; shuntwright check %s READINGS --save --date YYYY-MM-DD begins it", c.args[0], path, wording.InShell(c.args[0]))
	}
	if err != nil {
		return report.Document{}, fmt.Errorf("reading history: %w", err)
	}
	h, err := calibration.ParseHistory(path, data)
	if err != nil {
		return report.Document{}, err
	}
	visits, err := h.Visits(file.Meter)
	if err != nil {
		return report.Document{}, err
	}
	return historyDocument(file.Meter, path, visits), nil
}

// historyDocument shows every range at every visit, and how far it moved since.
func historyDocument(m *meter.Meter, path string, visits []*calibration.Visit) report.Document {
	table := report.Table{Name: "history", Columns: []report.Column{
		{Title: "range", Key: "range", Flexible: true},
		{Title: "date", Key: "date"},
		{Title: "as", Key: "as"},
		{Title: "points", Key: "points", Number: true},
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
		var before *calibration.Visit
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
	answer.Cautions = caution.Of(m)
	doc := report.Document{Heading: fmt.Sprintf("%s: %s in %s", m.Name, wording.Counted(len(visits), "visit"), path),
		Tables: []report.Table{table}, Notes: answer.Notes, Answer: answer, Good: true}
	if len(visits) > 1 {
		doc.Closing = append(doc.Closing, "drift is from the visit before, at the reading with the same reference that moved most, or else of the gain, or of the worst error; from found to left it is the repair")
	}
	return doc
}

// visited is one range at one visit; before is the visit before at which it
// was read, or nil.
func visited(r meter.Range, v, before *calibration.Visit, at int) visitedRange {
	j := v.Ranges[at]
	out := visitedRange{checkedRange: jsonJudged(r.Name, j)}
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
	case isNumber(j.GainPercent) && isNumber(was.GainPercent):
		drift, of = j.GainPercent-was.GainPercent, "gain"
	default:
		drift, limit, of = j.ErrorPercent-was.ErrorPercent, math.Hypot(j.LimitPercent, was.LimitPercent), "worst error"
	}
	out.Drift, out.DriftLimit, out.DriftOf = report.Some(drift), report.Some(limit), of
	return out
}

func historyRow(v *calibration.Visit, j reading.RangeJudgement, one visitedRange) []report.Cell {
	drift := report.Cell{}
	if one.Drift != nil {
		drift = report.PercentError(*one.Drift, j.LimitPercent)
	}
	return []report.Cell{report.Words(one.Range), report.Words(v.Date), report.Words(v.As), report.Count(one.Points),
		report.PercentPair(j.ErrorPercent, j.LimitPercent), report.PercentLimit(j.LimitPercent), report.PercentError(j.GainPercent, j.LimitPercent),
		report.VerdictCell(one.Verdict), drift, report.Words(one.DriftOf)}
}
