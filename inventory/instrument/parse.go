package instrument

import (
	"encoding/json"
	"errors"
	"fmt"
	"strings"

	"shuntwright/inventory/safefile"
	"shuntwright/inventory/table"
	"shuntwright/meter/quantity"
)

// Read reads what instruments promise from a JSON file among files: an object from
// name to
//
//	{"gain_percent": 0.8, "counts": 1, "floor": "0.5 mohm", "wires": 2, "leads": "0.2 ohm", "leads_floor": "0.03 ohm"}
//
// of which gain_percent is required; what is not said is zero, and two wires.
// A name defined twice, a field that is unknown or there twice, and a value
// that is negative or cannot be read are refused. The error for a file that is
// not there wraps fs.ErrNotExist; an error of what is in it is a *table.Error,
// which says file, line and column.
func Read(files safefile.Files, path string) (map[string]Instrument, error) {
	data, _, err := files.Read(path)
	if err != nil {
		return nil, err
	}
	return Parse(path, data)
}

// Parse is Read for what a file called name holds.
func Parse(name string, data []byte) (map[string]Instrument, error) {
	f, err := parse(name, data)
	if err != nil {
		return nil, err
	}
	return f.instruments, nil
}

// file is what a file says, and where.
type file struct {
	text, mark  string // without its byte-order mark, and the mark
	instruments map[string]Instrument
	bodies      map[string]span // of each instrument, what it promises
	end         int             // of the closing bracket
}

// span is a part of a text, in bytes.
type span struct{ from, to int }

func parse(name string, data []byte) (*file, error) {
	text, mark, err := table.Text(name, data)
	if err != nil {
		return nil, err
	}
	if body := strings.TrimSpace(text); body != "" && body[0] != '{' && body[0] != '[' && !json.Valid([]byte(body)) {
		return nil, table.ErrorAt(name, text, strings.Index(text, body), "no JSON; an object of instruments belongs here, as shuntwright drawer instrument writes it")
	}
	s := &scanner{name: name, text: text, dec: json.NewDecoder(strings.NewReader(text))}
	s.dec.UseNumber()
	f := &file{text: text, mark: mark, instruments: map[string]Instrument{}, bodies: map[string]span{}}
	err = s.object("an object of instruments", func(key string, at int) error {
		if _, twice := f.instruments[key]; twice {
			return s.fail(at, "the instrument %q is defined twice", key)
		}
		if err := ValidName(key); err != nil {
			return s.fail(at, "%v", err)
		}
		from := s.next()
		instrument, err := s.instrument(key, at)
		f.instruments[key], f.bodies[key] = instrument, span{from, int(s.dec.InputOffset())}
		return err
	})
	if err != nil {
		return nil, err
	}
	f.end = int(s.dec.InputOffset()) - 1
	if rest := strings.TrimSpace(text[f.end+1:]); rest != "" {
		return nil, s.fail(s.next(), "something follows the object of instruments; put all in one object")
	}
	return f, nil
}

// ValidName refuses what cannot be the name of an instrument: nothing, spaces
// at its ends, and what stands for the instrument that nobody names.
func ValidName(name string) error {
	if strings.TrimSpace(name) != name || name == "" || name == Unnamed {
		return fmt.Errorf("%q cannot be the name of an instrument; write one such as \"hand meter\"", name)
	}
	return nil
}

// fields of an instrument in the file, in the order that messages list them.
var fields = []struct {
	name string
	unit quantity.Unit
	to   func(*Instrument) *float64
}{
	{"gain_percent", quantity.Percent, func(i *Instrument) *float64 { return &i.GainPercent }},
	{"counts", quantity.Number, func(i *Instrument) *float64 { return &i.Counts }},
	{"floor", quantity.Ohm, func(i *Instrument) *float64 { return &i.FloorOhms }},
	{"leads", quantity.Ohm, func(i *Instrument) *float64 { return &i.LeadsOhms }},
	{"leads_floor", quantity.Ohm, func(i *Instrument) *float64 { return &i.LeadsFloorOhms }},
	{"wires", quantity.Number, nil},
}

// instrument reads what one instrument promises; at is where its name stands.
func (s *scanner) instrument(name string, at int) (Instrument, error) {
	i := Instrument{Wires: 2}
	seen := map[string]int{}
	err := s.object("an object such as {\"gain_percent\": 0.8, \"counts\": 1}", func(key string, at int) error {
		if _, twice := seen[key]; twice {
			return s.fail(at, "%q stands twice in the instrument %q", key, name)
		}
		seen[key] = at
		return s.field(&i, key, at)
	})
	if err != nil {
		return i, err
	}
	if _, found := seen["gain_percent"]; !found {
		return i, s.fail(at, "the instrument %q has no gain_percent; write 0 if its limit does not grow with the reading", name)
	}
	for _, leads := range []string{"leads", "leads_floor"} {
		if at, found := seen[leads]; found && i.Wires == 4 {
			return i, s.fail(at, "leads are not in a four-wire reading; leave out %s, or write \"wires\": 2", leads)
		}
	}
	return i, nil
}

// field reads the value of one field, a number or a quantity as text.
func (s *scanner) field(i *Instrument, key string, keyAt int) error {
	for _, f := range fields {
		if f.name != key {
			continue
		}
		text, at, err := s.scalar()
		if err != nil {
			return err
		}
		v, err := quantity.Parse(text, f.unit, quantity.NotNegative)
		if err != nil {
			return s.fail(at, "%s %v", key, err)
		}
		if f.to != nil {
			if key == "gain_percent" {
				if err := ValidGain(v.Base); err != nil {
					return s.fail(at, "%s: %v", key, err)
				}
			}
			*f.to(i) = v.Base
			return nil
		}
		if i.Wires = int(v.Base); v.Base != 2 && v.Base != 4 {
			return s.fail(at, "wires %q; write 2 or 4", text)
		}
		return nil
	}
	var names []string
	for _, f := range fields {
		names = append(names, f.name)
	}
	return s.fail(keyAt, "unknown field %q; an instrument has %s", key, strings.Join(names, ", "))
}

// scanner walks through a JSON text and knows where it is.
type scanner struct {
	name, text string
	dec        *json.Decoder
}

func (s *scanner) fail(at int, format string, args ...any) error {
	return table.ErrorAt(s.name, s.text, at, format, args...)
}

// next returns where the next token begins.
func (s *scanner) next() int {
	at := int(s.dec.InputOffset())
	return at + len(s.text[at:]) - len(strings.TrimLeft(s.text[at:], " \t\r\n,:"))
}

// token returns the next token and where it begins.
func (s *scanner) token() (json.Token, int, error) {
	at := s.next()
	token, err := s.dec.Token()
	if err == nil {
		return token, at, nil
	}
	var syntax *json.SyntaxError
	if errors.As(err, &syntax) {
		if from, number, found := quantity.CommaBefore(s.text, at); found {
			return nil, from, s.fail(from, "no JSON: the number %s has a comma; write a point, %s", number, strings.Replace(number, ",", ".", 1))
		}
		return nil, at, s.fail(at, "no JSON: %v", err)
	}
	return nil, at, s.fail(len(s.text), "the JSON text ends too early; is a bracket missing?")
}

// object reads an object, whose values member reads.
func (s *scanner) object(what string, member func(key string, at int) error) error {
	token, at, err := s.token()
	if err != nil {
		return err
	}
	if token != json.Delim('{') {
		return s.fail(at, "%v; %s belongs here", token, what)
	}
	for {
		token, at, err := s.token()
		if err != nil {
			return err
		}
		key, isKey := token.(string)
		if !isKey { // the closing bracket: the decoder lets nothing else through
			return nil
		}
		if err := member(key, at); err != nil {
			return err
		}
	}
}

// scalar reads a number or a string; of a number the text as written.
func (s *scanner) scalar() (text string, at int, err error) {
	token, at, err := s.token()
	if err != nil {
		return "", at, err
	}
	switch t := token.(type) {
	case string:
		return t, at, nil
	case json.Number:
		return t.String(), at, nil
	}
	if token == nil {
		token = "null"
	}
	return "", at, s.fail(at, "%v; a number or a text with a quantity belongs here", token)
}
