package main

import (
	"bytes"
	"encoding/json"
	"fmt"

	"shuntwright/cmd/shuntwright/internal/report"
)

// drawerAnswer is the JSON of the drawer commands.
type drawerAnswer struct {
	Parts []partAnswer `json:"parts"`
	report.Notes
}

// partAnswer is one part of the drawer in JSON: what there is to say of it, in order.
type partAnswer []answerField

// answerField is a name and what stands behind it: a text, a number that JSON can
// hold, or whatever else it can.
type answerField struct {
	Name  string
	Value any
}

// MarshalJSON writes the fields as one object.
func (p partAnswer) MarshalJSON() ([]byte, error) {
	out := bytes.NewBufferString("{")
	encoder := json.NewEncoder(out)
	encoder.SetEscapeHTML(false)
	for i, f := range p {
		if i > 0 {
			out.WriteByte(',')
		}
		if err := encoder.Encode(f.Name); err != nil {
			return nil, fmt.Errorf("%s: %w", f.Name, err)
		}
		out.WriteByte(':')
		if err := encoder.Encode(f.Value); err != nil {
			return nil, fmt.Errorf("%s: %w", f.Name, err)
		}
	}
	out.WriteByte('}')
	return out.Bytes(), nil
}
