package main

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io/fs"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"time"

	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/cmd/shuntwright/internal/wording"
	"shuntwright/inventory/safefile"
	"shuntwright/inventory/table"
)

// When a meter was read: before anything was done to it, or after.
const (
	asFound = "found"
	asLeft  = "left"
)

// historyColumns are the columns of the history, in the order of a new file.
// Behind the first ones it is a file of readings.
var historyColumns = append([]string{"visit", "date", "as", "class", "verdict"}, readingColumns...)

// The columns of the history before those of the readings.
const (
	visitColumn = iota
	dateColumn
	asColumn
	classColumn
	verdictColumn
	historyOnly // how many they are
)

// historyPath is the history of a meter: beside its file, bench.history.csv
// for bench.json.
func historyPath(meterPath string) string {
	return strings.TrimSuffix(meterPath, filepath.Ext(meterPath)) + ".history.csv"
}

// checkDate refuses what is no day of the calendar.
func checkDate(text string) error {
	if _, err := time.Parse(time.DateOnly, text); err != nil {
		return misused("--date %q: a day of the calendar as YYYY-MM-DD belongs here, such as 2024-05-31", text)
	}
	return nil
}

// saveVisit lets the readings be written behind those of the visits before.
func (c *call) saveVisit(k *checked, doc report.Document, answer *checkAnswer) (report.Document, error) {
	path := historyPath(k.Path)
	data, stamp, err := safefile.Read(path)
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return doc, fmt.Errorf("reading history: %w", err)
	}
	h := &history{path: path}
	if err == nil {
		if h, err = parseHistory(path, data); err != nil {
			return doc, err
		}
	}
	longer, err := h.appended(data, h.next(), c.options.date, c.options.as, k)
	if err != nil {
		return doc, err
	}
	c.save = func() error {
		if _, err := safefile.Write(path, longer, stamp); err != nil {
			return fmt.Errorf("writing history: %w", err)
		}
		return nil
	}
	answer.Saved = path
	doc.Closing = append(doc.Closing, fmt.Sprintf("saved: %s of %s, in %s; shuntwright check %s --history shows them all",
		wording.Counted(len(k.set.readings), "reading"), c.options.date, path, wording.InShell(k.Path)))
	return doc, nil
}

// history is the file that holds all visits to a meter.
type history struct {
	path  string
	table *table.Table // nil: there is none yet
	at    []int        // where historyColumns are, -1 where one is not there
}

// parseHistory reads the bytes of a history.
func parseHistory(path string, data []byte) (*history, error) {
	t, err := table.Parse(path, data)
	if err != nil {
		return nil, err
	}
	at, err := findColumns(t, historyColumns, historyOnly+neededColumns)
	if err != nil {
		return nil, err
	}
	h := &history{path: path, table: t, at: at}
	for row := range t.Len() {
		if blankRow(t.Row(row)) {
			continue
		}
		if _, err := strconv.Atoi(h.cell(row, visitColumn)); err != nil {
			return nil, t.ErrorAt(row, at[visitColumn], "visit %q; the number of the visit belongs here", h.cell(row, visitColumn))
		}
		if err := checkDate(h.cell(row, dateColumn)); err != nil {
			return nil, t.ErrorAt(row, at[dateColumn], "date %q; a day of the calendar as YYYY-MM-DD belongs here", h.cell(row, dateColumn))
		}
	}
	return h, nil
}

// cell is one text of the history, empty where the column is not there.
func (h *history) cell(row, column int) string {
	if h.at[column] < 0 {
		return ""
	}
	return strings.TrimSpace(h.table.Row(row)[h.at[column]])
}

// numbers are the columns but for that of the range's name, which may hold a
// point of its own.
func (h *history) numbers() []int {
	out := slices.Clone(h.at)
	out[historyOnly+int(rangeColumn)] = -1
	return out
}

// next is the number of the next visit.
func (h *history) next() int {
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

// appended is the file with one more visit. What is there stays as it is, byte
// for byte, and the new rows keep to its columns, its separator, its decimal
// sign and its line ends.
func (h *history) appended(old []byte, visit int, date, as string, k *checked) ([]byte, error) {
	var rows bytes.Buffer
	w := csv.NewWriter(&rows)
	header, at, comma := historyColumns, seq(len(historyColumns)), false
	if h.table != nil {
		header, at = h.table.Header(), h.at
		w.Comma = h.table.Separator()
		w.UseCRLF = bytes.Contains(old, []byte("\r\n"))
		comma = decimalComma(h.table, h.numbers())
	} else if err := w.Write(header); err != nil {
		return nil, err
	}
	class := ""
	if isNumber(k.class) {
		class = strconv.FormatFloat(k.class, 'g', -1, 64)
	}
	for i := range k.set.readings {
		cells := append([]string{strconv.Itoa(visit), date, as, class, k.judged.Verdict.String()}, k.cells(i)...)
		record := make([]string, len(header))
		for c, column := range at {
			if column < 0 {
				continue
			}
			if record[column] = cells[c]; comma && c != historyOnly {
				record[column] = strings.ReplaceAll(cells[c], ".", ",")
			}
		}
		if err := w.Write(record); err != nil {
			return nil, err
		}
	}
	w.Flush()
	out := bytes.Clone(old)
	if len(out) > 0 && !bytes.HasSuffix(out, []byte("\n")) {
		out = append(out, map[bool]string{true: "\r\n", false: "\n"}[w.UseCRLF]...)
	}
	return append(out, rows.Bytes()...), w.Error()
}

// cells are the texts of one reading by readingColumns, each with its unit.
func (k *checked) cells(i int) []string {
	one, as := k.set.readings[i], k.set.typed[i]
	r := k.Ranges[one.Range]
	limit := func(x float64) string {
		if x == 0 {
			return "0 " + string(r.Unit)
		}
		return shortText(x, r.Unit)
	}
	return []string{r.Name, as.reference.Text, as.indicated.Text, directionWords[one.Direction], limit(one.ReferenceLimit), limit(one.IndicatedLimit)}
}

// seq is 0, 1, 2 and so on, n of them.
func seq(n int) []int {
	out := make([]int, n)
	for i := range out {
		out[i] = i
	}
	return out
}
