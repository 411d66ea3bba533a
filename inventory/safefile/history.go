package safefile

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
)

// journalLimit is how long the journal may grow before its oldest steps are
// dropped, down to half of that. The last step stays however long it is.
const journalLimit = 8 << 20

// history is the journal read. A step is what one undo takes back, as one record:
// everything that one call of the program changed while no other came in between.
type history struct {
	steps []*record
	done  int // so many of them; the others were taken back
}

// history reads the journal. A line that is damaged ends what can be taken back:
// what stands before it does not count.
func (j *Journal) history() (history, error) {
	var h history
	data, err := os.ReadFile(filepath.Join(j.folder, journalName))
	if errors.Is(err, fs.ErrNotExist) {
		return h, nil
	}
	if err != nil {
		return h, fmt.Errorf("read the journal in %q: %w", j.folder, cause(err))
	}
	for line := range bytes.Lines(data) {
		var r record
		switch err := json.Unmarshal(line, &r); {
		case err != nil, r.To != nil && (*r.To < 0 || *r.To > len(h.steps)):
			h = history{}
		case r.To != nil:
			h.done = *r.To
		case !r.Done:
			h.take(r)
		}
	}
	return h, nil
}

// take adds a change behind the steps that are done; those taken back are gone
// for good. It goes to the last step where it is of the same call and nobody
// changed one of the step's files in between.
func (h *history) take(r record) {
	h.steps = h.steps[:h.done]
	if h.done > 0 {
		last := h.steps[h.done-1]
		if last.Call == r.Call && last.Home == r.Home && !slices.ContainsFunc(r.Files, last.misses) {
			r.Made, r.Files = append(last.Made, r.Made...), append(last.Files, r.Files...)
			*last = r
			return
		}
	}
	h.steps = append(h.steps, &r)
	h.done++
}

// misses tells whether a file was changed between the record and a delta.
func (r *record) misses(d delta) bool {
	for _, of := range slices.Backward(r.Files) {
		if of.Path == d.Path {
			return of.Is != d.Was
		}
	}
	return false
}

// shorten drops the oldest steps of a journal that has grown beyond its limit.
// What was taken back stays, so that it can come again.
func (j *Journal) shorten() error {
	path := filepath.Join(j.folder, journalName)
	if info, err := os.Stat(path); err != nil || info.Size() <= j.limit {
		return err
	}
	h, err := j.history()
	if err != nil {
		return err
	}
	text, err := h.newest(j.limit / 2)
	if err != nil {
		return err
	}
	j.limit = max(j.limit, 2*int64(len(text))) // a step longer than that is not looked through again at every part
	if err := prepare(path, text); err != nil {
		return err
	}
	return commit(path)
}

// newest is a journal of the newest steps, as many as fit into so many bytes,
// at least the last one done and all that were taken back.
func (h *history) newest(most int64) ([]byte, error) {
	var lines [][]byte
	size, kept := 0, len(h.steps)
	for ; kept > 0; kept-- {
		line, err := json.Marshal(h.steps[kept-1])
		if err != nil {
			return nil, err
		}
		size += len(line) + 1
		if kept < h.done && int64(size) > most {
			break
		}
		lines = append(lines, line)
	}
	slices.Reverse(lines)
	if h.done < len(h.steps) {
		to := h.done - kept
		last, err := json.Marshal(record{To: &to})
		if err != nil {
			return nil, err
		}
		lines = append(lines, last)
	}
	return bytes.Join(append(lines, settled), []byte("\n")), nil
}
