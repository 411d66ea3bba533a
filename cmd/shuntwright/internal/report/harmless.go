package report

import (
	"io"
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

// mapped is a document whose texts a function has changed.
func (d Document) mapped(f func(string) string) Document {
	d.Heading, d.Next = f(d.Heading), f(d.Next)
	for _, texts := range []*[]string{&d.BottomLine, &d.Raised, &d.Closing, &d.Details, &d.Notes.Assumptions, &d.Notes.Warnings} {
		*texts = slices.Clone(*texts)
		for i, text := range *texts {
			(*texts)[i] = f(text)
		}
	}
	d.Notes.Cautions = slices.Clone(d.Notes.Cautions)
	for i, c := range d.Notes.Cautions {
		d.Notes.Cautions[i] = Caution{f(c.Line), f(c.Text)}
	}
	d.Tables = slices.Clone(d.Tables)
	for i := range d.Tables {
		d.Tables[i].Heading = f(d.Tables[i].Heading)
		d.Tables[i].Columns = slices.Clone(d.Tables[i].Columns)
		for k := range d.Tables[i].Columns {
			d.Tables[i].Columns[k].Title = f(d.Tables[i].Columns[k].Title)
		}
		d.Tables[i].Rows = mappedRows(d.Tables[i].Rows, f)
	}
	return d
}

// mappedRows are rows whose texts a function has changed.
func mappedRows(rows [][]Cell, f func(string) string) [][]Cell {
	out := make([][]Cell, len(rows))
	for i, row := range rows {
		out[i] = slices.Clone(row)
		for k, cell := range row {
			out[i][k].Text, out[i][k].Exact = f(cell.Text), f(cell.Exact)
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

// plain are the signs that the program writes, in characters that every terminal
// has. Each is one that the program reads too, where it can be typed.
var plain = strings.NewReplacer(
	"Ω", "ohm", "µ", "u", "μ", "u", "±", "+-", "°C", "C", "℃", "C", "°", "deg", "√", "sqrt", "²", "^2", "³", "^3", "·", "*", "×", "x",
	"−", "-", "–", "-", "…", "...", "≤", "<=", "≥", ">=", "≈", "~", "→", "->", "θ", "theta", "Σ", "sum",
	"├", "|", "┤", "|", "┼", "+", "┬", "+", "└", "+", "┘", "+", "─", "-", "━", "=", "●", "o", "▶", ">", "◀", "<")

// plainly writes a text in ASCII, but for letters that somebody gave to what is
// his: a file whose name were written otherwise would not be found.
func plainly(text string) string { return plain.Replace(text) }

// PlainWriter passes on what is written to it, plainly.
func PlainWriter(w io.Writer) io.Writer { return plainWriter{w} }

type plainWriter struct{ io.Writer }

func (w plainWriter) Write(text []byte) (int, error) {
	if _, err := io.WriteString(w.Writer, plainly(string(text))); err != nil {
		return 0, err
	}
	return len(text), nil
}
