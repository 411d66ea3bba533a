package worksheet

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"shuntwright/cmd/shuntwright/internal/check"
	"shuntwright/cmd/shuntwright/internal/readings"
	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/cmd/shuntwright/internal/report/sheet"
	"shuntwright/cmd/shuntwright/internal/report/sheet/drawing"
	"shuntwright/meter/quantity"
	"shuntwright/meter/reading"
)

// verdict says above the table of the ranges what the readings tell: pass or
// not, what is to blame, and what puts it right.
func (m *maker) verdict(s *sheet.Section) {
	s.Heading = "Readings, as " + m.As
	if m.Check.Verdict != "" {
		s.Heading += ": " + strings.ToUpper(m.Check.Verdict)
	}
	if len(m.Check.Diagnosis) > 0 {
		s.Before = append(s.Before, "Explains the readings best: "+diagnosed(m.Check.Diagnosis[0])+".")
	}
	for _, r := range m.Check.Repair[:min(1, len(m.Check.Repair))] {
		s.Before = append(s.Before, "Repair: "+repairWords(r)+".")
	}
}

// repairWords say what to solder.
func repairWords(r check.Repaired) string {
	to := fmt.Sprintf("%s, %s", r.Network, quantity.Format(r.Ohms, quantity.Ohm, 4))
	words := r.Action + " " + r.Position + ": " + to
	switch r.Action {
	case "trim":
		words = fmt.Sprintf("leave %s in and wire %s to it: %s", r.Position, report.List(r.Added), to)
	case "replace":
		words = fmt.Sprintf("replace %s by %s", r.Position, to)
	}
	if len(r.First) > 0 {
		words += "; measure what stays first, one end lifted"
	}
	return words
}

// worstRead is the worst reading of a range, and its verdict where it does not
// pass.
func (m *maker) worstRead(name string) sheet.Cell {
	for _, r := range m.Check.Ranges {
		if r.Range != name {
			continue
		}
		cell := sheet.Figures(report.PercentPair(r.Error, orNaN(r.Limit)))
		if r.Verdict != "" && r.Verdict != reading.Pass.String() {
			cell.Lines = append(cell.Lines, report.Words(r.Verdict))
		}
		return cell
	}
	return sheet.Words("not read")
}

// diagnosed is a cause in words, and what it cannot be told from.
func diagnosed(d check.Diagnosed) string {
	words := d.Cause
	for _, one := range []struct {
		implied, limit, from report.Maybe
		unit                 quantity.Unit
	}{{d.ImpliedOhms, d.LimitOhms, d.FromOhms, quantity.Ohm}, {d.ImpliedAmperes, d.LimitAmperes, d.FromAmperes, quantity.Ampere},
		{d.ImpliedDivisions, d.LimitDivisions, nil, quantity.Division}, {d.ImpliedPercent, d.LimitPercent, nil, quantity.Percent}} {
		if one.implied != nil {
			words += " is " + quantity.Format(*one.implied, one.unit, report.ByLimit(100*orNaN(one.limit)/math.Abs(*one.implied)))
		}
		if one.from != nil {
			words += " in place of " + quantity.Format(*one.from, one.unit, 4)
		}
	}
	if d.Open {
		words += " is open"
	}
	for _, with := range d.With {
		words += ", and " + diagnosed(with)
	}
	if len(d.SameAs) > 0 {
		words += ", or " + report.List(d.SameAs) + ", which these readings cannot tell from it"
	}
	return words
}

// scalePlots picture the error over the scale, a plot a range.
func (m *maker) scalePlots() []sheet.Section {
	if m.Check == nil {
		return nil
	}
	marks, words := map[int][]drawing.Mark{}, map[int][]string{}
	var all []drawing.Mark
	for _, p := range m.tested {
		if p.read == "" {
			continue
		}
		one := drawing.Mark{At: p.Reference / m.Ranges[p.Range].FullScale, Percent: p.error, Limit: p.limit, Falling: p.Direction == reading.Down}
		marks[p.Range], all = append(marks[p.Range], one), append(all, one)
		words[p.Range] = append(words[p.Range], p.apply+": "+report.PercentPair(p.error, p.limit).Text)
	}
	axis := drawing.NewAxis(m.class, all...)
	var plots []drawing.Drawing
	for r, one := range m.Ranges {
		if len(marks[r]) > 0 {
			plots = append(plots, axis.Plot(one.Name, strings.Join(words[r], "; "), "0", quantity.Format(one.FullScale, one.Unit, 3), 0, 1, marks[r]))
		}
	}
	return []sheet.Section{{Heading: "Error over the scale", Drawings: plots, After: []string{key(m.class, "dot: rising or not said; circle: falling; bar: limit")}}}
}

// month is the year and month of a day: there is no room for more.
func month(date string) string { return date[:min(len(date), len("2006-01"))] }

// driftPlots picture the worst error of every range over the visits.
func (m *maker) driftPlots() []sheet.Section {
	if len(m.Visits) < 2 {
		return nil
	}
	marks, words := map[int][]drawing.Mark{}, map[int][]string{}
	var all []drawing.Mark
	for i, v := range m.Visits {
		for _, j := range v.Ranges {
			one := drawing.Mark{At: float64(i), Percent: j.ErrorPercent, Limit: j.LimitPercent, Falling: v.As == readings.AsFound}
			marks[j.Range], all = append(marks[j.Range], one), append(all, one)
			words[j.Range] = append(words[j.Range], strings.TrimSpace(v.Date+" "+v.As)+": "+report.PercentPair(j.ErrorPercent, j.LimitPercent).Text)
		}
	}
	axis := drawing.NewAxis(m.class, all...)
	first, last := m.Visits[0], m.Visits[len(m.Visits)-1]
	var plots []drawing.Drawing
	var lines []string
	for r, one := range m.Ranges {
		if len(marks[r]) > 0 {
			plots = append(plots, axis.Plot(one.Name, strings.Join(words[r], "; "), month(first.Date), month(last.Date), 0, float64(len(m.Visits)-1), marks[r]))
			lines = append(lines, one.Name+": "+strings.Join(words[r][max(0, len(words[r])-3):], "; ")+".")
		}
	}
	return []sheet.Section{{Heading: fmt.Sprintf("Worst error at each of %d visits", len(m.Visits)), Drawings: plots,
		After: slices.Concat([]string{key(m.class, "circle: as found; dot: as left or not said; bar: limit")}, lines)}}
}
