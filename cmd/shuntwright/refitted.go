package main

import (
	"os"
	"slices"
	"time"

	"shuntwright/cmd/shuntwright/internal/check"
	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/meter"
	"shuntwright/meter/meterfile"
	"shuntwright/meter/wiring"
)

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
