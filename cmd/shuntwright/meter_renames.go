package main

import (
	"cmp"
	"errors"
	"fmt"
	"io/fs"
	"strings"

	"shuntwright/cmd/shuntwright/internal/readings"
	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/inventory/safefile"
	"shuntwright/meter"
	"shuntwright/meter/meterfile"
)

// finish makes the file and refuses what would be no meter, what the movement
// cannot serve, and what would leave a fitted part without its place.
func (m *meterChange) finish() (err error) {
	if m.data, err = m.edit.Bytes(); err != nil {
		if wrong := (*meterfile.Error)(nil); errors.As(err, &wrong) { // its place is in no file yet
			return misused("%s would be no meter file any more: %s; %s", m.path, wrong.What, wrong.Hint)
		}
		return err
	}
	if m.file, err = meterfile.Parse(m.path, m.data); err != nil {
		return err
	}
	if _, err := m.file.Meter.Targets(); err != nil {
		return fmt.Errorf("changing %s: %w", m.path, err)
	}
	var lost []string
	first, positions := "", m.was.Meter.Positions()
	for i, f := range m.was.Fitted {
		if !f.Present {
			continue
		}
		at, found := m.file.Meter.FindPosition(m.nowCalled(i))
		if !found || m.file.Fitted[at].Text != f.Text {
			first = cmp.Or(first, positions[i].Name)
			lost = append(lost, fmt.Sprintf("%s in %q", f.Text, positions[i].Name))
		}
	}
	if len(lost) > 0 {
		return fmt.Errorf("no place would be left for %s; take it out first, and its parts go back where they lay: shuntwright unfit %s %q",
			strings.Join(lost, ", "), report.InShell(m.path), first)
	}
	return nil
}

// nowCalled is the name that a position has after the change: the second half of
// it is the range's.
func (m *meterChange) nowCalled(position int) string {
	name, of := m.was.Meter.Positions()[position].Name, ""
	for _, r := range m.was.Meter.Ranges() {
		if strings.HasSuffix(name, " "+r.Name) && len(r.Name) > len(of) {
			of = r.Name
		}
	}
	return strings.TrimSuffix(name, of) + m.rangeNow(of)
}

// rangeNow is the name that a range has after the change.
func (m *meterChange) rangeNow(name string) string {
	for _, n := range m.renamed {
		if meter.SameName(n.From, name) {
			return n.To
		}
	}
	return name
}

// writeNames has all files written that know the meter's names: its own, the
// drawer's words for what is fitted, and the history.
func (c *call) writeNames(in *safefile.Change, m *meterChange) error {
	if err := in.Write(m.path, m.data, m.stamp); err != nil {
		return err
	}
	if err := c.renameInDrawer(in, m); err != nil || len(m.renamed) == 0 {
		return err
	}
	path := readings.HistoryPath(m.path)
	data, stamp, err := safefile.Read(path)
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	if err == nil {
		data, err = readings.RenameRanges(path, data, m.rangeNow)
	}
	if err != nil {
		return err
	}
	return in.Write(path, data, stamp)
}

// renameInDrawer lets the drawer call the positions of the meter as they are
// called now. What it says of parts that are not fitted here stays.
func (c *call) renameInDrawer(in *safefile.Change, m *meterChange) error {
	now := map[string][2]string{} // by part, where it was and where it is
	for i, f := range m.was.Fitted {
		if !f.Present {
			continue
		}
		was, is := m.was.Meter.Name+": "+m.was.Meter.Positions()[i].Name, m.file.Meter.Name+": "+m.nowCalled(i)
		for _, id := range f.Network.IDs() {
			if was != is {
				now[id] = [2]string{was, is}
			}
		}
	}
	if len(now) == 0 {
		return nil
	}
	drawer, err := c.readDrawer()
	if err != nil {
		return err
	}
	for _, p := range drawer.Parts() {
		if where, fitted := now[p.ID]; fitted && meter.SameName(strings.TrimSpace(p.Fitted), where[0]) {
			p.Fitted = where[1]
			if err := drawer.Replace(p); err != nil {
				return err
			}
		}
	}
	return drawer.Save(in)
}
