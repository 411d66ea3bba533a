package main

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"

	"shuntwright/cmd/shuntwright/internal/asbuilt"
	"shuntwright/inventory"
	"shuntwright/meter"
	"shuntwright/meter/meterfile"
)

// setup is a meter on the bench, with what the commands say of it.
type setup struct{ *asbuilt.Setup }

// openBench reads the drawer and the instruments and measures every part.
func (c *call) openBench() (*asbuilt.Bench, error) {
	drawer, err := c.readDrawer()
	if err != nil {
		return nil, err
	}
	return c.measure(drawer)
}

// measure works out what every part of a drawer is and how sure that is.
func (c *call) measure(drawer *inventory.Drawer) (*asbuilt.Bench, error) {
	instruments, err := c.readInstruments()
	if err != nil {
		return nil, err
	}
	return asbuilt.Measure(drawer, instruments)
}

// openSetup reads the meter, and the drawer where one is needed: always for
// plan and fit, and else only if a part of it is fitted.
func (c *call) openSetup(path string, needDrawer bool) (*setup, error) {
	file, data, stamp, err := c.readMeter(path)
	if err != nil {
		return nil, err
	}
	parts := slices.IndexFunc(file.Fitted, func(f meterfile.Fitted) bool { return f.Present && f.Network.Listed() })
	b, err := c.benchFor(needDrawer || parts >= 0)
	if errors.As(err, new(noDrawer)) && !needDrawer {
		f := file.Fitted[parts]
		return nil, fmt.Errorf("%s:%v: %q in %s is of a drawer (a resistance needs its unit): %w", path, f.Place, f.Text, file.Meter.Positions()[parts].Name, err)
	}
	if err != nil {
		return nil, err
	}
	s, err := asbuilt.New(b, path, file, data, stamp)
	if err != nil {
		return nil, err
	}
	s.Meet(c.namesakes(path, file.Meter.Name))
	return &setup{s}, nil
}

// namesakes are the meter files of that name beside this one and beside the
// drawer, on the disk. What cannot be read is none.
func (c *call) namesakes(path, name string) []asbuilt.Namesake {
	var out []asbuilt.Namesake
	if !c.files.OnDisk() {
		return out
	}
	self, err := os.Stat(path)
	if err != nil {
		return out
	}
	seen := []os.FileInfo{self}
	for _, path := range slices.Concat(jsonFiles(filepath.Dir(path)), jsonFiles(filepath.Dir(c.drawerPath()))) {
		info, err := os.Stat(path)
		if err != nil || slices.ContainsFunc(seen, func(f os.FileInfo) bool { return os.SameFile(f, info) }) {
			continue
		}
		seen = append(seen, info)
		if m, is := readFoundMeter(path); is && meter.SameName(m.Meter.Name, name) {
			out = append(out, asbuilt.Namesake{Path: path, File: m.File})
		}
	}
	return out
}

// benchFor opens the drawer, or an empty one where nothing of it is needed, with a
// part as found where the call has one.
func (c *call) benchFor(needed bool) (*asbuilt.Bench, error) {
	if c.asFound.Measured() {
		drawer, err := c.openToAdd()
		if err == nil {
			c.asFound, err = drawer.Add(c.asFound)
		}
		if err != nil {
			return nil, err
		}
		return c.measure(drawer)
	}
	if needed {
		return c.openBench()
	}
	drawer, err := c.openDrawer()
	if err != nil {
		return nil, err
	}
	return c.measure(drawer)
}
