package table

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"
)

func mustParse(t *testing.T, text string) *Table {
	t.Helper()
	table, err := Parse("d.csv", []byte(text))
	if err != nil {
		t.Fatalf("%q: %v", text, err)
	}
	return table
}

// Files that no two programs would write alike.
var files = []string{
	"id,ohms\nR001,10.91\n",
	"id,ohms\r\nR001,10.91\r\n",
	"\ufeffid,ohms\r\nR001,10.91",
	"id;ohms\nR001;10,91\n",
	"id\tohms\nR001\t10.91\n",
	"\"id\",\"ohms\"\n\"R001\",\"10.91\"\n",
	"id,ohms,note\nR001,10.91,\"two\nlines, \"\"quoted\"\"\"\nR002,5,\n",
	"\n\nid,ohms\n\n\nR001, 10.91 \r\n\n\n",
	"id\nR001\n\"\"\n",
	"id,ohms",
	"id,ohms\nÜ1,1 Ω",
	"id,ohms,note\r\nR001,10.91,\"two\r\nlines\"\r\nR002,5,x\r\n",
}

func TestUntouchedFileIsKept(t *testing.T) {
	for _, text := range files {
		if got := string(mustParse(t, text).Bytes()); got != text {
			t.Errorf("%q is written back as %q", text, got)
		}
	}
}

func TestSetChangesOneCell(t *testing.T) {
	tests := []struct {
		text        string
		row, column int
		cell, want  string
	}{
		{"id,ohms\nR001,10.91\n", 0, 1, "11", "id,ohms\nR001,11\n"},
		{"id,ohms\nR001,10.91", 0, 1, "11", "id,ohms\nR001,11"},
		{"\ufeffid;ohms;x\r\nR001;10,91;y\r\n", 0, 1, "11,2", "\ufeffid;ohms;x\r\nR001;11,2;y\r\n"},
		{"id,ohms\n\"R001\",\"10.91\"\n", 0, 1, "11", "id,ohms\n\"R001\",\"11\"\n"},
		{"id,ohms\nR001, 10.91 \n", 0, 0, "R2", "id,ohms\nR2, 10.91 \n"},
		{"id,ohms\n\n\nR001,1\n", 0, 1, "2", "id,ohms\n\n\nR001,2\n"},
		{"id,ohms\n\r\nR001,1\n", 0, 1, "2", "id,ohms\n\r\nR001,2\n"},
		{"id,note,ohms\nR001,\"two\r\nlines, \"\"so\"\"\",1\n", 0, 2, "2", "id,note,ohms\nR001,\"two\r\nlines, \"\"so\"\"\",2\n"},
		{"id,note,ohms\nR001,\"two\nlines\",1\n", 0, 1, "one", "id,note,ohms\nR001,\"one\",1\n"},
		{"id,note\nR001,x\n", 0, 1, "a,\"b\"\nc", "id,note\nR001,\"a,\"\"b\"\"\nc\"\n"},
		{"id,note\nR001,x\nR002,y\n", 1, 1, "", "id,note\nR001,x\nR002,\n"},
		{"id,note\nR001,\"x\r\ny\"\n", 0, 1, "x\ny", "id,note\nR001,\"x\r\ny\"\n"}, // as it is
		{"id,note\nR001,\"x\"\n", 0, 1, "x", "id,note\nR001,\"x\"\n"},              // as it is
		{"id,ohms\nÜ1,1 Ω,\n"[:len("id,ohms\nÜ1,1 Ω")] + "\n", 0, 1, "2 Ω", "id,ohms\nÜ1,2 Ω\n"},
	}
	for _, test := range tests {
		table := mustParse(t, test.text)
		table.Set(test.row, test.column, test.cell)
		if got := string(table.Bytes()); got != test.want {
			t.Errorf("%q: set to %q is %q, want %q", test.text, test.cell, got, test.want)
		}
		if got := table.Row(test.row)[test.column]; got != test.cell {
			t.Errorf("%q: the cell is %q, want %q", test.text, got, test.cell)
		}
	}
}

func TestAppendRemoveAddColumn(t *testing.T) {
	for _, test := range []struct {
		text string
		do   func(*Table)
		want string
	}{
		{"id,ohms\nR001,1\n", func(t *Table) { t.Append("R002", "2") }, "id,ohms\nR001,1\nR002,2\n"},
		{"id,ohms\nR001,1", func(t *Table) { t.Append("R002", "2") }, "id,ohms\nR001,1\nR002,2\n"},
		{"id,ohms\r\nR001,1\r\n\r\n", func(t *Table) { t.Append("R002") }, "id,ohms\r\nR001,1\r\nR002,\r\n\r\n"},
		{"id,ohms", func(t *Table) { t.Append("R001", "a,b") }, "id,ohms\nR001,\"a,b\"\n"},
		{"id,ohms\nR001,1\n", func(t *Table) { t.Append() }, "id,ohms\nR001,1\n,\n"},
		{"id;ohms\nR001;1\nR002;2", func(t *Table) { t.Remove(0) }, "id;ohms\nR002;2"},
		{"id;ohms\nR001;1\r\nR002;2", func(t *Table) { t.AddColumn("a;b") }, "id;ohms;\"a;b\"\nR001;1;\r\nR002;2;"},
		{"id\nR001\n\"\"\n", func(t *Table) { t.Set(0, t.AddColumn("x"), "y") }, "id,x\nR001,y\n\"\",\n"},
		{"id\nR001\n", func(t *Table) { t.Set(0, 0, ""); t.Append("") }, "id\n\"\"\n\"\"\n"},
	} {
		table := mustParse(t, test.text)
		test.do(table)
		got := string(table.Bytes())
		if got != test.want {
			t.Errorf("%q: got %q, want %q", test.text, got, test.want)
		}
		again := mustParse(t, got)
		if again.Len() != table.Len() {
			t.Errorf("%q has %d rows, want %d", got, again.Len(), table.Len())
		}
	}
	table := New("new.csv", "id", "a note")
	table.Append("R001")
	if got := string(table.Bytes()); got != "id,a note\nR001,\n" {
		t.Errorf("a new table is %q", got)
	}
	if table.Line(0) != 0 || table.Separator() != ',' || !slices.Equal(table.Header(), []string{"id", "a note"}) {
		t.Errorf("a new table is %+v", table)
	}
}

func TestParseRefuses(t *testing.T) {
	tests := []struct{ text, says string }{
		{"", "d.csv:1:1: the file is empty"},
		{"\ufeff", "d.csv:1:1: the file is empty"},
		{"\n \n", "d.csv:1:1: the file is empty"},
		{"id,ohms\rR001,1\r", "d.csv:1:8: lines end in a carriage return alone"},
		{"id,ohms\nR001\n", "d.csv:2:1: the row has 1 cells and the header 2; write commas"},
		{"id;ohms\nR001;1\nR002;2;;\n", "d.csv:3:8: the row has 4 cells and the header 2; put a cell that holds semicolons in"},
		{"id\tohms\nR001\t1\t2\n", "d.csv:2:8: the row has 3 cells and the header 2; put a cell that holds tabs in"},
		{"id,note,ohms\nR1,\"x\ny\"\n", "d.csv:2:4: the row has 2 cells and the header 3"},
		{"id,ohms\n\nÜ1,\"4,7\n\nR2,2\n", "d.csv:3:1: cell 2 of this row opens a quotation mark that nothing closes"},
		{"id,ohms\nR001,\"4\"7\n", "d.csv:2:8: a quotation mark within a cell"},
		{"id,note\nΩ1,5\" reel\n", "d.csv:2:5: a quotation mark within a cell"},
		{"id,ohms\nR001,\"4\"7", "d.csv:2:8: a quotation mark within a cell"},
		{"id,ohms\nR\x001,1\n", "d.csv:2:2: a NUL character"},
		{"id,ohms\nΩ\xff,1\n", "d.csv:2:2: the byte 0xff is not UTF-8"},
		{"\xff\xfei\x00d\x00", "d.csv:1:1: the file is UTF-16"},
		{"\xfe\xff\x00i\x00d", "d.csv:1:1: the file is UTF-16"},
		{"id,ohms\nR\ufffd,1\xe2\x82\n", "d.csv:2:5: the byte 0xe2 is not UTF-8"},
	}
	for _, test := range tests {
		table, err := Parse("d.csv", []byte(test.text))
		var wrong *Error
		if !errors.As(err, &wrong) || !strings.HasPrefix(err.Error(), test.says) {
			t.Errorf("%q: %v, %v; want %q", test.text, table, err, test.says)
		} else if strings.Contains(err.Error(), "\n") {
			t.Errorf("%q: %q is not one line", test.text, err)
		}
	}
}

func TestErrorAt(t *testing.T) {
	table := mustParse(t, "\ufeffid,note,ohms\r\n\r\nÜ1,\"zwei\r\nΩeilen\",4.7\r\nR2,,x\r\n")
	for _, test := range []struct {
		row, column int
		want        string
	}{
		{-1, 0, "d.csv:1:1: no"}, {-1, 2, "d.csv:1:9: no"},
		{0, 0, "d.csv:3:1: no"}, {0, 1, "d.csv:3:4: no"}, {0, 2, "d.csv:4:9: no"},
		{1, 1, "d.csv:5:4: no"}, {1, 2, "d.csv:5:5: no"},
	} {
		if got := table.ErrorAt(test.row, test.column, "%s", "no").Error(); got != test.want {
			t.Errorf("row %d, column %d: %q, want %q", test.row, test.column, got, test.want)
		}
	}
	if got := []int{table.Line(0), table.Line(1)}; !slices.Equal(got, []int{3, 5}) {
		t.Errorf("lines %v, want 3 and 5", got)
	}
}

// Whatever is read is written back byte for byte; a cell that is set is read
// back, and all others are as they were; encoding/csv reads the same cells.
func FuzzTable(f *testing.F) {
	for i, text := range files {
		f.Add([]byte(text), i, "x,\";\n")
	}
	f.Add([]byte("a,b\n\"x\"\"\n\",\r\n"), 0, "")
	f.Fuzz(func(t *testing.T, data []byte, pick int, cell string) {
		table, err := Parse("f", data)
		if err != nil {
			if strings.Contains(err.Error(), "\n") {
				t.Fatalf("%q: %q is not one line", data, err)
			}
			return
		}
		if got := table.Bytes(); !bytes.Equal(got, data) {
			t.Fatalf("%q is written back as %q", data, got)
		}
		if cell, err = asRead(cell); table.Len() == 0 || err != nil {
			return
		}
		pick = max(pick, 0) % (table.Len() * len(table.Header()))
		row, column := pick/len(table.Header()), pick%len(table.Header())
		want := fmt.Sprintf("%q", rows(table))
		table.Set(row, column, cell)
		table.Append()
		again, err := Parse("f", table.Bytes())
		if err != nil || again.Len() != table.Len() {
			t.Fatalf("%q with %q in row %d, column %d is %q: %v", data, cell, row, column, table.Bytes(), err)
		}
		again.Remove(again.Len() - 1)
		if got := again.Row(row)[column]; got != cell {
			t.Fatalf("%q: cell %d %d is %q, want %q", data, row, column, got, cell)
		}
		again.rows[row].cells[column] = mustParseSame(data).Row(row)[column]
		if got := fmt.Sprintf("%q", rows(again)); got != want {
			t.Fatalf("%q: other cells changed: %s, want %s", data, got, want)
		}
	})
}

// asRead returns a text as encoding/csv gives it back, which makes one line
// feed of CR LF, or an error for what no file can hold.
func asRead(cell string) (string, error) {
	if strings.ContainsAny(cell, "\x00\r") {
		return "", errors.New("not kept")
	}
	_, _, err := Text("", []byte(cell))
	return cell, err
}

func mustParseSame(data []byte) *Table {
	table, err := Parse("f", data)
	if err != nil {
		panic(err)
	}
	return table
}

func rows(t *Table) [][]string {
	all := [][]string{t.Header()}
	for i := range t.Len() {
		all = append(all, t.Row(i))
	}
	return all
}

func TestCellsAreThoseOfEncodingCSV(t *testing.T) {
	for _, text := range files {
		table := mustParse(t, text)
		r := csv.NewReader(strings.NewReader(strings.TrimPrefix(text, "\ufeff")))
		r.Comma = table.Separator()
		want, err := r.ReadAll()
		if err != nil || fmt.Sprintf("%q", rows(table)) != fmt.Sprintf("%q", want) {
			t.Errorf("%q: %q, want %q, %v", text, rows(table), want, err)
		}
	}
}
