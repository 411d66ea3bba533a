package worksheet

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"shuntwright/cmd/shuntwright/internal/readings"
	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/cmd/shuntwright/internal/report/sheet"
	"shuntwright/meter/quantity"
	"shuntwright/meter/reading"
)

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
