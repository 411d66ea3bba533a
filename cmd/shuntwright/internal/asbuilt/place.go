package asbuilt

import (
	"errors"
	"fmt"

	"shuntwright/meter"
	"shuntwright/meter/meterfile"
)

// AtRange puts the file before an error, and the place of the range that the
// movement cannot serve where it is about one.
func AtRange(path string, file *meterfile.File, err error) error {
	var refused *meter.CannotServe
	if errors.As(err, &refused) {
		if r, found := file.Meter.FindRange(refused.Range); found {
			return fmt.Errorf("%s:%v: %w", path, file.RangePlaces[r], err)
		}
	}
	return fmt.Errorf("%s: %w", path, err)
}
