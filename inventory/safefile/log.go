package safefile

import (
	"bytes"
	"encoding/json"
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"time"
)

const journalName = ".shuntwright.journal"

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
	*os.File
	size int64 // where the next record goes
}

// openLog opens the journal for writing, or makes it. It is not for more eyes
// than the files that it holds parts of.
func openLog(folder string, eyes fs.FileMode) (*log, error) {
	mode := sharedIn(folder) & eyes
	f, err := os.OpenFile(filepath.Join(folder, journalName), os.O_RDWR|os.O_CREATE, mode)
	if err != nil {
		return nil, err
	}
	info, err := f.Stat()
	if err != nil {
		return nil, errors.Join(err, f.Close())
	}
	if info.Size() == 0 {
		_ = f.Chmod(mode)
		syncFolder(folder)
	} else if more := info.Mode().Perm() & 0o066 &^ mode; more != 0 {
		_ = f.Chmod(info.Mode().Perm() &^ more)
	}
	return &log{f, info.Size()}, nil
}

// add puts a record at the end, on the disk when it returns. Where it cannot,
// the journal stays as it was.
func (l *log) add(r record) error {
	line, err := json.Marshal(r)
	if err != nil {
		return err
	}
	_, err = l.WriteAt(append(line, '\n'), l.size)
	if err == nil {
		err = l.Sync()
	}
	if err != nil {
		l.cut(l.size)
	}
	return err
}

// cut drops what stands behind a place.
func (l *log) cut(at int64) { _ = l.Truncate(at) }

// settle marks the last record as done. The mark need not be on the disk: a
// look at the files tells as much.
func (l *log) settle() error {
	end, err := l.Seek(0, io.SeekEnd)
	if err != nil {
		return err
	}
	_, err = l.WriteAt(settled, end)
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
