package instrument

import (
	"encoding/json"
	"fmt"
	"strings"
)

// Put returns the file called fileName with an instrument in it that promises
// this: in the place of the one of its name, or behind the others. All else
// stays as it is byte for byte; of no data a file is made. A file that Parse
// refuses is refused, and a name that no instrument can have; the promise must
// be one that Parse could have read.
func Put(fileName string, data []byte, name string, i Instrument) ([]byte, error) {
	if err := ValidName(name); err != nil {
		return nil, err
	}
	if strings.TrimSpace(string(data)) == "" {
		data = []byte("{}\n")
	}
	f, err := parse(fileName, data)
	if err != nil {
		return nil, err
	}
	body, there := f.bodies[name]
	text := f.text
	switch {
	case there:
		text = text[:body.from] + i.body() + text[body.to:]
	case len(f.bodies) == 0:
		text = text[:f.end] + member(name, i) + text[f.end:]
	default:
		last := len(strings.TrimRight(text[:f.end], " \t\r\n"))
		text = text[:last] + ",\n " + member(name, i) + text[last:]
	}
	changed := []byte(f.mark + text)
	if again, err := Parse(fileName, changed); err != nil || again[name] != i {
		return nil, fmt.Errorf("the instrument %q cannot be written as %s (%v)", name, i.body(), err)
	}
	return changed, nil
}

func member(name string, i Instrument) string { return quoted(name) + ": " + i.body() }

// body writes a promise the way Parse reads it; what is zero is left out.
func (i Instrument) body() string {
	out := []string{`"gain_percent": ` + plain(i.GainPercent)}
	if i.Counts != 0 {
		out = append(out, `"counts": `+plain(i.Counts))
	}
	for _, f := range []struct {
		name string
		ohms float64
	}{{"floor", i.FloorOhms}, {"leads", i.LeadsOhms}, {"leads_floor", i.LeadsFloorOhms}} {
		if f.ohms != 0 {
			out = append(out, quoted(f.name)+": "+quoted(plain(f.ohms)+" ohm"))
		}
	}
	if i.Wires == 4 {
		out = append(out, `"wires": 4`)
	}
	return "{" + strings.Join(out, ", ") + "}"
}

// quoted is a text in JSON, < and > as they are.
func quoted(text string) string {
	var out strings.Builder
	encoder := json.NewEncoder(&out)
	encoder.SetEscapeHTML(false)
	_ = encoder.Encode(text) // a Builder takes everything
	return strings.TrimSuffix(out.String(), "\n")
}
