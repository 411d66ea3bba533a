package table

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"strings"
	"unicode/utf8"
)

// Error is what is wrong at one place of a file.
type Error struct {
	File   string
	Line   int // 1-based
	Column int // 1-based, in characters (runes); of a cell, where its text begins, quotation mark included
	Reason string
	Header bool // it is about the names of the columns
}

// Error returns one line: file:line:column, and the reason.
func (e *Error) Error() string {
	return fmt.Sprintf("%s:%d:%d: %s", e.File, e.Line, e.Column, e.Reason)
}

// ErrorAt returns an error at the byte offset of a text, which is the file
// called name without its byte-order mark.
func ErrorAt(name, text string, offset int, format string, args ...any) error {
	before := text[:min(offset, len(text))]
	start := strings.LastIndexByte(before, '\n') + 1
	return &Error{
		File: name, Line: 1 + strings.Count(before, "\n"), Column: 1 + utf8.RuneCountInString(before[start:]),
		Reason: fmt.Sprintf(format, args...),
	}
}

const byteOrderMark = "\ufeff"

// Text returns the text of a file without its byte-order mark, and the mark.
// What is not UTF-8, or holds NUL, is an *Error that says where.
func Text(name string, data []byte) (text, mark string, err error) {
	text = string(data)
	if strings.HasPrefix(text, "\xff\xfe") || strings.HasPrefix(text, "\xfe\xff") {
		return "", "", ErrorAt(name, text, 0, "the file is UTF-16; save it as UTF-8")
	}
	if rest, found := strings.CutPrefix(text, byteOrderMark); found {
		text, mark = rest, byteOrderMark
	}
	if at := strings.IndexByte(text, 0); at >= 0 {
		return "", "", ErrorAt(name, text, at, "a NUL character; this is no text file, or a damaged one")
	}
	for at, r := range text {
		if r == utf8.RuneError && !strings.HasPrefix(text[at:], string(utf8.RuneError)) {
			return "", "", ErrorAt(name, text, at, "the byte %#x is not UTF-8; save the file as UTF-8", text[at])
		}
	}
	return text, mark, nil
}

// Parse reads a file called name: RFC 4180, separated by commas, semicolons
// or tabs, whichever the header line holds most of. Blank lines are kept and
// count as nothing. Every row must have as many cells as the header. Every
// error is an *Error.
func Parse(name string, data []byte) (*Table, error) {
	text, mark, err := Text(name, data)
	if err != nil {
		return nil, err
	}
	if strings.TrimSpace(text) == "" {
		return nil, ErrorAt(name, "", 0, "the file is empty; its first line must name the columns")
	}
	if at := len(text) - len(strings.TrimLeft(text, " \t\r\n")); text[at] == '{' || text[at] == '[' {
		return nil, ErrorAt(name, text, at, "the file looks like JSON; a CSV table belongs here, whose first line names the columns")
	}
	if at := strings.IndexByte(text, '\r'); at >= 0 && !strings.Contains(text, "\n") {
		return nil, ErrorAt(name, text, at, "lines end in a carriage return alone; save the file with LF or CRLF line ends")
	}
	if strings.HasSuffix(text, "\r") { // a row put behind it would make it part of a line end
		return nil, ErrorAt(name, text, len(text)-1, "the last line ends in a carriage return alone; save the file with LF or CRLF line ends")
	}
	t := &Table{name: name, mark: mark, separator: separator(text), lineEnd: "\n"}
	return t, t.read(text)
}

// separator returns what separates the names in the first line that is not
// blank; a comma where there is one name only.
func separator(text string) rune {
	line, _, _ := strings.Cut(strings.TrimLeft(text, "\r\n"), "\n")
	best, most := ',', 0
	for _, s := range []rune{',', ';', '\t'} {
		if count := strings.Count(line, string(s)); count > most {
			best, most = s, count
		}
	}
	return best
}

func (t *Table) read(text string) error {
	r := t.reader(text)
	start := 0
	for {
		cells, err := r.Read()
		if err == io.EOF {
			break
		}
		if err != nil {
			return t.damaged(text, len(cells), err)
		}
		end := int(r.InputOffset())
		line, _ := r.FieldPos(0)
		record := row{raw: text[start:end], cells: cells, line: line}
		start = end
		if t.header.cells == nil {
			t.header = record
			if strings.HasSuffix(record.raw, "\r\n") {
				t.lineEnd = "\r\n"
			}
			continue
		}
		t.rows = append(t.rows, record)
		if have, want := len(cells), len(t.header.cells); have != want {
			return t.ErrorAt(len(t.rows)-1, min(have, want+1)-1, "the row has %d cells and the header %d; %s", have, want, t.ragged(have > want))
		}
	}
	t.tail = text[start:]
	return nil
}

func (t *Table) ragged(surplus bool) string {
	name := map[rune]string{',': "commas", ';': "semicolons", '\t': "tabs"}[t.separator]
	if surplus {
		return "put a cell that holds " + name + " in quotation marks"
	}
	return "write " + name + " for the empty cells too"
}

// damaged says where quotation marks are wrong. encoding/csv counts columns in
// bytes; cell is the number of cells it could read before.
func (t *Table) damaged(text string, cell int, err error) error {
	var wrong *csv.ParseError
	if !errors.As(err, &wrong) {
		return ErrorAt(t.name, text, 0, "%v", err)
	}
	offset := offsetOf(text, wrong.Line, wrong.Column)
	if errors.Is(err, csv.ErrQuote) && !strings.HasPrefix(text[offset:], `"`) {
		return &Error{File: t.name, Line: wrong.StartLine, Column: 1,
			Reason: fmt.Sprintf("cell %d of this row opens a quotation mark that nothing closes", cell+1)}
	}
	return ErrorAt(t.name, text, offset, `a quotation mark within a cell; put the cell in marks and write this one twice, such as "5"" reel"`)
}

// offsetOf returns the byte offset of a line and a byte column, both from 1.
func offsetOf(text string, line, column int) int {
	start := 0
	for range line - 1 {
		next := strings.IndexByte(text[start:], '\n')
		if next < 0 {
			break
		}
		start += next + 1
	}
	return min(start+column-1, len(text))
}

func (t *Table) reader(text string) *csv.Reader {
	r := csv.NewReader(strings.NewReader(text))
	r.Comma = t.separator
	r.FieldsPerRecord = -1
	return r
}

// span is where a cell stands in a record, quotation marks included.
type span struct{ from, to int }

// spans returns where the cells of a record stand in its text, which must be
// one that reader has read.
func (t *Table) spans(raw string) []span {
	r := t.reader(raw)
	cells, _ := r.Read()
	body, _ := cutLineEnd(raw)
	spans := make([]span, len(cells))
	for i := range cells {
		line, column := r.FieldPos(i)
		spans[i] = span{offsetOf(raw, line, column), len(body)}
		if i > 0 {
			spans[i-1].to = spans[i].from - len(string(t.separator))
		}
	}
	return spans
}

// ErrorAt returns an *Error at a cell of a row as the file was read; -1 is the
// header's row. A row added since has line 0.
func (t *Table) ErrorAt(at, column int, format string, args ...any) error {
	r := t.header
	if at >= 0 {
		r = t.rows[at]
	}
	from := t.spans(r.raw)[column].from
	start := strings.LastIndexByte(r.raw[:from], '\n') + 1
	blank := len(r.raw) - len(strings.TrimLeft(r.raw, "\r\n"))
	return &Error{
		File: t.name, Line: r.line + strings.Count(r.raw[min(blank, from):from], "\n"),
		Column: 1 + utf8.RuneCountInString(r.raw[start:from]), Reason: fmt.Sprintf(format, args...), Header: at < 0,
	}
}
