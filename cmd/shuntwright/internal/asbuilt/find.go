package asbuilt

import (
	"errors"
	"fmt"

	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/meter"
	"shuntwright/meter/meterfile"
)

// Find is the position of that name, or the only one of the range of that name;
// spaces before a unit do not count. The error of one that is not there names
// those that are.
func (s *Setup) Find(name string) (int, error) {
	if i, found := s.Meter.FindPosition(name); found {
		return i, nil
	}
	if i, found := s.onlyPositionOf(name); found {
		return i, nil
	}
	var names []string
	for _, p := range s.Positions {
		names = append(names, p.Name)
	}
	if len(names) == 0 {
		return 0, fmt.Errorf("%s: the meter has no positions to fill", s.Path)
	}
	return 0, fmt.Errorf("%s: no position %q%s; there are %s", s.Path, name, report.Meant(name, names), report.List(report.Quoted(names)))
}

// onlyPositionOf is the one position that ends in this name, such as the range
// of a shunt; not found where there is none, or more than one.
func (s *Setup) onlyPositionOf(name string) (at int, found bool) {
	for i, p := range s.Positions {
		for _, k := range meter.Kinds() {
			if !meter.SameName(p.Name, k.Name+" "+name) {
				continue
			}
			if found {
				return 0, false
			}
			at, found = i, true
		}
	}
	return at, found
}

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
