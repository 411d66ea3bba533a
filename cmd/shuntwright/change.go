package main

import (
	"errors"
	"fmt"
	"io/fs"
	"strings"
	"time"

	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/inventory/safefile"
)

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
