package check

import (
	"math"
	"strconv"
	"strings"

	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/meter/reading"
)

// checkedRange is one range that was read, in JSON.
type checkedRange struct {
	Range          string       `json:"range"`
	Points         int          `json:"points"`
	Error          float64      `json:"worst_error_percent"`
	Limit          report.Maybe `json:"limit_percent,omitempty"`
	CoverageFactor report.Maybe `json:"coverage_factor,omitempty"`
	Verdict        string       `json:"verdict,omitempty"`
	Zero           report.Maybe `json:"zero_percent,omitempty"`
	Gain           report.Maybe `json:"gain_percent,omitempty"`
	Linearity      report.Maybe `json:"linearity_percent,omitempty"`
	UpDown         report.Maybe `json:"up_down_percent,omitempty"`
	Ratio          report.Maybe `json:"class_to_limit,omitempty"`
	Full           report.Maybe `json:"full_scale_error_percent,omitempty"` // of the straight line, held to full scale
	FullLimit      report.Maybe `json:"full_scale_limit_percent,omitempty"`
}

// checkedReadings puts a range's judgement, and its name, into the words of the
// answer.
func checkedReadings(name string, j reading.RangeJudgement) checkedRange {
	return checkedRange{Range: name, Points: len(j.Points), Error: j.ErrorPercent, Limit: report.Some(j.LimitPercent),
		CoverageFactor: report.Some(j.Factor), Verdict: j.Verdict.String(), Zero: report.Some(j.ZeroPercent), Gain: report.Some(j.GainPercent),
		Linearity: report.Some(j.LinearityPercent), UpDown: report.Some(j.UpDownPercent), Ratio: report.Some(j.Ratio),
		Full: report.Some(j.FullPercent), FullLimit: report.Some(j.FullLimit)}
}

// checkedPoint is one reading in JSON.
type checkedPoint struct {
	Range          string       `json:"range"`
	Reference      float64      `json:"reference"`
	ReferenceLimit float64      `json:"reference_limit"`
	Indicated      float64      `json:"indicated"`
	ReadingLimit   float64      `json:"reading_limit"`
	Unit           string       `json:"unit"`
	Direction      string       `json:"direction,omitempty"`
	Error          float64      `json:"error_percent"`
	Limit          report.Maybe `json:"limit_percent,omitempty"`
	CoverageFactor report.Maybe `json:"coverage_factor,omitempty"`
	Verdict        string       `json:"verdict,omitempty"`
}

// rangesTable is the main table: the verdict on every range that was read.
func (k *Checkup) rangesTable(answer *Answer) report.Table {
	table := report.Table{Name: "ranges", Columns: []report.Column{
		{Title: "range", Key: "range", Flexible: true},
		{Title: "points", Key: "points", Number: true},
		{Title: "worst error", Key: "worst_error_percent", Number: true},
		{Title: "", Key: "limit_percent", Number: true, Bare: true},
		{Title: report.BarTitle(k.Class)},
		{Title: "class/limit", Key: "class_to_limit", Number: true, Bare: math.IsNaN(k.Class)},
		{Title: "", Key: "zero_percent", Number: true, Bare: true},
		{Title: "", Key: "gain_percent", Number: true, Bare: true},
		{Title: "", Key: "linearity_percent", Number: true, Bare: true},
		{Title: "", Key: "up_down_percent", Number: true, Bare: true},
		{Title: "verdict", Key: "verdict", Bare: math.IsNaN(k.Class)},
	}}
	for _, j := range k.judged.Ranges {
		verdict := j.Verdict.String()
		answer.Ranges = append(answer.Ranges, checkedReadings(k.Ranges[j.Range].Name, j))
		table.Rows = append(table.Rows, []report.Cell{
			report.Words(k.Ranges[j.Range].Name), report.Count(len(j.Points)),
			report.PercentPair(j.ErrorPercent, j.LimitPercent), report.PercentLimit(j.LimitPercent),
			report.Bar(j.ErrorPercent, j.LimitPercent, k.Class), ratioCell(j.Ratio),
			report.PercentError(j.ZeroPercent, j.LimitPercent), report.PercentError(j.GainPercent, j.LimitPercent),
			report.PercentError(j.LinearityPercent, j.LimitPercent), report.PercentError(j.UpDownPercent, j.LimitPercent),
			report.VerdictCell(verdict),
		})
	}
	return table
}

// smallRatio is the ratio of class to limit below which readings hardly
// decide. IEC 60051-9 asks for 5 of the test equipment alone; here the
// pointer's reading is in the limit too.
const smallRatio = 3

// ratioCell shows the ratio of class to limit.
func ratioCell(ratio float64) report.Cell {
	if math.IsNaN(ratio) || math.IsInf(ratio, 0) {
		return report.None()
	}
	cell := report.Pair(ratioText(ratio), report.Exact(ratio))
	if ratio < smallRatio {
		cell.Mark = report.Doubtful
	}
	return cell
}

// lineTable shows how the readings of each range lie about a straight line;
// empty where no range has more than one reference.
func (k *Checkup) lineTable() report.Table {
	table := report.Table{Name: "line", Heading: "how the readings lie about a straight line", Detail: true, Columns: []report.Column{
		{Title: "range", Key: "range", Flexible: true},
		{Title: "zero", Key: "zero_percent", Number: true},
		{Title: "gain", Key: "gain_percent", Number: true},
		{Title: "linearity", Key: "linearity_percent", Number: true},
		{Title: "down less up", Key: "up_down_percent", Number: true},
	}}
	for _, j := range k.judged.Ranges {
		if math.IsNaN(j.ZeroPercent) && math.IsNaN(j.UpDownPercent) {
			continue
		}
		linearity := report.None()
		if !math.IsNaN(j.LinearityPercent) {
			linearity = report.Pair(unsigned(report.PercentError(j.LinearityPercent, j.LimitPercent).Text), report.Exact(j.LinearityPercent))
		}
		table.Rows = append(table.Rows, []report.Cell{report.Words(k.Ranges[j.Range].Name),
			report.PercentError(j.ZeroPercent, j.LimitPercent), report.PercentError(j.GainPercent, j.LimitPercent), linearity,
			report.PercentError(j.UpDownPercent, j.LimitPercent)})
	}
	return table
}

// pointsTable shows every reading.
func (k *Checkup) pointsTable(answer *Answer) report.Table {
	judged := !math.IsNaN(k.Class)
	table := report.Table{Name: "points", Heading: "all readings", Detail: true, Columns: []report.Column{
		{Title: "range", Key: "range", Flexible: true},
		{Title: "reference", Key: "reference", Number: true},
		{Title: "indicated", Key: "indicated", Number: true},
		{Title: "", Key: "unit", Bare: true},
		{Title: "direction", Key: "direction"},
		{Title: "error", Key: "error_percent", Number: true},
		{Title: "limit", Key: "limit_percent", Number: true},
		{Title: "verdict", Key: "verdict", Bare: !judged},
	}}
	points := make([]reading.Point, len(k.set.Readings))
	for _, j := range k.judged.Ranges {
		for _, p := range j.Points {
			points[p.Reading] = p
		}
	}
	for i, p := range points {
		one, as := k.set.Readings[i], k.set.Typed[i]
		r, way, verdict := k.Ranges[one.Range], one.Direction.String(), p.Verdict.String()
		answer.Readings = append(answer.Readings, checkedPoint{Range: r.Name, Reference: one.Reference, ReferenceLimit: one.ReferenceLimit,
			Indicated: one.Indicated, ReadingLimit: one.IndicatedLimit, Unit: string(r.Unit), Direction: way, Error: p.ErrorPercent,
			Limit: report.Some(p.LimitPercent), CoverageFactor: report.Some(p.Factor), Verdict: verdict})
		table.Rows = append(table.Rows, []report.Cell{report.Words(r.Name),
			report.Pair(as.Reference.Text, report.Exact(one.Reference)), report.Pair(as.Indicated.Text, report.Exact(one.Indicated)),
			report.Words(string(r.Unit)), report.Words(way), report.PercentError(p.ErrorPercent, p.LimitPercent),
			report.PercentLimit(p.LimitPercent), report.VerdictCell(verdict)})
	}
	return table
}

// ratioText has one decimal where it is small, and never rounds a ratio up to what
// it is below.
func ratioText(ratio float64) string {
	decimals := 0
	switch {
	case ratio < smallRatio && ratio >= smallRatio-0.05:
		ratio, decimals = math.Floor(100*ratio)/100, 2
	case ratio < 10:
		decimals = 1
	}
	return strconv.FormatFloat(ratio, 'f', decimals, 64)
}

// unsigned is a percentage without its sign: a distance.
func unsigned(text string) string { return strings.TrimLeft(text, "+-") }
