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
	if err := s.readKept(); err != nil || len(s.taken) == 0 {
		return err
	}
	last := s.taken[len(s.taken)-1].cells
	s.in.Say(fmt.Sprintf("%s keeps %s of a visit that was not saved; the last is\n%s, %s applied.\n",
		s.kept.path, report.Counted(len(s.taken), "reading"), last[rangeColumn], last[referenceColumn]))
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
			s.first = 1
			s.keep(func() error { return s.kept.rewrite(s.taken) }) // in the columns that further ones are written in
			return nil
		case "n", "no":
			s.set, s.points, s.taken = &Set{}, s.taken[0].points, nil
			aside := strings.TrimSuffix(s.kept.path, ".csv") + ".old.csv"
			s.in.Say(fmt.Sprintf("they are in %s now\n", aside))
			return os.Rename(s.kept.path, aside)
		}
	}
}

// readKept takes the readings of an earlier session; none where there is none.
// The points that are left to be asked for are those behind the last one read.
func (s *typedSession) readKept() error {
	data, _, err := safefile.Read(s.kept.path)
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	if err != nil {
		return err
	}
	t, err := table.Parse(s.kept.path, data)
	if err != nil {
		return fmt.Errorf("%w (it keeps readings that were typed; correct it, or move it away)", err)
	}
	at, err := t.Find(readingColumns...)
	if err != nil {
		return err
	}
	for row := range t.Len() {
		if t.Blank(row) {
			continue
		}
		cells := cellsOf(t, row, at)
		if wrong, err := s.add(cells); err != nil {
			return t.ErrorAt(row, max(at[wrong].At, 0), "%v", err)
		}
		s.taken = append(s.taken, typedPoint{cells, s.points})
		if cells[indicatedColumn] != pegged {
			s.points = s.behind(s.points, s.set.Readings[len(s.set.Readings)-1])
		}
	}
	return nil
}
