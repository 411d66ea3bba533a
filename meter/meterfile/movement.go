package meterfile

import (
	"fmt"
	"slices"
	"strings"
)

// plainNumbers are the fields that hold a number without quotes, besides those in percent.
var plainNumbers = []string{"class", "divisions", "reference_celsius"}

// SetMovement returns the meter file with fields of its movement replaced, such as {"coil", "98.6 ohm"} or {"coil_gain_percent", "0.5"}; one
// with an empty text is taken out. All other bytes stay as they are. The error says that data is no meter file, or that the result would be
// refused, and nothing is returned then.
func SetMovement(data []byte, fields ...Given) ([]byte, error) {
	e, err := Edit(data)
	if err != nil {
		return nil, err
	}
	e.Set(fields...)
	if data, err = e.Bytes(); err != nil {
		return nil, fmt.Errorf("changing the movement: %w", err)
	}
	return data, nil
}

// setMember replaces, adds or removes one field of an object.
func setMember(data []byte, object *node, g Given) []byte {
	text := quote(g.Text)
	if slices.Contains(plainNumbers, g.Field) || strings.HasSuffix(g.Field, "_percent") {
		text = g.Text
	}
	at, i := object.member(g.Field)
	switch {
	case g.Text == "" && at == nil:
		return data
	case g.Text == "":
		return remove(data, object, i)
	case at == nil:
		return insert(data, object, g.Field, text)
	}
	return splice(data, at.value.from, at.value.to, text)
}
