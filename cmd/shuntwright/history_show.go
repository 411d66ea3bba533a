package main

import (
	"errors"
	"fmt"
	"io/fs"
	"math"
	"slices"
	"strconv"
	"strings"

	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/cmd/shuntwright/internal/wording"
	"shuntwright/inventory/safefile"
	"shuntwright/meter"
	"shuntwright/meter/reading"
)

// visit is one day on which the meter was read.
type visit struct {
	number   int
	date, as string
	class    float64
	verdict  string // as it was written
	set      readingSet
	ranges   []reading.RangeJudgement
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
	path := historyPath(c.args[0])
	data, _, err := safefile.Read(path)
	if errors.Is(err, fs.ErrNotExist) {
		return report.Document{}, fmt.Errorf("no history of %s yet: there is no file %q; shuntwright check %s READINGS --save --date YYYY-MM-DD begins it", c.args[0], path, wording.InShell(c.args[0]))
	}
	if err != nil {
		return report.Document{}, fmt.Errorf("reading history: %w", err)
	}
	h, err := parseHistory(path, data)
	if err != nil {
		return report.Document{}, err
	}
	visits, err := h.visits(file.Meter)
	if err != nil {
		return report.Document{}, err
	}
	return historyDocument(file.Meter, path, visits), nil
}

// visits reads what was written at every visit, the earliest first; visits of
// one day stay in the order in which they were written.
func (h *history) visits(m *meter.Meter) ([]*visit, error) {
	rr := newReadingReader(m, "", "")
	rr.parse = decimalsOf(h.table, h.numbers())
	var all []*visit
	for row := range h.table.Len() {
		if blankRow(h.table.Row(row)) {
			continue
		}
		number, _ := strconv.Atoi(h.cell(row, visitColumn))
		at := slices.IndexFunc(all, func(v *visit) bool { return v.number == number })
		if at < 0 {
			v := &visit{number: number, date: h.cell(row, dateColumn), as: h.cell(row, asColumn), verdict: h.cell(row, verdictColumn), class: math.NaN()}
			if text := h.cell(row, classColumn); text != "" {
				class, err := strconv.ParseFloat(strings.ReplaceAll(text, ",", "."), 64)
				if err != nil || !(class > 0) {
					return nil, h.table.ErrorAt(row, h.at[classColumn], "class %q; the class in percent, or nothing, belongs here", text)
				}
				v.class = class
			}
			at, all = len(all), append(all, v)
		}
		var cells [6]string
		for i := range cells {
			cells[i] = h.cell(row, historyOnly+i)
		}
		rr.set = &all[at].set
		if wrong, err := rr.add(cells); err != nil {
			return nil, h.table.ErrorAt(row, max(h.at[historyOnly+int(wrong)], 0), "%v", err)
		}
	}
	for _, v := range all {
		v.set.settle()
		v.ranges = reading.Judge(rr.ranges, v.set.readings, v.class, false).Ranges
	}
	slices.SortStableFunc(all, func(a, b *visit) int { return strings.Compare(a.date, b.date) })
	return all, nil
}

// historyDocument shows every range at every visit, and how far it moved since.
func historyDocument(m *meter.Meter, path string, visits []*visit) report.Document {
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
		answer.Visits = append(answer.Visits, visitAnswer{Visit: v.number, Date: v.date, As: v.as, Class: report.Some(v.class), Verdict: v.verdict, Ranges: []visitedRange{}})
	}
	for r, one := range m.Ranges() {
		var before *visit
		for i, v := range visits {
			at := slices.IndexFunc(v.ranges, func(j reading.RangeJudgement) bool { return j.Range == r })
			if at < 0 {
				continue
			}
			then := visited(one, v, before, at)
			answer.Visits[i].Ranges = append(answer.Visits[i].Ranges, then)
			table.Rows = append(table.Rows, historyRow(v, v.ranges[at], then))
			before = v
		}
	}
	answer.Cautions = cautions(m)
	doc := report.Document{Heading: fmt.Sprintf("%s: %s in %s", m.Name, wording.Counted(len(visits), "visit"), path),
		Tables: []report.Table{table}, Notes: answer.Notes, Answer: answer, Good: true}
	if len(visits) > 1 {
		doc.Closing = append(doc.Closing, "drift is from the visit before, at the reading with the same reference that moved most, or else of the gain, or of the worst error; from found to left it is the repair")
	}
	return doc
}

// visited is one range at one visit; before is the visit before at which it
// was read, or nil.
func visited(r meter.Range, v, before *visit, at int) visitedRange {
	j := v.ranges[at]
	out := visitedRange{checkedRange: jsonJudged(r.Name, j)}
	if before == nil {
		return out
	}
	was := before.ranges[slices.IndexFunc(before.ranges, func(b reading.RangeJudgement) bool { return b.Range == j.Range })]
	out.Since = strings.TrimSpace(before.date + " " + before.as)
	drift, limit, of := math.NaN(), math.NaN(), ""
	for _, p := range j.Points {
		for _, q := range was.Points {
			now, then := v.set.readings[p.Reading], before.set.readings[q.Reading]
			d := p.ErrorPercent - q.ErrorPercent
			if isWithin(now.Reference-then.Reference, now.ReferenceLimit+then.ReferenceLimit+1e-9*r.FullScale) &&
				now.Direction == then.Direction && !(math.Abs(d) <= math.Abs(drift)) {
				drift, limit, of = d, math.Hypot(p.LimitPercent, q.LimitPercent), v.set.typed[p.Reading].reference.Text
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

func historyRow(v *visit, j reading.RangeJudgement, one visitedRange) []report.Cell {
	drift := report.Cell{}
	if one.Drift != nil {
		drift = report.PercentError(*one.Drift, j.LimitPercent)
	}
	return []report.Cell{report.Words(one.Range), report.Words(v.date), report.Words(v.as), count(one.Points),
		report.PercentPair(j.ErrorPercent, j.LimitPercent), report.PercentLimit(j.LimitPercent), report.PercentError(j.GainPercent, j.LimitPercent),
		{Text: one.Verdict, Mark: verdictMarks[one.Verdict]}, drift, report.Words(one.DriftOf)}
}
