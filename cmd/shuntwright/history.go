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
	h = history{History: &readings.History{}, path: readings.HistoryPath(meter)}
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
	longer, err := h.Appended(h.data, visit, k.Ranges)
	if err != nil {
		return doc, err
	}
	kept, was, err := c.keptReadings()
	if err != nil {
		return doc, err
	}
	c.save = func(in *safefile.Change) error {
		if err := in.Write(h.path, longer, h.stamp); err != nil || kept == "" {
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
	return check.Document(file.Meter, h.path, visits), nil
}

// clockTick is how far the clock of a file system may stay behind.
const clockTick = 20 * time.Millisecond

// refitted is what went into a meter since its readings at path were written, as
// far as the journal tells. What was open until then, and a part whose measured
// value was put right, are none: the readings may well be of that.
func (c *call) refitted(s *setup, path string) check.Refitted {
	out := check.Refitted{File: path}
	if !c.files.OnDisk() {
		return out
	}
	info, err := os.Stat(path)
	if err != nil {
		return out
	}
	j, err := c.journal()
	if err != nil {
		return out
	}
	since, err := j.Since(s.Path, s.Data, info.ModTime().Add(clockTick))
	if err != nil {
		return out
	}
	for _, e := range since {
		was, err := meterfile.Parse(s.Path, e.Held)
		if err != nil {
			return out
		}
		for i, p := range was.Meter.Positions() {
			at := slices.IndexFunc(s.Positions, func(now meter.Position) bool { return now.Name == p.Name })
			if at >= 0 && was.Fitted[i].Present && otherParts(was.Fitted[i].Network, s.File.Fitted[at]) {
				out.When = e.When
				out.Positions = append(out.Positions, p.Name)
			}
		}
	}
	out.Positions = report.Unique(out.Positions)
	return out
}

// otherParts tells that a part of the drawer, or wire, is fitted that was not.
func otherParts(before wiring.Network, now meterfile.Fitted) bool {
	return now.Present && slices.ContainsFunc(now.Network.Leaves(), func(l wiring.Network) bool {
		return l.ID != "" && !slices.ContainsFunc(before.Leaves(), func(b wiring.Network) bool { return b.ID == l.ID })
	})
}
