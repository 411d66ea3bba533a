package main

import (
	"iter"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"shuntwright/cmd/shuntwright/internal/plan"
	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/match"
	"shuntwright/match/network"
	"shuntwright/meter/meterfile"
	"shuntwright/meter/quantity"
)

// onwards is the command that most likely follows an answer which names none:
// what the meter wants next, the one of the call or one beside the drawer; where
// there is none it is to be described.
func (c *call) onwards() string {
	if strings.HasPrefix(c.command.operands, "METER") {
		return c.forMeter(c.args[0])
	}
	found := c.metersBeside()
	if len(found) == 0 {
		return "shuntwright meter new meter.json"
	}
	return c.forMeter(found[max(0, slices.IndexFunc(found, foundMeter.open))].path)
}

// forMeter is what a meter wants next: parts to choose from, a plan for what is
// open, or to be held against readings.
func (c *call) forMeter(path string) string {
	command := "check"
	if m, is := readFoundMeter(path); !is || m.open() {
		command = "plan"
	}
	if command == "plan" && !exists(c.drawerPath()) && !strings.HasPrefix(c.command.name, "drawer ") {
		return "shuntwright drawer add"
	}
	return "shuntwright " + command + " " + report.InShell(path)
}

// foundMeter is a meter file that nobody named.
type foundMeter struct {
	path string
	*meterfile.File
}

// open tells whether a position of it is.
func (m foundMeter) open() bool {
	return slices.ContainsFunc(m.Fitted, func(f meterfile.Fitted) bool { return !f.Present })
}

// mostFound is how many meters are looked at for the next command.
const mostFound = 50

// metersBeside are the meters that lie beside the drawer.
func (c *call) metersBeside() (out []foundMeter) {
	for m := range metersIn(filepath.Dir(c.drawerPath())) {
		if out = append(out, m); len(out) == mostFound {
			break
		}
	}
	return out
}

// metersIn are the meters in a folder, by their names. What is no meter, or cannot
// be read, is passed over: nobody asked for it.
func metersIn(folder string) iter.Seq[foundMeter] {
	return func(yield func(foundMeter) bool) {
		for _, path := range jsonFiles(folder) {
			if m, is := readFoundMeter(path); is && !yield(m) {
				return
			}
		}
	}
}

// jsonFiles are the files of a folder that may be meters; none where it cannot be
// read.
func jsonFiles(folder string) (paths []string) {
	entries, _ := os.ReadDir(folder)
	for _, e := range entries {
		if filepath.Ext(e.Name()) == ".json" {
			paths = append(paths, filepath.Join(folder, e.Name()))
		}
	}
	return paths
}

func readFoundMeter(path string) (m foundMeter, is bool) {
	if info, err := os.Stat(path); err != nil || !info.Mode().IsRegular() || info.Size() > largestMeterFile {
		return m, false
	}
	data, err := os.ReadFile(path)
	if err != nil {
		return m, false
	}
	file, err := meterfile.Parse(path, data)
	return foundMeter{path, file}, err == nil
}

// readsNow is the command that tells how a meter reads in which a part is fitted;
// empty where the meter does not lie beside the drawer.
func (c *call) readsNow(fitted string) string {
	for _, m := range c.metersBeside() {
		if strings.HasPrefix(fitted, m.Meter.Name+": ") {
			return "shuntwright predict " + report.InShell(m.path)
		}
	}
	return ""
}

// carried is a command with the files of this call, where it takes them and does
// not name them itself: with others it would answer for another drawer.
func (c *call) carried(command string) string {
	args, is := strings.CutPrefix(command, "shuntwright ")
	if !is {
		return command
	}
	next, _, err := choose(strings.Fields(args))
	if err != nil {
		return command
	}
	for _, f := range c.given {
		key := map[string]string{"drawer": "drawer", "instruments": "instruments", "accuracy": "instruments"}[f.Name]
		of := f.Name == "instruments" && slices.Contains(next.flags, "instruments/file")
		if key == "" || !slices.Contains(next.flags, key) && !of || c.command.name == "drawer instrument" && f.Name == "accuracy" ||
			strings.Contains(command, " --"+f.Name+" ") {
			continue
		}
		command += " --" + f.Name + " " + report.InShell(f.text)
	}
	return command
}

// carriedBelow does so for the commands that stand on lines of their own below a
// sentence, and for the one that ends it.
func (c *call) carriedBelow(sentence string) string {
	lines := strings.Split(sentence, "\n")
	if at := strings.LastIndex(sentence, ": shuntwright "); at >= 0 && len(lines) == 1 {
		return sentence[:at+2] + c.carried(sentence[at+2:])
	}
	for i, line := range lines[1:] {
		if command := strings.TrimSpace(line); strings.HasPrefix(command, "shuntwright ") {
			lines[i+1] = "  " + c.carried(command)
		}
	}
	return strings.Join(lines, "\n")
}

// again is a command with the flags of the search that this call was given, but
// for those that are to be others.
func (c *call) again(command, operand string, but ...string) string {
	return "shuntwright " + command + " " + report.InShell(operand) + c.givenFlags(func(name string) bool {
		return slices.Contains(takenAgain, name) && !slices.Contains(but, name)
	})
}

// givenFlags are the flags of this call of those names, as they were typed; none of
// how an answer looks.
func (c *call) givenFlags(of func(name string) bool) (out string) {
	for _, f := range c.given {
		switch {
		case slices.Contains(common, f.Name) || !of(f.Name):
		case f.Value.Type() == "bool" && f.text == "true":
			out += " --" + f.Name
		default:
			out += " --" + f.Name + " " + report.InShell(f.text)
		}
	}
	return out
}

// againWith is such a command with one flag set otherwise.
func (c *call) againWith(command, operand, flag string) string {
	name, _, _ := strings.Cut(strings.TrimPrefix(flag, "--"), " ")
	return c.again(command, operand, name) + " " + flag
}

// onceSoldered is the command that notes a network: in the open position that
// was looked for, where a meter beside the drawer has one of that target; else
// nobody knows where it goes, and nothing is taken out. Where its parts do not bear
// what that position carries, it is the one that looks for some that do, and
// overloaded names the position.
func (c *call) onceSoldered(target float64, n network.Network, text string) (next, overloaded string) {
	const same = 0.005 // targets are typed as they are shown
	for _, m := range c.metersBeside() {
		stresses, err := m.Meter.Stresses()
		if err != nil {
			continue
		}
		for i, p := range m.Meter.Positions() {
			if off := stresses[i].Ohms/target - 1; m.Fitted[i].Present || max(off, -off) > same {
				continue
			}
			need := match.Need{Flow: math.NaN(), Drop: math.NaN()}
			plan.Hold(&need, stresses[i])
			switch again := c.again("pick", c.args[0], "current", "volts"); {
			case n.Bears()*n.Value() < need.Drop*(1-same):
				return again + " --volts " + report.InShell(quantity.Format(need.Drop, quantity.Volt, 4)), p.Name
			case n.Bears() < need.Flow*(1-same):
				return again + " --current " + report.InShell(quantity.Format(need.Flow, quantity.Ampere, 4)), p.Name
			}
			return "shuntwright fit " + report.InShell(m.path) + " " + report.InShell(p.Name) + " " + report.InShell(text), ""
		}
	}
	return "shuntwright drawer list", ""
}
