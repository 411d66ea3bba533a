package worksheet

import (
	"fmt"
	"math"
	"strings"

	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/cmd/shuntwright/internal/report/sheet"
	"shuntwright/cmd/shuntwright/internal/report/sheet/drawing"
)

// rangesTable shows the error of every range with its limit against the class:
// by the parts, and by the readings where there are any.
func (m *maker) rangesTable() []sheet.Section {
	var marks []drawing.Mark
	for _, r := range m.answer.Ranges {
		marks = append(marks, drawing.Mark{Percent: orNaN(r.FullScaleError), Limit: orNaN(r.LimitPercent)})
	}
	axis := drawing.NewAxis(m.class, marks...)
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

// heatTable shows the error of every range over temperature.
func (m *maker) heatTable() []sheet.Section {
	var all []drawing.Mark
	marks := make([][]drawing.Mark, len(m.answer.Temperature))
	for r, h := range m.answer.Temperature {
		for _, p := range h.Points {
			marks[r] = append(marks[r], drawing.Mark{At: p.Celsius, Percent: orNaN(p.Error), Limit: math.NaN()})
		}
		all = append(all, marks[r]...)
	}
	if len(all) == 0 {
		return nil
	}
	axis := drawing.NewAxis(m.class, all...)
	scale := axis.Scale()
	cold, warm := fmt.Sprintf("%g °C", m.FromCelsius), fmt.Sprintf("%g °C", m.ToCelsius)
	t := &sheet.Table{Columns: []sheet.Column{{Title: "range"}, {Title: "at " + cold, Kind: "number"}, {Title: "at " + warm, Kind: "number"}, {Scale: &scale, Kind: "picture"}}}
	for r, h := range m.answer.Temperature {
		first, last := h.Points[0], h.Points[len(h.Points)-1]
		if first.Error == nil {
			continue
		}
		from, to := report.PercentError(*first.Error, orNaN(first.Limit)), report.PercentError(*last.Error, orNaN(last.Limit))
		t.Rows = append(t.Rows, []sheet.Cell{sheet.Words(unbroken(h.Range)), sheet.Figures(from), sheet.Figures(to),
			sheet.Picture(axis.Bar(fmt.Sprintf("%s at %s, %s at %s", from.Text, cold, to.Text, warm), marks[r]...))})
	}
	if len(t.Rows) == 0 {
		return nil
	}
	return []sheet.Section{{Heading: "Error over temperature", Table: t, After: []string{key(m.class, "circle: cold; dot: warm")}}}
}

// faultTable shows what a failing part does to the movement.
func (m *maker) faultTable() []sheet.Section {
	if len(m.Faults) == 0 {
		return nil
	}
	t := &sheet.Table{Columns: []sheet.Column{{Title: "part that fails"}, {Title: "movement", Kind: "number"}, {Title: "with diodes", Kind: "number"}, {Title: "then it", Kind: "word"}}}
	for _, f := range m.Faults {
		word := "burns"
		if f.Survives {
			word = "survives"
		}
		part := f.Position + " " + map[string]string{"open": "opens", "short": "shorts"}[f.Fault]
		if f.Part != "" {
			part = f.Part + " of " + part
		}
		if !strings.HasSuffix(f.Position, " "+f.Range) {
			part += ", on " + unbroken(f.Range)
		}
		t.Rows = append(t.Rows, []sheet.Cell{sheet.Words(part), sheet.Figures(times(f.Times)), sheet.Figures(times(f.WithDiodes)), sheet.Words(word)})
	}
	return []sheet.Section{{Heading: "If a part fails", Table: t, After: []string{m.FaultSource}}}
}

// times is a multiple of full scale.
func times(x float64) report.Cell {
	switch {
	case math.IsNaN(x):
		return report.None()
	case x < 100:
		return report.Pair(fmt.Sprintf("%.2g ×", x), report.Exact(x))
	}
	return report.Pair(fmt.Sprintf("%.0f ×", x), report.Exact(x))
}
