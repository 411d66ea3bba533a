package meterfile

import (
	"fmt"
	"slices"
	"strings"

	"shuntwright/meter"
)

// CircuitDescription is one circuit of a meter file.
type CircuitDescription struct {
	Circuit string   // the kind
	Ranges  []string // exactly one, where the kind does not take many
	Given   []Given
}

// Encode writes a new meter file, one circuit a line, every position open. The
// fields are those that Editing.Set takes, in any order. The error is that of Parse
// where they are of no meter.
func Encode(fields []Given, circuits []CircuitDescription) ([]byte, error) {
	object := func(names ...string) []string {
		var given []Given
		for _, name := range names {
			if i := slices.IndexFunc(fields, func(g Given) bool { return g.Field == name }); i >= 0 {
				given = append(given, fields[i])
			}
		}
		return fieldsOf(given...)
	}
	var lines []string
	for _, c := range circuits {
		lines = append(lines, c.encode())
	}
	top := append(object("name"), `"movement": {`+strings.Join(object(movementFields...), ", ")+"}")
	top = append(append(top, object("class")...), "\"circuits\": [\n    "+strings.Join(lines, ",\n    ")+"\n  ]")
	data := []byte("{\n  " + strings.Join(top, ",\n  ") + "\n}\n")
	if _, err := Parse("new meter", data); err != nil {
		return nil, fmt.Errorf("writing a new meter file: %w", err)
	}
	return data, nil
}

// encode is the circuit in JSON, on one line.
func (c CircuitDescription) encode() string {
	fields := fieldsOf(Given{"circuit", c.Circuit})
	if kind, _ := meter.FindKind(c.Circuit); kind.Many || len(c.Ranges) > 1 {
		var quoted []string
		for _, r := range c.Ranges {
			quoted = append(quoted, quote(r))
		}
		fields = append(fields, `"ranges": [`+strings.Join(quoted, ", ")+"]")
	} else if len(c.Ranges) > 0 {
		fields = append(fields, `"range": `+quote(c.Ranges[0]))
	}
	return "{" + strings.Join(append(fields, fieldsOf(c.Given...)...), ", ") + "}"
}

// fieldsOf are the fields that are there, in JSON.
func fieldsOf(given ...Given) []string {
	var out []string
	for _, g := range given {
		if g.Text != "" {
			out = append(out, quote(g.Field)+": "+g.value())
		}
	}
	return out
}
