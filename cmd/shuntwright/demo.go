package main

import (
	"embed"
	"fmt"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"strings"

	"shuntwright/cmd/shuntwright/internal/asbuilt"
	"shuntwright/cmd/shuntwright/internal/check"
	"shuntwright/cmd/shuntwright/internal/readings"
	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/inventory/safefile"
)

// demoFiles are the demo's drawer, meter, instruments and readings: invented,
// all of them.
//
//go:embed demo/drawer.csv demo/meter.json demo/instruments.json demo/readings.csv
var demoFiles embed.FS

// demoNames are the files of the demo.
var demoNames = []string{"drawer.csv", "meter.json", "instruments.json", "readings.csv"}

func demoCommand() *command {
	return &command{
		name: "demo", most: 0,
		does: "runs the whole job on an embedded scenario, writes nothing",
		more: `The scenario is invented: the test meter of a pilot boat's radio room, with three
current and three voltage ranges, a drawer of 62 measured parts, and readings of a
year later, when something has gone wrong. --write puts its files into a folder to
play with.`,
		example: `shuntwright demo --write play
  puts drawer, meter, instruments and readings into the new folder play`,
		flags: []string{"write"},
		run:   runDemo,
	}
}

// demoAnswer is the JSON of demo.
type demoAnswer struct {
	Scenario string `json:"scenario"`
	Drawer   any    `json:"drawer"`
	Targets  any    `json:"targets"`
	Plan     any    `json:"plan"`
	Check    any    `json:"check"`
	report.Notes
}

// runDemo shows the job, or puts the files down.
func runDemo(c *call) (report.Document, error) {
	if c.flags.Changed("write") {
		return c.writeDemo(c.options.write)
	}
	inside, err := fs.Sub(demoFiles, "demo")
	if err != nil {
		return report.Document{}, err
	}
	c.files.FS, c.args, c.options.drawer = inside, []string{"meter.json"}, defaultDrawer
	c.options.parts, c.options.within, c.options.derate, c.options.resolution, c.options.timeLimit = 2, 20, 0.5, 0.05, defaultTime
	b, err := c.openBench()
	if err != nil {
		return report.Document{}, err
	}
	drawer, err := drawerDocument(b, drawerChange{parts: b.Parts}, "")
	if err != nil {
		return report.Document{}, err
	}
	targets, err := runTargets(c)
	if err != nil {
		return report.Document{}, err
	}
	s, made, err := c.makePlan()
	if err != nil {
		return report.Document{}, err
	}
	plan, err := c.planDocument(s, made)
	if err != nil {
		return report.Document{}, err
	}
	check, err := c.demoCheck(s)
	if err != nil {
		return report.Document{}, err
	}
	return demoDocument(b, drawer, targets, plan, check), nil
}

// demoCheck holds the meter, as it was planned, against the demo's readings.
func (c *call) demoCheck(s *setup) (report.Document, error) {
	c.options.top, c.options.referenceLimit = 3, "0.2% + 1 count"
	set, err := readings.NewReader(s.Meter, c.options.referenceLimit, "").ReadFile(c.files, "readings.csv")
	if err != nil {
		return report.Document{}, err
	}
	doc, _, err := check.Judge(s.Setup, set, c.asked(s.class(c)), math.NaN(), check.Left{}).Document(c.ctx)
	return doc, err
}

// demoDocument joins what the four steps say, each with its bottom line above
// its table, and says in full what kills.
func demoDocument(b *asbuilt.Bench, drawer, targets, plan, check report.Document) report.Document {
	scenario := "invented data: the test meter of a pilot boat's radio room, its resistors gone, " +
		fmt.Sprintf("and a drawer of %d parts, measured one by one", len(b.Parts))
	doc := report.Document{Heading: "demo, " + scenario, Good: plan.Good, Next: "shuntwright demo --write play"}
	doc.Tables = append(doc.Tables, trays(b))
	doc.Tables = append(doc.Tables, headed("1. ", "", targets)...)
	doc.Tables = append(doc.Tables, headed("2. ", "", plan)...)
	doc.Tables = append(doc.Tables, headed("3. a year later, ", "check-", check)...)
	doc.Closing = []string{"nothing was written; where demo --write did, shuntwright sheet meter.json makes the bench sheet to print"}
	doc.Notes = plan.Notes
	doc.Notes.Assumptions = report.Unique(append(doc.Notes.Assumptions, check.Notes.Assumptions...))
	doc.Notes.Warnings = report.Unique(append(doc.Notes.Warnings, check.Notes.Warnings...))
	doc.Notes.Cautions = inFull(doc.Notes.Cautions)
	doc.Answer = demoAnswer{Scenario: scenario, Drawer: drawer.Answer, Targets: targets.Answer, Plan: plan.Answer, Check: check.Answer, Notes: doc.Notes}
	return doc
}

// headed are the tables of a document as part of another one, its bottom line
// above the first of them that people see.
func headed(number, prefix string, of report.Document) []report.Table {
	var out []report.Table
	said := false
	for _, t := range of.Tables {
		if t.Name = prefix + t.Name; !t.Detail && !said {
			t.Heading, said = strings.Join(append([]string{number + of.Heading}, of.BottomLine...), "\n"), true
		}
		out = append(out, t)
	}
	return out
}

// trays shows a drawer in little room: the readings by where the parts lie.
func trays(b *asbuilt.Bench) report.Table {
	table := report.Table{Name: "drawer", Heading: "the drawer", Columns: []report.Column{
		{Title: "drawer", Key: "place"},
		{Title: "measured, ohms", Key: "readings", Flexible: true},
	}}
	var places []string
	for _, p := range b.Parts {
		places = append(places, p.Place)
	}
	for _, place := range report.Unique(places) {
		var readings []string
		for _, p := range b.Parts {
			if p.Place == place {
				readings = append(readings, p.ID+report.Unbroken+asTyped(p))
			}
		}
		table.Rows = append(table.Rows, []report.Cell{report.Words(place), report.Words(strings.Join(readings, ", "))})
	}
	return table
}

// writeDemo puts the demo's files into a folder, never over files that exist.
func (c *call) writeDemo(dir string) (report.Document, error) {
	if dir == "" {
		return report.Document{}, misused("--write needs the name of a folder")
	}
	var paths []string
	for _, name := range demoNames {
		path := filepath.Join(dir, name)
		if exists(path) {
			return report.Document{}, fmt.Errorf("%q is there already and stays as it is; name another folder", path)
		}
		paths = append(paths, path)
	}
	c.save = func(in *safefile.Change) error {
		if err := in.MakeFolder(dir); err != nil {
			return err
		}
		for i, name := range demoNames {
			data, err := demoFiles.ReadFile("demo/" + name)
			if err == nil {
				err = in.Write(paths[i], data, safefile.Absent)
			}
			if err != nil {
				return err
			}
		}
		return nil
	}
	return report.Document{
		Heading: "written: " + report.List(paths),
		Next:    strings.TrimPrefix(fmt.Sprintf("cd %s && shuntwright plan meter.json", report.InShell(dir)), "cd . && "),
		Answer:  map[string][]string{"written": paths},
		Good:    true,
	}, nil
}

// exists tells whether something of that name is there already.
func exists(path string) bool {
	_, err := os.Lstat(path)
	return err == nil
}

// inFull are cautions with their whole text in their line, for who reads it the
// first time.
func inFull(all []report.Caution) []report.Caution {
	var out []report.Caution
	for _, c := range all {
		out = append(out, report.Caution{Line: c.Text, Text: c.Text})
	}
	return out
}
