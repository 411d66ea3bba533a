package meterfile

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"slices"
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
}

// member is one field of an object, or one item of a list: its key is empty, and
// as long as nothing before the value.
type member struct {
	key      string
	from, to int // of the key, quotes included
	value    *node
}

// called says what a node is, for an error.
func (n *node) called() string {
	return map[byte]string{'{': "an object", '[': "a list", '"': "a text", '0': "a number", 't': "true or false", 'n': "null"}[n.kind]
}

// find returns the index of the field of that name, or -1. Names of ranges compare
// without spaces before the unit.
func (n *node) find(key string) int {
	return slices.IndexFunc(n.members, func(m member) bool { return meter.SameName(m.key, key) })
}

// get returns the value of the field of that name, or nil.
func (n *node) get(key string) *node {
	if i := n.find(key); i >= 0 {
		return n.members[i].value
	}
	return nil
}

// reader reads one file; the first thing wrong with it stays in err.
type reader struct {
	name  string
	data  []byte
	dec   *json.Decoder
	base  int                 // where its first byte stands
	at    int                 // end of the last token
	said  []map[string]Stated // of the movement and of each circuit, by field
	names []string            // of the ranges, in their order
	err   *Error
}

// fail records what is wrong at a byte of the file, unless something was before.
func (d *reader) fail(at int, hint, format string, args ...any) {
	if d.err != nil {
		return
	}
	d.err = &Error{d.name, d.place(at), fmt.Sprintf(format, args...), hint}
}

// refuse records an error of what in two halves, what and hint, at a node.
func (d *reader) refuse(n *node, prefix string, err error) {
	what, hint, found := strings.Cut(err.Error(), "; ")
	if !found {
		hint = "see `meter new`"
	}
	d.fail(n.from, hint, "%s", prefix+what)
}

// place is where a byte of the file stands. A byte order mark is not counted.
func (d *reader) place(at int) Place {
	before := bytes.TrimPrefix(d.data[:min(at, len(d.data))], byteOrderMark)
	return Place{1 + bytes.Count(before, []byte("\n")), 1 + utf8.RuneCount(before[bytes.LastIndexByte(before, '\n')+1:])}
}

var byteOrderMark = []byte("\ufeff")

// tree reads the whole file. It returns nil where something is wrong.
func (d *reader) tree() *node {
	body := bytes.TrimPrefix(d.data, byteOrderMark)
	d.base = len(d.data) - len(body)
	d.at = d.base
	if len(d.data) > longest {
		d.fail(0, "give the file that `meter new` wrote", "more than %d bytes, which is no meter file", longest)
		return nil
	}
	for i, r := range string(d.data) {
		if r == utf8.RuneError && !bytes.HasPrefix(d.data[i:], []byte("\ufffd")) {
			d.fail(i, "save it as UTF-8", "this byte is not UTF-8 text")
			return nil
		}
	}
	var whole json.RawMessage
	if err := json.Unmarshal(body, &whole); err != nil {
		d.syntax(body, err)
		return nil
	}
	d.dec = json.NewDecoder(bytes.NewReader(body))
	d.dec.UseNumber()
	root := d.value(0)
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
func (d *reader) syntax(body []byte, err error) {
	if body = bytes.TrimSpace(body); len(body) > 0 && body[0] != '{' && body[0] != '[' {
		d.fail(d.base, "name the file that `meter new` wrote", "not JSON%s", guess(body))
		return
	}
	at := d.base
	var se *json.SyntaxError
	if errors.As(err, &se) {
		at = len(d.data)
		if int(se.Offset) > 0 && strings.HasPrefix(se.Error(), "invalid") {
			at = d.base + int(se.Offset) - 1 // the offset is behind the byte that is wrong
		}
		if from, number, found := quantity.CommaBefore(string(d.data), at); found {
			point := strings.Replace(number, ",", ".", 1)
			d.fail(from, fmt.Sprintf("write a point, %s, or a quantity with its unit in quotation marks, \"%s mA\"", point, number), "not JSON: the number %s has a comma", number)
			return
		}
	}
	d.fail(at, "a meter file is one JSON object, see `meter new`", "not JSON: %v", err)
}

// token reads the next token, which begins at from.
func (d *reader) token() (tok json.Token, from int) {
	from = d.at
	for from < len(d.data) && strings.IndexByte(" \t\r\n,:", d.data[from]) >= 0 {
		from++
	}
	tok, err := d.dec.Token()
	if err != nil && err != io.EOF {
		d.fail(from, "a meter file is one JSON object, see `meter new`", "not JSON: %v", err)
	}
	d.at = d.base + int(d.dec.InputOffset())
	return tok, from
}

// value reads one value and all in it.
func (d *reader) value(depth int) *node {
	tok, from := d.token()
	n := &node{from: from}
	switch v := tok.(type) {
	case json.Delim:
		n.kind = byte(v)
		if depth == deepest {
			d.fail(from, "a meter file needs four levels", "nested more than %d deep", deepest)
			return n
		}
		d.content(n, depth+1)
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
func (d *reader) content(n *node, depth int) {
	for d.err == nil && d.dec.More() {
		if n.kind == '[' {
			value := d.value(depth)
			n.members = append(n.members, member{from: value.from, to: value.from, value: value})
			continue
		}
		tok, from := d.token()
		key, _ := tok.(string)
		if twin := n.find(key); twin >= 0 {
			d.fail(from, fmt.Sprintf("it stands at %v already, take one of them out", d.place(n.members[twin].from)), "%q stands twice", key)
		}
		m := member{key: key, from: from, to: d.at}
		m.value = d.value(depth)
		n.members = append(n.members, m)
	}
	if d.err == nil {
		d.token()
	}
}
