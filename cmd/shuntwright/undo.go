package main

import (
	"bytes"
	"errors"
	"fmt"
	"strconv"
	"strings"
	"time"

	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/inventory"
	"shuntwright/inventory/safefile"
	"shuntwright/meter/meterfile"
)

func undoCommand() *command {
	return &command{
		name: "undo", operands: "[STEPS]", most: 1,
		does: "takes back the last change, whatever files it wrote",
		more: `Drawer, meter file, history, instruments: what one call of the program wrote goes
together, an evening of drawer add too; where another program wrote in between it is
several steps. STEPS takes back so many at once, --list shows what there is. A file
that was edited since by hand is not overwritten: nothing is taken back then. What is
written down for it, in .shuntwright.journal beside the drawer, is kept to 8 MiB; the
oldest steps go first. In a copy of the folder undo works on the copy.`,
		example: `shuntwright undo
  takes back the fit of a moment ago, in the meter file and in the drawer`,
		flags: []string{"drawer", "list", "wait"},
		run:   func(c *call) (report.Document, error) { return c.step(takenBack) },
	}
}

func redoCommand() *command {
	return &command{
		name: "redo", operands: "[STEPS]", most: 1,
		does: "brings back what undo took back",
		more: `As long as nothing else was changed since.`,
		example: `shuntwright redo
  brings back the fit that undo took back a moment ago`,
		flags: []string{"drawer", "list", "wait"},
		run:   func(c *call) (report.Document, error) { return c.step(broughtBack) },
	}
}

// direction is undo or redo, with its words.
type direction struct {
	move               func(*safefile.Change, int) ([]safefile.Step, []safefile.Moved, error)
	did, key, nothing  string
	again, back        string // the command itself, and the one that takes this back
	there, as, removed string // what became of a part
}

var (
	takenBack = direction{(*safefile.Change).Undo, "taken back", "undone", "take back", "undo", "redo",
		"there again", "as before", "gone"}
	broughtBack = direction{(*safefile.Change).Redo, "brought back", "redone", "bring back", "redo", "undo",
		"there again", "changed again", "gone again"}
)

// step answers undo and redo.
func (c *call) step(d direction) (report.Document, error) {
	if err := c.hold(); err != nil {
		return report.Document{}, err
	}
	j, err := c.journal()
	if err != nil {
		return report.Document{}, err
	}
	undoable, redoable, err := j.Steps()
	if err != nil {
		return report.Document{}, err
	}
	left := undoable
	if d.key == broughtBack.key {
		left = redoable
	}
	if c.options.list {
		return stepsDocument(left, d), nil
	}
	count, err := c.stepCount()
	if err != nil {
		return report.Document{}, err
	}
	if path := c.drawerPath(); d.key == takenBack.key && count == 1 && !exists(path) {
		if held, err := c.change.Restore(path); held != nil || err != nil {
			c.save = func(*safefile.Change) error { return nil } // it is staged
			doc := movedDocument([]safefile.Step{{Did: "the loss of " + path, When: time.Now(), Files: []string{path}}}, []safefile.Moved{{Path: path, After: held}}, d, len(left))
			doc.Next = "shuntwright drawer list"
			return doc, err
		}
	}
	steps, files, err := d.move(c.change, count)
	if errors.Is(err, safefile.ErrNothing) {
		return report.Document{}, c.tooFar(left, d)
	}
	if err != nil {
		return report.Document{}, err
	}
	c.save = func(*safefile.Change) error { return nil } // it is staged
	return movedDocument(steps, files, d, len(left)-count), nil
}

// stepCount is how many steps the call asks for.
func (c *call) stepCount() (int, error) {
	if len(c.args) == 0 {
		return 1, nil
	}
	n, err := strconv.Atoi(c.args[0])
	if err != nil || n < 1 {
		return 0, misused("%q is no number of steps; write such as shuntwright %s 2", c.args[0], c.command.name)
	}
	return n, nil
}

// tooFar says how many steps there are in place of those that were asked for.
func (c *call) tooFar(left []safefile.Step, d direction) error {
	if len(left) > 0 {
		return fmt.Errorf("there are only %s to %s; shuntwright %s --list shows them", report.Counted(len(left), "change"), d.nothing, c.command.name)
	}
	return fmt.Errorf("there is nothing to %s beside %q; --drawer FILE names the drawer of another folder", d.nothing, c.drawerPath())
}

// movedStep and movedFile are steps and files in JSON.
type movedStep struct {
	Did   string   `json:"did"`
	When  string   `json:"when"`
	Files []string `json:"files"`
}

type movedFile struct {
	File     string   `json:"file"`
	Is       string   `json:"is"`
	Gone     []string `json:"gone,omitempty"`
	There    []string `json:"there_again,omitempty"`
	Changed  []string `json:"changed,omitempty"`
	Position []string `json:"positions,omitempty"`
}

func jsonSteps(steps []safefile.Step) []movedStep {
	out := []movedStep{}
	for _, s := range steps {
		out = append(out, movedStep{s.Did, s.When.Format("2006-01-02T15:04:05Z07:00"), s.Files})
	}
	return out
}

// movedDocument says what was taken back, or brought back, and what became of
// the files: only what changed.
func movedDocument(steps []safefile.Step, files []safefile.Moved, d direction, left int) report.Document {
	heading := d.did + ": " + steps[0].Did
	if len(steps) > 1 {
		heading = fmt.Sprintf("%s: %s, from %s to %s", d.did, report.Counted(len(steps), "change"), steps[0].Did, steps[len(steps)-1].Did)
	}
	table := report.Table{Name: "files", Columns: []report.Column{{Title: "file", Key: "file"}, {Title: "now", Key: "now", Flexible: true}}}
	rows := []movedFile{}
	for _, f := range files {
		row := became(f, d)
		rows = append(rows, row)
		table.Rows = append(table.Rows, []report.Cell{report.Words(row.File), report.Words(row.words(d))})
	}
	return report.Document{Heading: heading, Tables: []report.Table{table}, Next: "shuntwright " + d.back, Good: true,
		Answer: map[string]any{d.key: jsonSteps(steps), "files": rows, "left": left}}
}

// words is a file's row for people.
func (f movedFile) words(d direction) string {
	var out []string
	if f.Is != d.as { // removed, or there again
		return f.Is
	}
	for _, one := range []struct {
		what string
		of   []string
	}{{d.removed, f.Gone}, {d.there, f.There}, {d.as, f.Changed}, {"", f.Position}} {
		if len(one.of) > 0 {
			out = append(out, strings.TrimPrefix(one.what+": ", ": ")+report.Few(one.of, mostListed))
		}
	}
	if len(out) == 0 {
		return f.Is
	}
	return strings.Join(out, "; ")
}

// became says what became of a file: of which parts and positions, where it is
// a drawer or a meter.
func became(f safefile.Moved, d direction) movedFile {
	row := movedFile{File: f.Path, Is: d.as}
	switch {
	case f.After == nil:
		row.Is = "removed"
	case f.Before == nil:
		row.Is = d.there
	}
	if before, after, ok := drawersOf(f); ok {
		row.compareParts(before, after)
	} else if before, after, ok := metersOf(f); ok {
		row.comparePositions(before, after)
	}
	return row
}

// drawersOf reads a file as a drawer, before and after; an empty one where it
// was not there, or could not be read before.
func drawersOf(f safefile.Moved) (before, after *inventory.Drawer, ok bool) {
	read := func(data []byte) *inventory.Drawer {
		d, err := inventory.ParseDrawer(f.Path, bytes.NewReader(data))
		if err != nil {
			return inventory.New(f.Path)
		}
		ok = true
		return d
	}
	before, after = read(f.Before), read(f.After)
	return before, after, ok
}

// compareParts lists the parts that come, go and change.
func (row *movedFile) compareParts(before, after *inventory.Drawer) {
	for _, p := range before.Parts() {
		is, _, found := after.Find(p.ID)
		switch {
		case !found:
			row.Gone = append(row.Gone, p.ID)
		case !inventory.Alike(is, p):
			row.Changed = append(row.Changed, p.ID)
		}
	}
	for _, p := range after.Parts() {
		if _, _, found := before.Find(p.ID); !found {
			row.There = append(row.There, p.ID)
		}
	}
}

// metersOf reads a file as a meter, before and after.
func metersOf(f safefile.Moved) (before, after *meterfile.File, ok bool) {
	before, err := meterfile.Parse(f.Path, f.Before)
	if err != nil {
		return nil, nil, false
	}
	after, err = meterfile.Parse(f.Path, f.After)
	return before, after, err == nil
}

// comparePositions lists the positions in which something else is now.
func (row *movedFile) comparePositions(before, after *meterfile.File) {
	is := func(f meterfile.Fitted) string {
		if !f.Present {
			return "open"
		}
		return f.Network.String()
	}
	was := map[string]string{}
	for i, p := range before.Meter.Positions() {
		was[p.Name] = is(before.Fitted[i])
	}
	for i, p := range after.Meter.Positions() {
		if now := is(after.Fitted[i]); was[p.Name] != now && was[p.Name] != "" {
			row.Position = append(row.Position, p.Name+" "+now)
		}
	}
}

// stepsDocument lists what undo or redo would do, the next one first.
func stepsDocument(steps []safefile.Step, d direction) report.Document {
	table := report.Table{Name: "steps", Columns: []report.Column{{Title: "steps", Key: "steps", Number: true},
		{Title: "when", Key: "when"}, {Title: "what", Key: "what", Flexible: true}, {Title: "files", Key: "files", Flexible: true}}}
	for i, s := range steps {
		table.Rows = append(table.Rows, []report.Cell{report.Count(i + 1), report.Words(s.When.Format("2006-01-02 15:04")), report.Words(s.Did), report.Words(strings.Join(s.Files, ", "))})
	}
	doc := report.Document{Heading: fmt.Sprintf("%s to %s, the next one first", report.Counted(len(steps), "change"), d.nothing),
		Tables: []report.Table{table}, Good: true, Answer: map[string]any{"steps": jsonSteps(steps)}}
	if len(steps) == 0 {
		doc.Heading = "there is nothing to " + d.nothing
		return doc
	}
	doc.Next = "shuntwright " + d.again
	return doc
}
