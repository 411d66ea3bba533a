package meterfile

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strings"
	"unicode/utf8"

	"shuntwright/meter"
	"shuntwright/meter/quantity"
)

// Limits of what is read: no meter comes near them, and text that is nothing
// but brackets must not exhaust the stack.
const (
	longest = 4 << 20 // bytes
	deepest = 20      // braces within braces
)

// node is one JSON value with its place in the file.
type node struct {
	kind     byte // one of { [ " 0 t n: object, list, text, number, true or false, null
	from, to int  // bytes
	text     string
	members  []member
	items    []*node
}

// member is one field of an object.
type member struct {
	key      string
	from, to int // of the key, quotes included
	value    *node
}

// called says what a node is, for an error.
func (n *node) called() string {
	return map[byte]string{'{': "an object", '[': "a list", '"': "a text", '0': "a number", 't': "true or false", 'n': "null"}[n.kind]
}

// member returns the field of that name and its index, or nil and -1. Names of
// ranges compare without spaces before the unit.
func (n *node) member(key string) (*member, int) {
	for i := range n.members {
		if meter.SameName(n.members[i].key, key) {
			return &n.members[i], i
		}
	}
	return nil, -1
}

// reader reads one file; the first thing wrong with it stays in err.
type reader struct {
	name string
	data []byte
	dec  *json.Decoder
	at   int                 // end of the last token
	said []map[string]Stated // of the movement and of each circuit, by field
	err  *Error
}

// fail records what is wrong at a byte of the file, unless something was before.
func (d *reader) fail(at int, hint, format string, args ...any) {
	if d.err != nil {
		return
	}
	line, column := place(d.data, at)
	d.err = &Error{d.name, line, column, fmt.Sprintf(format, args...), hint}
}

// place is the line and the column, in runes, of a byte; both start with 1. A
// byte order mark is not counted.
func place(data []byte, at int) (line, column int) {
	before := bytes.TrimPrefix(data[:min(at, len(data))], byteOrderMark)
	line = 1 + bytes.Count(before, []byte("\n"))
	return line, 1 + utf8.RuneCount(before[bytes.LastIndexByte(before, '\n')+1:])
}

var byteOrderMark = []byte("\ufeff")

// tree reads the whole file. It returns nil where something is wrong.
func (d *reader) tree() *node {
	start := 0
	if bytes.HasPrefix(d.data, byteOrderMark) {
		start = len(byteOrderMark)
	}
	if len(d.data) > longest {
		d.fail(0, "give the file that `meter new` wrote", "more than %d bytes, which is no meter file", longest)
		return nil
	}
	if at := invalid(d.data); at >= 0 {
		d.fail(at, "save it as UTF-8", "this byte is not UTF-8 text")
		return nil
	}
	var whole json.RawMessage
	if err := json.Unmarshal(d.data[start:], &whole); err != nil {
		d.syntax(start, err)
		return nil
	}
	d.dec = json.NewDecoder(bytes.NewReader(d.data[start:]))
	d.dec.UseNumber()
	d.at = start
	root := d.value(start, 0)
	if d.err != nil {
		return nil
	}
	return root
}

// guess says what a text that is no JSON looks like; nothing where it is hard
// to say.
func guess(body []byte) string {
	line, _, more := bytes.Cut(body, []byte("\n"))
	if more && bytes.ContainsAny(line, ",;\t") {
		return ": it looks like a CSV table, such as a drawer or readings"
	}
	return ""
}

// syntax reports text that is not JSON.
func (d *reader) syntax(start int, err error) {
	if body := bytes.TrimSpace(d.data[start:]); len(body) > 0 && body[0] != '{' && body[0] != '[' {
		d.fail(start, "name the file that `meter new` wrote", "not JSON%s", guess(body))
		return
	}
	var se *json.SyntaxError
	if at := len(d.data); errors.As(err, &se) {
		if int(se.Offset) > 0 && strings.HasPrefix(se.Error(), "invalid") {
			at = start + int(se.Offset) - 1 // the offset is behind the byte that is wrong
		}
		if from, number, found := quantity.CommaBefore(string(d.data), at); found {
			point := strings.Replace(number, ",", ".", 1)
			d.fail(from, fmt.Sprintf("write a point, %s, or a quantity with its unit in quotation marks, \"%s mA\"", point, number), "not JSON: the number %s has a comma", number)
			return
		}
		d.fail(at, "a meter file is one JSON object, see `meter new`", "not JSON: %v", err)
		return
	}
	d.fail(start, "a meter file is one JSON object, see `meter new`", "not JSON: %v", err)
}

// invalid is the place of the first byte that is not UTF-8, or -1.
func invalid(data []byte) int {
	for i := 0; i < len(data); {
		r, size := utf8.DecodeRune(data[i:])
		if r == utf8.RuneError && size == 1 {
			return i
		}
		i += size
	}
	return -1
}

// token reads the next token, start and end included. base is the offset of the
// decoder's first byte.
func (d *reader) token(base int) (tok json.Token, from int) {
	from = d.at
	for from < len(d.data) && strings.IndexByte(" \t\r\n,:", d.data[from]) >= 0 {
		from++
	}
	tok, err := d.dec.Token()
	if err != nil && err != io.EOF {
		d.fail(from, "a meter file is one JSON object, see `meter new`", "not JSON: %v", err)
	}
	d.at = base + int(d.dec.InputOffset())
	return tok, from
}

// value reads one value and all in it.
func (d *reader) value(base, depth int) *node {
	tok, from := d.token(base)
	n := &node{from: from}
	switch v := tok.(type) {
	case json.Delim:
		n.kind = byte(v)
		if depth == deepest {
			d.fail(from, "a meter file needs four levels", "nested more than %d deep", deepest)
			return n
		}
		d.content(n, base, depth+1)
	case string:
		n.kind, n.text = '"', v
	case json.Number:
		n.kind, n.text = '0', v.String()
	case bool:
		n.kind = 't'
	default:
		n.kind = 'n'
	}
	n.to = d.at
	return n
}

// content reads the fields of an object or the items of a list, and the bracket
// that ends it.
func (d *reader) content(n *node, base, depth int) {
	for d.err == nil && d.dec.More() {
		if n.kind == '[' {
			n.items = append(n.items, d.value(base, depth))
			continue
		}
		tok, from := d.token(base)
		key, _ := tok.(string)
		if twin, _ := n.member(key); twin != nil {
			line, column := place(d.data, twin.from)
			d.fail(from, fmt.Sprintf("it stands at %d:%d already, take one of them out", line, column), "%q stands twice", key)
		}
		m := member{key: key, from: from, to: d.at}
		m.value = d.value(base, depth)
		n.members = append(n.members, m)
	}
	if d.err == nil {
		d.token(base)
	}
}
