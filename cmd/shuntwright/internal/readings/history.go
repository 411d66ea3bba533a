package readings

import (
	"math"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"time"

	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/inventory/table"
	"shuntwright/meter"
	"shuntwright/meter/reading"
)

// When a meter was read: before anything was done to it, or after.
const (
	AsFound = "found"
	AsLeft  = "left"
)

// historyColumns are the columns of the history, in the order of a new file.
// Behind the first ones it is a file of readings.
var historyColumns = append([]table.Column{
	{Name: "visit", Needed: true}, {Name: "date", Needed: true}, {Name: "as", Needed: true}, {Name: "class", Needed: true}, {Name: "verdict", Needed: true},
}, readingColumns...)

// The columns of the history before those of the readings.
const (
	visitColumn = iota
	dateColumn
	asColumn
	classColumn
	verdictColumn
	historyOnly // how many they are
)

// HistoryPath is the history of a meter: beside its file, bench.history.csv
// for bench.json.
func HistoryPath(meterPath string) string {
	return strings.TrimSuffix(meterPath, filepath.Ext(meterPath)) + ".history.csv"
}

// IsDate tells a day of the calendar, written as YYYY-MM-DD.
func IsDate(text string) bool {
	_, err := time.Parse(time.DateOnly, text)
	return err == nil
}

// History is the file that holds all visits to a meter.
type History struct {
	table *table.Table
	at    []table.Found // where historyColumns are
}

// NewHistory is a history of no visits; path is what its file is to be called.
func NewHistory(path string) *History {
	h := &History{table: table.New(path, names(historyColumns, false)...), at: make([]table.Found, len(historyColumns))}
	for i := range h.at {
		h.at[i].At = i
	}
	return h
}

// ParseHistory reads the bytes of a history; an error names path, line and column.
func ParseHistory(path string, data []byte) (*History, error) {
	t, err := table.Parse(path, data)
	if err != nil {
		return nil, err
	}
	at, err := t.Find(historyColumns...)
	if err != nil {
		return nil, err
	}
	h := &History{table: t, at: at}
	for row := range t.Len() {
		if t.Blank(row) {
			continue
		}
		if _, err := strconv.Atoi(h.cell(row, visitColumn)); err != nil {
			return nil, t.ErrorAt(row, at[visitColumn].At, "visit %q; the number of the visit belongs here", h.cell(row, visitColumn))
		}
		if !IsDate(h.cell(row, dateColumn)) {
			return nil, t.ErrorAt(row, at[dateColumn].At, "date %q; a day of the calendar as YYYY-MM-DD belongs here", h.cell(row, dateColumn))
		}
	}
	return h, nil
}

// cell is one text of the history, empty where the column is not there.
func (h *History) cell(row, column int) string { return h.table.Cell(row, h.at[column]) }

// numbers are the columns but for that of the range's name, which may hold a
// point of its own.
func (h *History) numbers() []table.Found {
	at := historyOnly + int(rangeColumn)
	return slices.Delete(slices.Clone(h.at), at, at+1)
}

// Next is the number of the next visit, one more than the largest so far.
func (h *History) Next() int {
	last := 0
	for row := range h.table.Len() {
		if n, err := strconv.Atoi(h.cell(row, visitColumn)); err == nil {
			last = max(last, n)
		}
	}
	return last + 1
}

// Holds tells that every reading of a visit stands in the history already, with
// its day and as found or left as it is, and in which visit the first of them
// does. A reading that was taken twice must be there twice.
func (h *History) Holds(v *Visit, ranges []meter.Range) (visit int, held bool) {
	if len(v.Set.Readings) == 0 {
		return 0, false
	}
	type key [4]string // range, reference, indicated, direction
	there, first := map[key]int{}, map[key]int{}
	for row := range h.table.Len() {
		if h.cell(row, dateColumn) != v.Date || h.cell(row, asColumn) != v.As {
			continue
		}
		k := key{h.cell(row, historyOnly)}
		for i := 1; i < len(k); i++ {
			k[i] = withPoint(h.cell(row, historyOnly+i))
		}
		if there[k]++; there[k] == 1 {
			first[k], _ = strconv.Atoi(h.cell(row, visitColumn))
		}
	}
	for i := range v.Set.Readings {
		k := key(v.Set.cells(i, ranges)[:4])
		if there[k]--; there[k] < 0 {
			return 0, false
		}
		if i == 0 {
			visit = first[k]
		}
	}
	return visit, true
}

// Appended is the file with one more visit to a meter of these ranges. What is
// there stays as it is, byte for byte, and the new rows keep to its columns, its
// separator, its decimal sign and its line ends.
func (h *History) Appended(v *Visit, ranges []meter.Range) []byte {
	comma := h.table.DecimalComma(h.numbers()...)
	class := ""
	if !math.IsNaN(v.Class) {
		class = strconv.FormatFloat(v.Class, 'g', -1, 64)
	}
	for _, row := range v.Set.rows(ranges) {
		record := make([]string, len(h.table.Header()))
		for c, text := range append([]string{strconv.Itoa(v.Number), v.Date, v.As, class, v.Verdict}, row...) {
			if comma && c != historyOnly {
				text = strings.ReplaceAll(text, ".", ",")
			}
			if h.at[c].There() {
				record[h.at[c].At] = text
			}
		}
		h.table.Append(record...)
	}
	return h.table.Bytes()
}

// rows are the texts of all readings by readingColumns, those with the pointer at
// its stop behind the others.
func (set *Set) rows(ranges []meter.Range) [][]string {
	var out [][]string
	for i := range set.Readings {
		out = append(out, set.cells(i, ranges))
	}
	for _, p := range set.Pegged {
		out = append(out, []string{ranges[p.Range].Name, p.Reference.Text, pegged, p.Direction.String(), "", ""})
	}
	return out
}

// cells are the texts of one reading by readingColumns, each with its unit.
func (set *Set) cells(i int, ranges []meter.Range) []string {
	one, as := set.Readings[i], set.Typed[i]
	r := ranges[one.Range]
	limit := func(x float64) string {
		if x == 0 {
			return "0 " + string(r.Unit)
		}
		return report.Short(x, r.Unit)
	}
	return []string{r.Name, as.Reference.Text, as.Indicated.Text, one.Direction.String(), limit(one.ReferenceLimit), limit(one.IndicatedLimit)}
}

// RenameRanges is a history with its ranges called otherwise; every other byte
// stays.
func RenameRanges(path string, data []byte, now func(string) string) ([]byte, error) {
	h, err := ParseHistory(path, data)
	if err != nil {
		return nil, err
	}
	for row := range h.table.Len() {
		if h.table.Blank(row) {
			continue
		}
		if name := h.cell(row, historyOnly); now(name) != name {
			h.table.Set(row, h.at[historyOnly].At, now(name))
		}
	}
	return h.table.Bytes(), nil
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
// is written down.
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
// visits of one day stay in the order in which they were written.
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
				if err != nil || !(class > 0 && class <= 100) {
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
		rr.set = &all[at].Set
		if wrong, err := rr.add(cellsOf(h.table, row, h.at[historyOnly:])); err != nil {
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
