package asbuilt

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"unicode/utf8"

	"shuntwright/meter"
)

// AtRange puts the file before an error, and the place of the range that the
// movement cannot serve where it is about one. data are the bytes of the file.
func AtRange(path string, data []byte, err error) error {
	var refused *meter.CannotServe
	if !errors.As(err, &refused) {
		return fmt.Errorf("%s: %w", path, err)
	}
	quoted, _ := json.Marshal(refused.Range)
	before, _, found := bytes.Cut(data, quoted)
	if !found {
		return fmt.Errorf("%s: %w", path, err)
	}
	line := bytes.Count(before, []byte("\n")) + 1
	column := utf8.RuneCount(before[bytes.LastIndexByte(before, '\n')+1:]) + 1
	return fmt.Errorf("%s:%d:%d: %w", path, line, column, err)
}
