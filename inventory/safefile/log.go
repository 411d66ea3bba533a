package safefile

import (
	"bytes"
	"encoding/json"
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"time"
)

const (
	journalName = ".shuntwright.journal"
	// journalLimit is how long the journal may grow before its oldest steps are
	// dropped, down to half of that. The last step stays however long it is.
	journalLimit = 8 << 20
)

// settled stands behind every record whose files are all written. It is a line
// of its own, always the same, so that a look at the end of the journal tells
// whether something was interrupted.
var settled = []byte("{\"done\":true}\n")

// record is one line of the journal, on the disk before any file is written.
type record struct {
	Call  string    `json:"call,omitempty"` // the same for all that one call of the program changed
	Did   string    `json:"did,omitempty"`  // the call, as typed
	When  time.Time `json:"when,omitzero"`
	Home  string    `json:"home,omitempty"` // the journal's folder then: it tells a copy
	To    *int      `json:"to,omitempty"`   // of undo and redo: how many steps count as done from then on
	Made  []string  `json:"made,omitempty"` // folders that were made, parents first
	Files []delta   `json:"files,omitempty"`
	Done  bool      `json:"done,omitempty"` // nothing but the mark behind a record
}

// log is the journal's file, opened under the lock.
type log struct {
	file *os.File
	path string
	size int64 // where the next record goes
}

// openLog opens the journal for writing, or makes it. It is not for more eyes
// than the files that it holds parts of.
func openLog(folder string, eyes fs.FileMode) (*log, error) {
	path := filepath.Join(folder, journalName)
	f, err := os.OpenFile(path, os.O_RDWR|os.O_CREATE, 0o666&eyes)
	if err != nil {
		return nil, err
	}
	info, err := f.Stat()
	if err == nil && info.Size() == 0 {
		_ = f.Chmod(0o666 & eyes)
		syncFolder(folder)
	} else if err == nil && info.Mode().Perm()&0o044&^eyes != 0 {
		_ = f.Chmod(info.Mode().Perm() &^ (0o044 &^ eyes))
	}
	if err != nil {
		return nil, errors.Join(err, f.Close())
	}
	return &log{f, path, info.Size()}, nil
}

// add puts a record at the end, on the disk when it returns. Where it cannot,
// the journal stays as it was.
func (l *log) add(r record) error {
	line, err := json.Marshal(r)
	if err != nil {
		return err
	}
	_, err = l.file.WriteAt(append(line, '\n'), l.size)
	if err == nil {
		err = l.file.Sync()
	}
	if err != nil {
		l.cut(l.size)
	}
	return err
}

// cut drops what stands behind a place.
func (l *log) cut(at int64) { _ = l.file.Truncate(at) }

// settle marks the last record as done. The mark need not be on the disk: a
// look at the files tells as much.
func (l *log) settle() error {
	end, err := l.file.Seek(0, io.SeekEnd)
	if err != nil {
		return err
	}
	_, err = l.file.WriteAt(settled, end)
	return err
}

// end is how the journal ends.
type end struct {
	last        *record // not settled; nil: it is
	from, whole int64   // where that record begins, and where the last whole line ends
	torn        bool    // a line that is not whole stands behind that
}

func (e end) settled() bool { return e.last == nil && !e.torn }

// readEnd looks at the end of a journal, which need not be there. What is not
// whole is a record that a sudden end has torn, or one that another program is
// writing: no file was touched for it.
func readEnd(folder string) (end, error) {
	f, err := os.Open(filepath.Join(folder, journalName))
	if errors.Is(err, fs.ErrNotExist) {
		return end{}, nil
	}
	if err != nil {
		return end{}, err
	}
	defer f.Close()
	size, err := f.Seek(0, io.SeekEnd)
	if err != nil || size == 0 {
		return end{}, err
	}
	tail := make([]byte, len(settled))
	if _, err := f.ReadAt(tail, size-int64(len(tail))); err == nil && bytes.Equal(tail, settled) {
		return end{whole: size}, nil
	}
	data, err := io.ReadAll(io.NewSectionReader(f, 0, size))
	if err != nil {
		return end{}, err
	}
	whole := bytes.LastIndexByte(data, '\n') + 1
	from := bytes.LastIndexByte(data[:max(0, whole-1)], '\n') + 1
	e := end{from: int64(from), whole: int64(whole), torn: whole < len(data)}
	var r record
	if json.Unmarshal(data[from:whole], &r) == nil && !r.Done {
		e.last = &r
	}
	return e, nil
}

// step is what one undo takes back: everything that one call of the program
// changed while no other came in between.
type step struct {
	record            // of its last record: call, what was done, when
	parts   [][]delta // of its records, the first one first
	was, is map[string]string
}

// history is the journal read: the steps, and how many of them are done; the
// others were taken back.
type history struct {
	steps []*step
	done  int
}

// readHistory reads the journal of a folder. A line that is damaged ends what
// can be taken back: what stands before it does not count.
func readHistory(folder string) (history, error) {
	var h history
	data, err := os.ReadFile(filepath.Join(folder, journalName))
	if errors.Is(err, fs.ErrNotExist) {
		return h, nil
	}
	if err != nil {
		return h, err
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
// for good.
func (h *history) take(r record) {
	h.steps = h.steps[:h.done]
	if h.done > 0 && h.steps[h.done-1].takes(r) {
		return
	}
	s := &step{was: map[string]string{}, is: map[string]string{}}
	s.add(r)
	h.steps = append(h.steps, s)
	h.done++
}

// takes adds a record to the step where it is of the same call and nobody
// changed one of the step's files in between.
func (s *step) takes(r record) bool {
	if s.Call != r.Call || s.Home != r.Home {
		return false
	}
	for _, d := range r.Files {
		if is, known := s.is[d.Path]; known && is != d.Was {
			return false
		}
	}
	s.add(r)
	return true
}

func (s *step) add(r record) {
	for _, d := range r.Files {
		if _, known := s.is[d.Path]; !known {
			s.was[d.Path] = d.Was
		}
		s.is[d.Path] = d.Is
	}
	made := append(s.Made, r.Made...)
	s.record, s.Made = r, made
	if last := len(s.parts) - 1; last >= 0 && len(r.Files) == 1 && len(s.parts[last]) == 1 && s.parts[last][0].follows(r.Files[0]) {
		return
	}
	s.parts = append(s.parts, r.Files)
}

// shorten drops the oldest steps of a journal that has grown beyond its limit.
// What was taken back stays, so that it can come again.
func (j *Journal) shorten() error {
	path := filepath.Join(j.folder, journalName)
	if info, err := os.Stat(path); err != nil || info.Size() <= j.limit {
		return err
	}
	h, err := readHistory(j.folder)
	if err != nil {
		return err
	}
	text, err := h.newest(j.limit / 2)
	if err != nil {
		return err
	}
	j.limit = max(j.limit, 2*int64(len(text))) // a step longer than that is not looked through again at every part
	return replace(path, text)
}

// newest is a journal of the newest steps, as many as fit into so many bytes,
// at least the last one done and all that were taken back.
func (h *history) newest(most int64) ([]byte, error) {
	var lines [][]byte
	size, kept := 0, len(h.steps)
	for ; kept > 0; kept-- {
		of, err := h.steps[kept-1].lines()
		if err != nil {
			return nil, err
		}
		size += len(of)
		if kept < h.done && int64(size) > most {
			break
		}
		lines = append(lines, of)
	}
	slices.Reverse(lines)
	if h.done < len(h.steps) {
		to := h.done - kept
		last, err := json.Marshal(record{To: &to})
		if err != nil {
			return nil, err
		}
		lines = append(lines, append(last, '\n'))
	}
	return bytes.Join(append(lines, settled), nil), nil
}

// lines are the step as records of the journal.
func (s *step) lines() ([]byte, error) {
	var out []byte
	for i, part := range s.parts {
		r := s.record
		r.Files, r.Made = part, nil
		if i == 0 {
			r.Made = s.Made
		}
		line, err := json.Marshal(r)
		if err != nil {
			return nil, err
		}
		out = append(append(out, line...), '\n')
	}
	return out, nil
}
