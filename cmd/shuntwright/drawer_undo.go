package main

import (
	"bytes"
	"fmt"

	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/inventory"
	"shuntwright/inventory/safefile"
)

func drawerUndoCommand() *command {
	return &command{
		name: "drawer undo", most: 0,
		does: "takes back the last change of the drawer; once more brings it back",
		more: `Says what comes, goes and changes by that. A second undo takes back the first: the
change is there again. Meter files are not touched, so where the change was that
of fit or unfit, the drawer and the meter file disagree afterwards: unfit and fit
put them in step.`,
		example: `shuntwright drawer undo
  drawer.csv is as it was before the last command that changed it`,
		flags: []string{"drawer", "instruments"},
		run:   runDrawerUndo,
	}
}

// runDrawerUndo shows the drawer as it was, and then makes it so.
func runDrawerUndo(c *call) (report.Document, error) {
	path := c.drawerPath()
	before, err := safefile.Before(path)
	if err != nil {
		return report.Document{}, err
	}
	drawer := inventory.New(path) // where there was no file before
	if len(before) > 0 {
		if drawer, err = inventory.ParseDrawer(path, bytes.NewReader(before)); err != nil {
			return report.Document{}, err
		}
	}
	b, err := c.measure(drawer)
	if err != nil {
		return report.Document{}, err
	}
	of := drawerChange{parts: b.Parts}
	if now, err := c.openDrawer(); err == nil { // one that cannot be read, undo is to bring back
		of = undoing(now, drawer)
	}
	c.save = func() error { return inventory.Undo(path) }
	return drawerDocument(b, of, fmt.Sprintf("%s: the last change is taken back, now %s; undo again brings it back", path, report.Counted(len(b.Parts), "part")))
}

// undoing says what becomes of the parts of a drawer when it is again as it was
// before.
func undoing(now, before *inventory.Drawer) drawerChange {
	of := drawerChange{parts: before.Parts()}
	var gone, back, changed []string
	for _, p := range now.Parts() {
		was, _, found := before.Find(p.ID)
		switch {
		case !found:
			gone = append(gone, p.ID)
		case !inventory.Alike(p, was):
			changed = append(changed, p.ID)
		}
		if p.Fitted != was.Fitted {
			of.notes.Warnings = append(of.notes.Warnings, outOfStep(p, was, found))
		}
	}
	for _, p := range before.Parts() {
		if _, _, found := now.Find(p.ID); !found {
			back = append(back, p.ID)
		}
	}
	for _, one := range []struct {
		what  string
		parts []string
	}{{"gone", gone}, {"there again", back}, {"as before", changed}} {
		if len(one.parts) > 0 {
			of.closing = append(of.closing, one.what+": "+some(one.parts))
		}
	}
	return of
}

// outOfStep warns of a part that the drawer will say something else of where it
// is fitted than now, while the meter file stays as it is. there is whether it
// will have the part at all.
func outOfStep(now, then inventory.Part, there bool) string {
	const stays = "; the meter file is not touched: where it says otherwise, shuntwright unfit and fit put them in step"
	switch {
	case !there:
		return fmt.Sprintf("part %s is gone and was fitted in %q%s", now.ID, now.Fitted, stays)
	case then.Fitted == "":
		return fmt.Sprintf("part %s counts as free again, fitted no more in %q%s", now.ID, now.Fitted, stays)
	}
	return fmt.Sprintf("part %s counts as fitted in %q again%s", now.ID, then.Fitted, stays)
}
