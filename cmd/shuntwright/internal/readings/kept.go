package readings

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/inventory/safefile"
	"shuntwright/inventory/table"
	"shuntwright/meter/reading"
)

// KeptPath is the file that keeps what was typed of a meter until the visit is
// saved: beside the meter's file, bench.readings.csv for bench.json.
func KeptPath(meterPath string) string {
	return strings.TrimSuffix(meterPath, filepath.Ext(meterPath)) + ".readings.csv"
}

// kept is the file that keeps what was typed; each reading is on disk before the
// next is asked for.
type kept struct {
	path  string // empty: none is kept
	since string // what was changed in the meter since it was written, in words
}

// add puts one reading at the end of the file.
func (k kept) add(cells [6]string) (err error) {
	f, err := os.OpenFile(k.path, os.O_WRONLY|os.O_CREATE, 0o666)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, f.Close()) }()
	size, err := f.Seek(0, io.SeekEnd)
	if err != nil {
		return err
	}
	if _, err := f.Write(keptRows(size == 0, cells)); err != nil {
		return errors.Join(err, f.Truncate(size)) // half a row would be none
	}
	return f.Sync()
}

// rewrite makes these the readings of the file.
func (k kept) rewrite(taken []typedPoint) error {
	var all [][6]string
	for _, e := range taken {
		all = append(all, e.cells)
	}
	beside := k.path + ".new"
	if err := os.WriteFile(beside, keptRows(true, all...), 0o666); err != nil {
		return err
	}
	return os.Rename(beside, k.path)
}

// keptRows are readings as the file has them, below the names of the columns
// where they are the first.
func keptRows(first bool, readings ...[6]string) []byte {
	var out bytes.Buffer
	w := csv.NewWriter(&out)
	if first {
		_ = w.Write(names(readingColumns, false)) // a Buffer takes everything
	}
	for _, cells := range readings {
		_ = w.Write(cells[:])
	}
	w.Flush()
	return out.Bytes()
}

// resume offers what an earlier session left, and goes on with it where the
// answer is yes. Where it is no the file is put aside.
func (s *typedSession) resume() error {
	if s.kept.path == "" {
		return nil
	}
	old, err := s.readKept()
	if err != nil || len(old) == 0 {
		return err
	}
	last := old[len(old)-1]
	s.in.Say(fmt.Sprintf("%s keeps %s of a visit that was not saved; the last is\n%s, %s applied.\n",
		s.kept.path, report.Counted(len(old), "reading"), last[rangeColumn], last[referenceColumn]))
	if s.kept.since != "" {
		s.in.Say(s.kept.since + " since then:\nwhat was read before does not count there\n")
	}
	for {
		text, err := s.in.Next("go on with them (y, or n to begin anew)? ")
		if errors.Is(err, io.EOF) {
			return fmt.Errorf("nothing was answered; %s stays as it is", s.kept.path)
		}
		if err != nil {
			return err
		}
		switch strings.ToLower(text) {
		case "y", "yes", "":
			return s.goOn(old)
		case "n", "no":
			aside := strings.TrimSuffix(s.kept.path, ".csv") + ".old.csv"
			s.in.Say(fmt.Sprintf("they are in %s now\n", aside))
			return os.Rename(s.kept.path, aside)
		}
	}
}

// readKept reads the file of an earlier session, by readingColumns; nothing
// where there is none.
func (s *typedSession) readKept() ([][6]string, error) {
	data, _, err := safefile.Read(s.kept.path)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	t, err := table.Parse(s.kept.path, data)
	if err != nil {
		return nil, fmt.Errorf("%w (it keeps readings that were typed; correct it, or move it away)", err)
	}
	at, err := t.Find(readingColumns...)
	if err != nil {
		return nil, err
	}
	var out [][6]string
	for row := range t.Len() {
		if t.Blank(row) {
			continue
		}
		var cells [6]string
		for i, column := range at {
			cells[i] = t.Cell(row, column)
		}
		if wrong, err := s.add(cells); err != nil {
			return nil, t.ErrorAt(row, max(at[wrong].At, 0), "%v", err)
		}
		out = append(out, cells)
	}
	s.set = &Set{}
	return out, nil
}

// goOn takes what was kept, and asks for what is behind it.
func (s *typedSession) goOn(old [][6]string) error {
	all := s.points
	var read []reading.Reading
	for _, cells := range old {
		s.taken = append(s.taken, typedPoint{cells, s.points})
		if _, err := s.add(cells); err != nil {
			return err
		}
		if cells[indicatedColumn] != pegged {
			read = append(read, s.set.Readings[len(s.set.Readings)-1])
		}
		s.points = s.behind(all, read)
	}
	s.first = 1
	s.keep(func() error { return s.kept.rewrite(s.taken) }) // in the columns that further ones are written in
	return nil
}
