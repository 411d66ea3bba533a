package safefile

import (
	"fmt"
	"time"
)

// Earlier is what a file held before a step changed it; nil where there was none.
type Earlier struct {
	Step
	Held []byte
}

// Since is how the file at path, which holds data, was changed after a time, as
// the journal has it, the latest change first; what was taken back is none. An
// error where it was edited by hand in between, or the journal does not fit it.
func (j *Journal) Since(path string, data []byte, at time.Time) ([]Earlier, error) {
	h, err := readHistory(j.folder)
	if err != nil {
		return nil, fmt.Errorf("read the journal in %q: %w", j.folder, cause(err))
	}
	real, err := follow(path)
	if err != nil {
		return nil, err
	}
	name := j.within(real)
	var out []Earlier
	for i := h.done - 1; i >= 0 && h.steps[i].When.After(at); i-- {
		s := h.steps[i]
		if _, touched := s.is[name]; !touched {
			continue
		}
		for p := len(s.parts) - 1; p >= 0; p-- {
			for _, d := range s.parts[p] {
				if d.Path != name {
					continue
				}
				if data, err = d.reversed().applied(data); err != nil {
					return nil, err
				}
			}
		}
		out = append(out, Earlier{j.step(s), data})
	}
	return out, nil
}
