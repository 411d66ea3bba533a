package worksheet

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/cmd/shuntwright/internal/report/sheet"
)

// rangesTable shows the error of every range with its limit against the class:
// by the parts, and by the readings where there are any.
func (m *maker) rangesTable() []sheet.Section {
	var marks []sheet.Mark
	for _, r := range m.answer.Ranges {
		marks = append(marks, sheet.Mark{Percent: report.Number(r.FullScaleError), Limit: report.Number(r.LimitPercent)})
	}
	axis := sheet.NewAxis(m.class, marks...)
	scale := axis.Scale()
	t := &sheet.Table{Columns: []sheet.Column{{Title: "range"}, {Title: "by the parts", Kind: "number"}, {Scale: &scale, Kind: "picture"}, {Title: "verdict", Kind: "word"}}}
	s := sheet.Section{Heading: "Error at full scale, by the parts", Table: t, After: []string{key(m.class, "dot: error; thick line: its limit")}}
	if m.Check != nil {
		t.Columns[1].Title, t.Columns[3] = "by the parts, at full scale", sheet.Column{Title: "as read, worst", Kind: "number"}
		m.verdict(&s)
	}
	for i, r := range m.answer.Ranges {
		row := []sheet.Cell{sheet.Words(unbroken(r.Range)), sheet.Words("open"), {}, {}}
		if r.FullScaleError != nil {
			figure := report.PercentPair(marks[i].Percent, marks[i].Limit)
			row[1], row[2], row[3] = sheet.Figures(figure), sheet.Picture(axis.Bar(figure.Text, marks[i])), sheet.Words(r.Verdict)
		}
		if m.Check != nil {
			row[3] = m.worstRead(r.Range)
		}
		t.Rows = append(t.Rows, row)
	}
	return []sheet.Section{s}
}

// key says what the lines of a picture are.
func key(class float64, marks string) string {
	if math.IsNaN(class) {
		return strings.ToUpper(marks[:1]) + marks[1:] + "."
	}
	return fmt.Sprintf("%s%s; broken lines: class %g.", strings.ToUpper(marks[:1]), marks[1:], class)
}

// course is how the errors of the ranges change, over temperature or over the
// years: a table with a picture in every row.
type course struct {
	heading, key string
	columns      []string
	rows         []way
}

// way is how the error of one range changes.
type way struct {
	name    string
	figures []report.Cell
	marks   []sheet.Mark
	words   string // what its picture shows
}

// table makes the table of a course.
func (m *maker) table(c course) []sheet.Section {
	if len(c.rows) == 0 {
		return nil
	}
	var all []sheet.Mark
	for _, r := range c.rows {
		all = append(all, r.marks...)
	}
	axis := sheet.NewAxis(m.class, all...)
	scale := axis.Scale()
	t := &sheet.Table{Columns: []sheet.Column{{Title: "range"}}}
	for _, title := range c.columns {
		t.Columns = append(t.Columns, sheet.Column{Title: title, Kind: "number"})
	}
	t.Columns = append(t.Columns, sheet.Column{Scale: &scale, Kind: "picture"})
	for _, r := range c.rows {
		row := []sheet.Cell{sheet.Words(unbroken(r.name))}
		for _, figure := range r.figures {
			row = append(row, sheet.Figures(figure))
		}
		t.Rows = append(t.Rows, append(row, sheet.Picture(axis.Bar(r.words, r.marks...))))
	}
	return []sheet.Section{{Heading: c.heading, Table: t, After: []string{key(m.class, c.key)}}}
}

// heatTable shows the error of every range over temperature.
func (m *maker) heatTable() []sheet.Section {
	cold, warm := fmt.Sprintf("at %g °C", m.FromCelsius), fmt.Sprintf("at %g °C", m.ToCelsius)
	p := course{heading: "Error over temperature", key: "circle: cold; dot: warm", columns: []string{cold, warm}}
	for _, h := range m.answer.Temperature {
		first, last := h.Points[0], h.Points[len(h.Points)-1]
		if first.Error == nil {
			continue
		}
		from, to := report.PercentError(*first.Error, report.Number(first.Limit)), report.PercentError(*last.Error, report.Number(last.Limit))
		row := way{name: h.Range, figures: []report.Cell{from, to}, words: fmt.Sprintf("%s %s, %s %s", from.Text, cold, to.Text, warm)}
		for _, at := range h.Points {
			row.marks = append(row.marks, sheet.Mark{Percent: report.Number(at.Error), Limit: math.NaN()})
		}
		p.rows = append(p.rows, row)
	}
	return m.table(p)
}

// faultTable shows what a failing part does to the movement.
func (m *maker) faultTable() []sheet.Section {
	if len(m.Faults) == 0 {
		return nil
	}
	t := &sheet.Table{Columns: []sheet.Column{{Title: "part that fails"}, {Title: "as drawn", Kind: "number"}, {Title: "with diodes", Kind: "number"}}}
	for _, f := range m.Faults {
		part := unbroken(f.Position) + " " + map[string]string{"open": "opens", "short": "shorts"}[f.Fault]
		if f.Part != "" {
			part = f.Part + " of " + part
		}
		if !strings.HasSuffix(f.Position, " "+f.Range) {
			part += ", on " + unbroken(f.Range)
		}
		t.Rows = append(t.Rows, []sheet.Cell{sheet.Words(part), sheet.Figures(m.carries(f.Times)), sheet.Figures(m.carries(f.WithDiodes))})
	}
	return []sheet.Section{{Heading: "If a part fails, the movement carries", Table: t, After: []string{m.FaultSource}}}
}

// carries is a multiple of full scale, and what the movement makes of it.
func (m *maker) carries(times float64) report.Cell {
	if math.IsNaN(times) {
		return report.None()
	}
	word := "survives"
	if times > m.Stands {
		word = "burns"
	}
	text := strconv.FormatFloat(times, 'f', 0, 64)
	if times < 100 {
		text = strconv.FormatFloat(times, 'g', 2, 64)
	}
	return report.Pair(text+" × "+word, report.Exact(times))
}
