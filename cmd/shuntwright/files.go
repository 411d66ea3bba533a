package main

import (
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"time"

	"shuntwright/cmd/shuntwright/internal/entry"
	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/inventory"
	"shuntwright/inventory/instrument"
	"shuntwright/inventory/safefile"
	"shuntwright/meter/meterfile"
)

// drawerPath is the drawer's file: the flag, the environment, or drawer.csv.
func (c *call) drawerPath() string {
	if c.options.drawer != "" {
		return c.options.drawer
	}
	if path := c.env.getenv("SHUNTWRIGHT_DRAWER"); path != "" {
		return path
	}
	if c.beside != "" && !exists(defaultDrawer) {
		return c.beside
	}
	return defaultDrawer
}

// defaultDrawer is the drawer where nobody names another.
const defaultDrawer = "drawer.csv"

// findMeter finds the meter's file where its name was typed without .json, and
// the drawer beside it.
func (c *call) findMeter() {
	var meter *string
	switch name := c.command.name; {
	case len(c.args) > 0 && (strings.HasPrefix(c.command.operands, "METER") || name == "meter change"):
		meter = &c.args[0]
	case strings.HasPrefix(name, "movement ") && c.options.write != "":
		meter = &c.options.write
	default:
		return
	}
	if !isFile(*meter) && isFile(*meter+".json") {
		*meter += ".json"
	}
	if beside := filepath.Join(filepath.Dir(*meter), defaultDrawer); isFile(beside) && filepath.Dir(*meter) != "." {
		c.beside = beside
	}
}

func isFile(path string) bool {
	info, err := os.Stat(path)
	return err == nil && !info.IsDir()
}

// besideMeter says of an answer that it took the drawer beside the meter.
func (c *call) besideMeter(doc report.Document) report.Document {
	if !c.tookDrawer || c.beside == "" || c.drawerPath() != c.beside {
		return doc
	}
	doc.Notes.Assumptions = append([]string{fmt.Sprintf("the drawer is %s, beside the meter: this folder has none", c.beside)}, doc.Notes.Assumptions...)
	if of := reflect.ValueOf(doc.Answer); of.Kind() == reflect.Struct {
		answer := reflect.New(of.Type()).Elem()
		answer.Set(of)
		if notes := answer.FieldByName("Notes"); notes.IsValid() && notes.Type() == reflect.TypeOf(doc.Notes) {
			notes.Set(reflect.ValueOf(doc.Notes))
			doc.Answer = answer.Interface()
		}
	}
	return doc
}

// noDrawer says that there is none where one is needed, and whether the journal
// has one that was there.
type noDrawer struct {
	path string
	lost bool
}

func (n noDrawer) Error() string {
	if n.lost {
		return fmt.Sprintf("no drawer at %q any more; put a copy of it back, or shuntwright undo brings it back as the last change left it", n.path)
	}
	return fmt.Sprintf("no drawer at %q; start one with shuntwright drawer add 98.6, or name another with --drawer FILE", n.path)
}

// readDrawer reads the drawer, which must be there.
func (c *call) readDrawer() (*inventory.Drawer, error) {
	c.settle()
	drawer, err := inventory.Read(c.files, c.drawerPath())
	c.tookDrawer = err == nil
	if errors.Is(err, fs.ErrNotExist) {
		return nil, noDrawer{c.drawerPath(), c.lostDrawer()}
	}
	return drawer, err
}

// openDrawer reads the drawer, or starts an empty one where there is none.
func (c *call) openDrawer() (*inventory.Drawer, error) {
	c.settle()
	drawer, err := inventory.Read(safefile.Files{}, c.drawerPath())
	c.tookDrawer = err == nil
	if errors.Is(err, fs.ErrNotExist) {
		return inventory.New(c.drawerPath()), nil
	}
	return drawer, err
}

// lostDrawer tells whether the journal has the drawer that is gone.
func (c *call) lostDrawer() bool {
	j, err := c.journal()
	return err == nil && !exists(c.drawerPath()) && j.Held(c.drawerPath()) != nil
}

// drawerGone warns of adding to a new drawer where another was.
func (c *call) drawerGone() []string {
	if !c.lostDrawer() {
		return nil
	}
	return []string{fmt.Sprintf("the drawer that was at %s is gone, and the journal has it: undo this and undo again brings it back", c.drawerPath())}
}

// openToAdd is openDrawer for what adds parts: ids that meters beside it hold, or
// that stand on envelopes of removed parts, are not given again.
func (c *call) openToAdd() (*inventory.Drawer, error) {
	d, err := c.openDrawer()
	if err != nil {
		return nil, err
	}
	for _, m := range c.metersBeside() {
		if filepath.Base(c.drawerPath()) != defaultDrawer {
			break // of which drawer they are, only their owner knows
		}
		for _, f := range m.Fitted {
			d.Spend(append(f.Network.IDs(), slices.Collect(maps.Keys(f.Network.Lengths()))...)...)
		}
	}
	if j, err := c.journal(); err == nil {
		steps, _, _ := j.Steps() // where the journal cannot be read it tells nothing
		for _, s := range steps {
			if ids, removed := strings.CutPrefix(s.Did, "drawer remove "); removed {
				d.Spend(strings.Fields(ids)...)
			}
		}
	}
	return d, nil
}

// readInstruments reads what the flag names, or instruments.json beside the
// drawer; that one need not be there. What --accuracy states comes on top.
func (c *call) readInstruments() (inventory.Instruments, error) {
	in, err := instrument.Read(c.files, c.instrumentsPath())
	if c.options.instruments == "" && errors.Is(err, fs.ErrNotExist) {
		in, err = map[string]instrument.Instrument{}, nil
	}
	if err == nil && c.options.accuracy.text != "" {
		in[inventory.Unnamed] = c.options.accuracy.promise
	}
	return in, err
}

// largestMeterFile is more than any meter takes; what is larger is not a meter.
const largestMeterFile = 8 << 20

// readMeter reads and parses a meter file; its bytes come along for editing,
// and the stamp for writing it back.
func (c *call) readMeter(path string) (*meterfile.File, []byte, safefile.Stamp, error) {
	c.settle()
	data, stamp, err := c.files.Read(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil, nil, stamp, fmt.Errorf("reading meter: there is no file %q%s; write one with shuntwright meter new %s", path, meantFile(path), report.InShell(path))
	case err != nil:
		return nil, nil, stamp, fmt.Errorf("reading meter: %w", err)
	case len(data) > largestMeterFile:
		return nil, nil, stamp, fmt.Errorf("reading meter: %q has %d bytes, too many for a meter file", path, len(data))
	}
	file, err := meterfile.Parse(path, data)
	return file, data, stamp, err
}

// meantFile asks for the meter file that may have been meant.
func meantFile(path string) string {
	names := jsonFiles(filepath.Dir(path))
	for i := range names {
		names[i] = strings.TrimSuffix(names[i], ".json")
	}
	return report.Meant(strings.TrimSuffix(path, ".json"), names)
}

// lines reads what is typed, or comes from a pipe.
func (c *call) lines() *entry.Reader {
	c.prompts = true
	return entry.NewReader(c.ctx, c.in, c.err, c.env.asks)
}

// inFile puts the file before an error that does not name it.
func inFile(path string, err error) error { return fmt.Errorf("%s: %w", path, err) }

// defaultWait is how long a call waits for another that writes.
const defaultWait = 10 * time.Second

// journal is where the changes of the call are written down: beside the drawer.
func (c *call) journal() (*safefile.Journal, error) { return c.journalBeside(c.drawerPath()) }

// journalBeside is that of the folder of a file.
func (c *call) journalBeside(path string) (*safefile.Journal, error) {
	j, err := safefile.NewJournal(path)
	if err != nil {
		return nil, err
	}
	j.Did, j.By, j.Wait = c.did(), "shuntwright "+c.command.name, defaultWait
	if c.flags.Changed("wait") {
		j.Wait = c.options.wait
	}
	j.Tell = func(text string) { fmt.Fprintf(c.err, "%s: %s\n", j.By, text) }
	return j, nil
}

// did is the call as it was typed, without the program's name.
func (c *call) did() string {
	words := []string{c.command.name}
	for _, word := range c.typed {
		words = append(words, report.InShell(word))
	}
	return strings.Join(words, " ")
}

// hold keeps other programs from the drawer's folder, and from those of the
// paths, until the call has ended. It comes before the files are read.
func (c *call) hold(paths ...string) error {
	if c.change != nil {
		return nil
	}
	j, err := c.journal()
	if err != nil {
		return err
	}
	c.change, err = j.Begin(c.ctx, paths...)
	if errors.Is(err, fs.ErrPermission) && len(paths) > 0 && !exists(c.drawerPath()) { // a folder that is only looked from
		if j, err = c.journalBeside(paths[0]); err == nil {
			c.change, err = j.Begin(c.ctx)
		}
	}
	return err
}

// commit writes what the command changes, all files or none.
func (c *call) commit() error {
	if c.save == nil {
		return nil
	}
	if err := c.hold(); err != nil {
		return err
	}
	if err := c.save(c.change); err != nil {
		return err
	}
	return c.change.Commit()
}

// letGo lets other programs go on.
func (c *call) letGo() {
	if c.change != nil {
		c.change.End()
	}
}

// settle completes what another call left half done, before anything is read.
func (c *call) settle() {
	if c.change != nil || c.flags == nil || !c.files.OnDisk() {
		return
	}
	if j, err := c.journal(); err == nil {
		j.Settle(c.ctx)
	}
}
