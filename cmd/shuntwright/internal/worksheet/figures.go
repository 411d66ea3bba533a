package worksheet

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"shuntwright/cmd/shuntwright/internal/readings"
	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/cmd/shuntwright/internal/report/sheet"
	"shuntwright/meter/quantity"
	"shuntwright/meter/reading"
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

// verdict says above the table of the ranges what the readings tell: pass or
// not, what is to blame, and what puts it right.
func (m *maker) verdict(s *sheet.Section) {
	s.Heading = "Readings, as " + m.As
	if m.Check.Verdict != "" {
		s.Heading += ": " + strings.ToUpper(m.Check.Verdict) + m.Check.Part()
	}
	for _, line := range m.Said {
		if !strings.Contains(line, "\n") { // else commands for who sits at the program
			s.Before = append(s.Before, line)
		}
	}
}

// worstRead is the worst reading of a range, and its verdict where it does not
// pass.
func (m *maker) worstRead(name string) sheet.Cell {
	for _, r := range m.Check.Ranges {
		if r.Range != name {
			continue
		}
		cell := sheet.Figures(report.PercentPair(r.Error, report.Number(r.Limit)))
		if r.Verdict != "" && r.Verdict != reading.Pass.String() {
			cell.Lines = append(cell.Lines, report.Words(r.Verdict))
		}
		return cell
	}
	return sheet.Words("not read")
}

// scalePlots picture the error over the scale, a plot a range.
func (m *maker) scalePlots() []sheet.Section {
	if m.Check == nil {
		return nil
	}
	marks, words := map[int][]sheet.Mark{}, map[int][]string{}
	var all []sheet.Mark
	for _, p := range m.tested {
		if p.read == "" {
			continue
		}
		one := sheet.Mark{At: p.Reference / m.Ranges[p.Range].FullScale, Percent: p.error, Limit: p.limit, Falling: p.Direction == reading.Down}
		marks[p.Range], all = append(marks[p.Range], one), append(all, one)
		words[p.Range] = append(words[p.Range], p.apply+": "+report.PercentPair(p.error, p.limit).Text)
	}
	axis := sheet.NewAxis(m.class, all...)
	var plots []sheet.Drawing
	for r, one := range m.Ranges {
		if len(marks[r]) > 0 {
			plots = append(plots, axis.Plot(one.Name, strings.Join(words[r], "; "), quantity.Format(one.FullScale, one.Unit, 3), marks[r]))
		}
	}
	ends := fmt.Sprintf("dot: rising or not said; circle: falling; bar: limit; from -%.2[1]g %% to +%.2[1]g %%", axis.Span)
	return []sheet.Section{{Heading: "Error over the scale", Drawings: plots, After: []string{key(m.class, ends)}}}
}

// driftTable pictures the worst error of every range over the visits.
func (m *maker) driftTable() []sheet.Section {
	if len(m.Visits) < 2 {
		return nil
	}
	shown := []*readings.Visit{m.Visits[0]} // what came between is in the picture alone
	shown = append(shown, m.Visits[max(1, len(m.Visits)-2):]...)
	p := course{heading: fmt.Sprintf("Worst error at each of %d visits", len(m.Visits)), key: "circle: first visit; dot: last"}
	for _, v := range shown {
		p.columns = append(p.columns, strings.TrimSpace(v.Date+" "+v.As))
	}
	for r, one := range m.Ranges {
		row := way{name: one.Name, figures: make([]report.Cell, len(shown))}
		var said []string
		for _, v := range m.Visits {
			for _, j := range v.Ranges {
				if j.Range != r {
					continue
				}
				figure := report.PercentError(j.ErrorPercent, j.LimitPercent)
				row.marks = append(row.marks, sheet.Mark{Percent: j.ErrorPercent, Limit: math.NaN()})
				said = append(said, strings.TrimSpace(v.Date+" "+v.As)+": "+figure.Text)
				if at := slices.Index(shown, v); at >= 0 {
					row.figures[at] = figure
				}
			}
		}
		if row.words = strings.Join(said, "; "); len(said) > 0 {
			p.rows = append(p.rows, row)
		}
	}
	return m.table(p)
}
