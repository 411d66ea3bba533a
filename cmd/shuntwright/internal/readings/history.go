package readings

import (
	"bytes"
	"encoding/csv"
	"math"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"time"

	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/inventory/table"
	"shuntwright/meter"
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

// History is the file that holds all visits to a meter; the zero value is one
// that is not there yet.
type History struct {
	table *table.Table  // nil: there is none yet
	at    []table.Found // where historyColumns are
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
	if h.table == nil {
		return 1
	}
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
	if h.table == nil || len(v.Set.Readings) == 0 {
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

// Appended is the file, old as it was read, with one more visit to a meter of
// these ranges. What is there stays as it is, byte for byte, and the new rows
// keep to its columns, its separator, its decimal sign and its line ends.
func (h *History) Appended(old []byte, v *Visit, ranges []meter.Range) ([]byte, error) {
	var rows bytes.Buffer
	w := csv.NewWriter(&rows)
	header, at, comma := names(historyColumns, false), seq(len(historyColumns)), false
	if h.table != nil {
		header, at = h.table.Header(), h.at
		w.Comma = h.table.Separator()
		w.UseCRLF = bytes.Contains(old, []byte("\r\n"))
		comma = h.table.DecimalComma(h.numbers()...)
	} else if err := w.Write(header); err != nil {
		return nil, err
	}
	class := ""
	if !math.IsNaN(v.Class) {
		class = strconv.FormatFloat(v.Class, 'g', -1, 64)
	}
	for _, row := range v.Set.rows(ranges) {
		cells := append([]string{strconv.Itoa(v.Number), v.Date, v.As, class, v.Verdict}, row...)
		record := make([]string, len(header))
		for c, column := range at {
			if !column.There() {
				continue
			}
			if record[column.At] = cells[c]; comma && c != historyOnly {
				record[column.At] = strings.ReplaceAll(cells[c], ".", ",")
			}
		}
		if err := w.Write(record); err != nil {
			return nil, err
		}
	}
	w.Flush()
	out := bytes.Clone(old)
	if len(out) > 0 && !bytes.HasSuffix(out, []byte("\n")) {
		out = append(out, report.Either(w.UseCRLF, "\r\n", "\n")...)
	}
	return append(out, rows.Bytes()...), w.Error()
}

// rows are the texts of all readings by readingColumns, those with the pointer at
// its stop behind the others.
func (set *Set) rows(ranges []meter.Range) [][]string {
	var out [][]string
	for i := range set.Readings {
		out = append(out, set.cells(i, ranges))
	}
	for _, p := range set.Pegged {
		out = append(out, []string{ranges[p.Range].Name, p.Reference.Text, pegged, DirectionWord(p.Direction), "", ""})
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
	return []string{r.Name, as.Reference.Text, as.Indicated.Text, DirectionWord(one.Direction), limit(one.ReferenceLimit), limit(one.IndicatedLimit)}
}

// seq are n columns in their order.
func seq(n int) []table.Found {
	out := make([]table.Found, n)
	for i := range out {
		out[i].At = i
	}
	return out
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
