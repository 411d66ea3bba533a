package main

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"os"

	"shuntwright/cmd/shuntwright/internal/report/sheet"
	"shuntwright/cmd/shuntwright/internal/worksheet"
	"shuntwright/inventory/safefile"
)

// mayWrite refuses a file that is there, unless --force says to replace it.
func (c *call) mayWrite(path string) error {
	info, err := os.Stat(path)
	switch {
	case err != nil:
		return nil
	case info.IsDir():
		return fmt.Errorf("%q is a folder; name a file in it", path)
	case !info.Mode().IsRegular():
		return fmt.Errorf("%q is not an ordinary file; name another", path)
	case !c.options.force:
		return fmt.Errorf("%q is there already and stays as it is; name another file, or replace it with --force", path)
	}
	return nil
}

// write has a file written when the command is through, in place of one that is
// there.
func (c *call) write(path string, data []byte) {
	c.save = func(in *safefile.Change) error {
		_, stamp, err := safefile.Read(path)
		if err != nil && !errors.Is(err, fs.ErrNotExist) {
			return err
		}
		return in.Write(path, data, stamp)
	}
}

// saveSheet makes the sheet and has it written.
func (c *call) saveSheet(path string, job *worksheet.Job) error {
	page, err := job.Page(c.ctx)
	if err != nil {
		return err
	}
	var out bytes.Buffer
	if err := page.Write(&out); err != nil {
		return err
	}
	c.write(path, out.Bytes())
	return nil
}

// saveDrawing has the wiring of a meter written as SVG.
func (c *call) saveDrawing(s *setup) error {
	c.write(c.options.output, []byte(sheet.Together(s.Meter.Name, worksheet.Wiring(s.Setup))))
	return c.mayWrite(c.options.output)
}
