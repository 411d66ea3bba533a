package readings

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"shuntwright/meter"
	"shuntwright/meter/reading"
)

// InDivisions tells that some reading of the pointer was written in divisions of the
// scale.
func (set *Set) InDivisions() bool {
	return slices.ContainsFunc(set.Typed, func(as Typed) bool { return inDivisions(as.Indicated.Text) })
}

// Visit is one day on which the meter was read.
type Visit struct {
	Number  int
	Date    string  // YYYY-MM-DD
	As      string  // AsFound, AsLeft, or nothing
	Class   float64 // of the meter on that day, percent; NaN where it had none
	Verdict string  // as it was written
	Set     Set
	Ranges  []reading.RangeJudgement // by that class, the limit as guard band
	Gone    []string                 // ranges that were read and that the meter has no longer
}

// LastLeft is the last visit at which the meter was read as it was left; nil: none
// is written down. The history must be one that was read.
func (h *History) LastLeft(m *meter.Meter) (*Visit, error) {
	all, err := h.Visits(m)
	for _, v := range slices.Backward(all) {
		if v.As == AsLeft {
			return v, nil
		}
	}
	return nil, err
}

// Visits reads what was written at every visit to the meter, the earliest first;
// visits of one day stay in the order in which they were written. The history
// must be one that was read.
func (h *History) Visits(m *meter.Meter) ([]*Visit, error) {
	rr := NewReader(m, "", "")
	rr.parse = decimalsOf(h.table, h.numbers())
	var all []*Visit
	for row := range h.table.Len() {
		if h.table.Blank(row) {
			continue
		}
		number, _ := strconv.Atoi(h.cell(row, visitColumn))
		at := slices.IndexFunc(all, func(v *Visit) bool { return v.Number == number })
		if at < 0 {
			v := &Visit{Number: number, Date: h.cell(row, dateColumn), As: h.cell(row, asColumn), Verdict: h.cell(row, verdictColumn), Class: math.NaN()}
			if text := h.cell(row, classColumn); text != "" {
				class, err := strconv.ParseFloat(strings.ReplaceAll(text, ",", "."), 64)
				if err != nil || !(class > 0) {
					return nil, h.table.ErrorAt(row, h.at[classColumn].At, "class %q; the class in percent, or nothing, belongs here", text)
				}
				v.Class = class
			}
			at, all = len(all), append(all, v)
		}
		if name := h.cell(row, historyOnly); name != "" && !slices.ContainsFunc(rr.ranges, func(r meter.Range) bool { return meter.SameName(r.Name, name) }) {
			all[at].Gone = append(all[at].Gone, name)
			continue
		}
		var cells [6]string
		for i := range cells {
			cells[i] = h.cell(row, historyOnly+i)
		}
		rr.set = &all[at].Set
		if wrong, err := rr.add(cells); err != nil {
			return nil, h.table.ErrorAt(row, max(h.at[historyOnly+int(wrong)].At, 0), "%v", err)
		}
	}
	for _, v := range all {
		v.Set.settle()
		v.Ranges = reading.Judge(rr.ranges, v.Set.Readings, v.Class, false).Ranges
	}
	slices.SortStableFunc(all, func(a, b *Visit) int { return strings.Compare(a.Date, b.Date) })
	return all, nil
}
