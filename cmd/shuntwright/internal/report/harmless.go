package report

import (
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf16"
	"unicode/utf8"
)

// Harmless shows what a terminal would obey, or what changes the order of what
// is read, as what it is: \x1b for escape. Line ends stay.
func Harmless(text string) string {
	if !strings.ContainsFunc(text, obeyed) {
		return text
	}
	var out strings.Builder
	for _, r := range text {
		switch {
		case r == '\t':
			out.WriteByte(' ')
		case obeyed(r):
			out.WriteString(strings.Trim(strconv.QuoteRuneToASCII(r), "'"))
		default:
			out.WriteRune(r)
		}
	}
	return out.String()
}

// obeyed tells control characters, and those that turn or join what is beside
// them.
func obeyed(r rune) bool {
	return r != '\n' && (unicode.IsControl(r) || unicode.In(r, unicode.Cf, unicode.Zl, unicode.Zp))
}

// harmless is a document whose texts are harmless.
func (d Document) harmless() Document {
	d.Heading, d.Next = Harmless(d.Heading), Harmless(d.Next)
	for _, texts := range []*[]string{&d.BottomLine, &d.Closing, &d.Details, &d.Notes.Assumptions, &d.Notes.Warnings} {
		*texts = slices.Clone(*texts)
		for i, text := range *texts {
			(*texts)[i] = Harmless(text)
		}
	}
	d.Notes.Cautions = slices.Clone(d.Notes.Cautions)
	for i, c := range d.Notes.Cautions {
		d.Notes.Cautions[i] = Caution{Harmless(c.Line), Harmless(c.Text)}
	}
	d.Tables = slices.Clone(d.Tables)
	for i := range d.Tables {
		d.Tables[i].Heading = Harmless(d.Tables[i].Heading)
		d.Tables[i].Rows = harmlessRows(d.Tables[i].Rows)
	}
	return d
}

// harmlessRows are rows whose texts are harmless.
func harmlessRows(rows [][]Cell) [][]Cell {
	out := make([][]Cell, len(rows))
	for i, row := range rows {
		out[i] = slices.Clone(row)
		for k, cell := range row {
			out[i][k].Text, out[i][k].Exact = Harmless(cell.Text), Harmless(cell.Exact)
		}
	}
	return out
}

// harmlessJSON escapes what JSON lets stand within its texts and a terminal
// would obey.
func harmlessJSON(data []byte) []byte {
	if !slices.ContainsFunc([]rune(string(data)), obeyed) {
		return data
	}
	var out []byte
	for _, r := range string(data) {
		if obeyed(r) {
			for _, half := range utf16.AppendRune(nil, r) {
				out = append(out, `\u`+strconv.FormatUint(0x10000+uint64(half), 16)[1:]...)
			}
			continue
		}
		out = utf8.AppendRune(out, r)
	}
	return out
}

// guarded is a text as a cell of CSV that no spreadsheet runs as a formula.
func guarded(text string) string {
	if text == "" || !strings.Contains("=+-@", text[:1]) {
		return text
	}
	if _, err := strconv.ParseFloat(text, 64); err == nil {
		return text
	}
	return "'" + text
}
