package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"time"

	"shuntwright/cmd/shuntwright/internal/check"
	"shuntwright/cmd/shuntwright/internal/readings"
	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/inventory/safefile"
	"shuntwright/meter"
	"shuntwright/meter/meterfile"
	"shuntwright/meter/reading"
	"shuntwright/meter/wiring"
)

// checkDate refuses what is no day of the calendar; empty is none that is said.
func checkDate(text string) error {
	if text != "" && !readings.IsDate(text) {
		return misused("--date %q: a day of the calendar as YYYY-MM-DD belongs here, such as 2024-05-31", text)
	}
	return nil
}

// history is what check --save wrote of a meter; data is nil where it never did.
type history struct {
	*readings.History
	path  string
	data  []byte
	stamp safefile.Stamp
}

// readHistory reads the history of a meter, by the path of the meter file.
func readHistory(meter string) (h history, err error) {
	h.path = readings.HistoryPath(meter)
	h.History = readings.NewHistory(h.path)
	h.data, h.stamp, err = safefile.Read(h.path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return h, nil
	case err != nil:
		return h, fmt.Errorf("reading history: %w", err)
	}
	h.History, err = readings.ParseHistory(h.path, h.data)
	return h, err
}

// saveVisit lets the readings be written behind those of the visits before.
func (c *call) saveVisit(k *check.Checkup, doc report.Document, answer *check.Answer) (report.Document, error) {
	if err := c.hold(readings.HistoryPath(k.Path)); err != nil {
		return doc, err
	}
	h, err := readHistory(k.Path)
	if err != nil {
		return doc, err
	}
	visit := k.Visit(h.Next(), c.options.date, c.options.as)
	if before, held := h.Holds(visit, k.Ranges); held {
		return doc, fmt.Errorf("%s holds these readings already, as visit %d of %s%s: nothing is saved twice; another --date or --as tells another visit",
			h.path, before, visit.Date, report.Either(visit.As != "", ", as "+visit.As, ""))
	}
	kept, was, err := c.keptReadings()
	if err != nil {
		return doc, err
	}
	c.save = func(in *safefile.Change) error {
		if err := in.Write(h.path, h.Appended(visit, k.Ranges), h.stamp); err != nil || kept == "" {
			return err
		}
		return in.Remove(kept, was)
	}
	answer.Saved = h.path
	doc.Closing = append(doc.Closing, fmt.Sprintf("saved: %s of %s, in %s",
		report.Counted(len(answer.Readings), "reading"), c.options.date, h.path))
	return doc, nil
}

// keptReadings is the file that keeps what was typed, where its readings are
// those of this call: they are saved now. Empty where it is not there, or other
// readings were given.
func (c *call) keptReadings() (path string, stamp safefile.Stamp, err error) {
	path = readings.KeptPath(c.args[0])
	typed := len(c.args) == 1 && c.env.asks
	if !typed && (len(c.args) < 2 || filepath.Clean(c.args[1]) != filepath.Clean(path)) {
		return "", stamp, nil
	}
	_, stamp, err = safefile.Read(path)
	if errors.Is(err, fs.ErrNotExist) {
		return "", stamp, nil
	}
	return path, stamp, err
}

// showHistory answers check --history.
func (c *call) showHistory() (report.Document, error) {
	file, _, _, err := c.readMeter(c.args[0])
	if err != nil {
		return report.Document{}, err
	}
	h, err := readHistory(c.args[0])
	if err != nil {
		return report.Document{}, err
	}
	if h.data == nil {
		return report.Document{}, fmt.Errorf("no history of %s yet: there is no file %q; shuntwright check %s READINGS --save begins it", c.args[0], h.path, report.InShell(c.args[0]))
	}
	visits, err := h.Visits(file.Meter)
	if err != nil {
		return report.Document{}, err
	}
	doc := check.Document(file.Meter, h.path, visits)
	if last := len(visits) - 1; last >= 0 && visits[last].Verdict == reading.Pass.String() {
		doc.Next = c.carried("shuntwright sheet " + report.InShell(c.args[0]))
	}
	return doc, nil
}

// judged holds readings against the class, and against how the meter was left at the
// last visit that says so. celsius is as for check.Judge.
func (c *call) judged(s *setup, set *readings.Set, celsius float64) *check.Checkup {
	var left check.Left
	if c.files.OnDisk() {
		h, err := readHistory(c.args[0])
		if err == nil && h.data != nil {
			left.Visit, err = h.LastLeft(s.Meter)
		}
		if err != nil {
			s.Warnings = append(s.Warnings, fmt.Sprintf("how the meter was left is not known: %v", err))
		}
		if left.Visit != nil {
			left.Refitted = c.refitted(s, c.savedAt(h, left.Visit)).Positions
		}
	}
	k := check.Judge(s.Setup, set, c.asked(s.class(c)), celsius, left)
	if len(c.args) > 1 {
		k.Since = c.refitted(s, writtenAt(c.args[1]))
		k.Since.File = c.args[1]
	}
	return k
}

// clockTick is how far the clock of a file system may stay behind.
const clockTick = 20 * time.Millisecond

// savedAt is when a visit was written into a history, as far as the journal tells;
// else when its day was over.
func (c *call) savedAt(h history, v *readings.Visit) time.Time {
	day, _ := time.ParseInLocation(time.DateOnly, v.Date, time.Local)
	if j, err := c.journal(); err == nil {
		steps, _ := j.Since(h.path, h.data, time.Time{})
		for _, e := range steps {
			if was, err := readings.ParseHistory(h.path, e.Held); err != nil || was.Next() <= v.Number {
				return e.When
			}
		}
	}
	return day.AddDate(0, 0, 1)
}

// writtenAt is when a file was written; of one that is not there, the time is not yet.
func writtenAt(path string) time.Time {
	if info, err := os.Stat(path); err == nil {
		return info.ModTime().Add(clockTick)
	}
	return time.Now()
}

// refitted is what went into a meter since it was read, as far as the journal tells.
// What was open until then, and a part whose measured value was put right, are none:
// the readings may well be of that.
func (c *call) refitted(s *setup, read time.Time) (out check.Refitted) {
	if !c.files.OnDisk() {
		return out
	}
	j, err := c.journal()
	if err != nil {
		return out
	}
	since, err := j.Since(s.Path, s.Data, read)
	if err != nil {
		return out
	}
	other := make([]bool, len(s.Positions)) // by what it held when it was read, if anything
	for _, e := range since {
		was, err := meterfile.Parse(s.Path, e.Held)
		if err != nil {
			return out
		}
		for i, p := range was.Meter.Positions() {
			at := slices.IndexFunc(s.Positions, func(now meter.Position) bool { return now.Name == p.Name })
			if at >= 0 && was.Fitted[i].Present {
				if other[at] = otherParts(was.Fitted[i].Network, s.File.Fitted[at]); other[at] {
					out.When = e.When
				}
			}
		}
	}
	for at, p := range s.Positions {
		if other[at] {
			out.Positions = append(out.Positions, p.Name)
		}
	}
	return out
}

// otherParts tells that a part of the drawer, or wire, is fitted that was not.
func otherParts(before wiring.Network, now meterfile.Fitted) bool {
	return now.Present && slices.ContainsFunc(now.Network.Leaves(), func(l wiring.Network) bool {
		return l.ID != "" && !slices.ContainsFunc(before.Leaves(), func(b wiring.Network) bool { return b.ID == l.ID })
	})
}
