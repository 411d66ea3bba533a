package main

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/inventory"
	"shuntwright/inventory/table"
)

func drawerImportCommand() *command {
	return &command{
		name: "drawer import", operands: "FILE", least: 1, most: 1,
		does: "takes all parts of another CSV file into the drawer",
		more: `Columns are known by the names that people give them (value, resistance, R, Wert, Watt,
power, Spannung, …), with a unit in brackets: the numbers of "Wert (kOhm)" are kOhm.
--columns says which is which where that does not tell, ohms="R gemessen",watts=Pmax;
own=HEADING leaves a column what it is. Columns that the program does not know are
taken over as they are, but one that may be a rating is asked about: a part whose volts
nobody has read passes at any voltage. --dry-run shows what each column is taken for
and writes nothing.

All parts or none: an id that the drawer has already is refused, and so is a line that
is no part, unless --skip-refused takes the rest. Parts without an id are numbered R001
and on, after the largest. A list without ids of which the drawer has every part already
is refused: it would stand there twice.`,
		example: `shuntwright drawer import estate-sale.csv --watts 0.5 --place "box 7"
  adds the parts of estate-sale.csv to drawer.csv`,
		flags: []string{"drawer", "instruments", "columns", "dry-run", "skip-refused", "watts", "volts/part", "kind", "place", "instrument", "wait"},
		run:   runDrawerImport,
	}
}

// runDrawerImport adds the parts of another file.
func runDrawerImport(c *call) (report.Document, error) {
	list, err := c.readList()
	if err != nil {
		return report.Document{}, err
	}
	drawer, err := c.openDrawer()
	if err != nil {
		return report.Document{}, err
	}
	list.RefuseKnown(drawer)
	if err := c.refusedLines(list); err != nil {
		return report.Document{}, err
	}
	if err := c.fillList(list); err != nil {
		return report.Document{}, err
	}
	did := "imported"
	if c.options.dryRun {
		did = "nothing is written; would import"
	}
	doc, err := c.changeDrawer(did, func(d *inventory.Drawer) (drawerChange, error) {
		again, err := importedBefore(list, d)
		if err != nil {
			return drawerChange{}, inFile(c.args[0], err)
		}
		added, err := d.AddList(list)
		if err != nil {
			return drawerChange{}, inFile(c.args[0], err)
		}
		of := drawerChange{parts: added, notes: c.doubts(added, nil), closing: takenFor(list)}
		for _, doubt := range []string{again, swapped(list.Parts)} {
			if doubt != "" {
				of.notes.Warnings = append(of.notes.Warnings, doubt+report.Either(c.options.dryRun, "", "; "+undoes))
			}
		}
		of.notes.Warnings = append(of.notes.Warnings, milliohms(added)...)
		of.notes.Warnings = append(of.notes.Warnings, unrated(list.Parts, "", " to all that have none")...)
		return of, nil
	})
	if err != nil {
		return doc, err
	}
	if c.options.dryRun {
		c.save = nil
		doc.Next = "shuntwright drawer import " + report.InShell(c.args[0]) + c.givenFlags(func(name string) bool { return name != "dry-run" })
	}
	doc.Tables[0].Detail = true // hundreds of rows would hide what was refused
	doc.Tables = append(doc.Tables, columnsTable(list, !c.options.dryRun), refusedTable(list))
	doc.Good = len(list.Refused) == 0 && len(list.Doubtful()) == 0
	return doc, nil
}

// readList reads the file with the columns that the flags name.
func (c *call) readList() (*inventory.List, error) {
	named, own, err := namedColumns(c.options.columns)
	if err != nil {
		return nil, err
	}
	list, err := inventory.ReadList(c.args[0], named, own...)
	if wrong := (*table.Error)(nil); errors.As(err, &wrong) && wrong.Header {
		example := `ohms="…"`
		if list.Guess != "" {
			example = report.InShell(list.Guess)
		}
		return nil, fmt.Errorf(`%w; or say which is which with --columns %s`, err, example)
	}
	if err != nil {
		return nil, err
	}
	if doubtful := list.Doubtful(); len(doubtful) > 0 && !c.options.dryRun { // there the table of the columns says it
		doubt := doubtful[0]
		return nil, misused("%s: the column %q may be the %s of the parts (it begins with %q): --columns %s=%s where it is, --columns own=%s where it is not",
			c.args[0], doubt.Heading, doubt.Column, doubt.First, doubt.Column, report.InShell(doubt.Heading), report.InShell(doubt.Heading))
	}
	return list, nil
}

// refusedLines says which lines are no parts, and ends the call where they are
// not to be left out.
func (c *call) refusedLines(list *inventory.List) error {
	n := len(list.Refused)
	switch {
	case n == 0 || c.options.dryRun || c.options.skipRefused && len(list.Parts) > 0:
		return nil
	case n == 1 && len(list.Parts) == 0:
		return list.Refused[0]
	}
	for i, err := range list.Refused {
		if i == mostRefused {
			fmt.Fprintf(c.err, "and %s more\n", report.Counted(n-i, "line"))
			break
		}
		fmt.Fprintf(c.err, "shuntwright drawer import: %s\n", report.Harmless(err.Error()))
	}
	if len(list.Parts) > 0 {
		fmt.Fprintf(c.err, "see: shuntwright drawer import %s --skip-refused takes the other %s\n", report.InShell(c.args[0]), report.Counted(len(list.Parts), "part"))
	}
	return alreadySaid{errors.New("lines are no parts")}
}

// mostRefused is how many lines that are no parts are listed on a terminal.
const mostRefused = 20

// fillList gives the parts of a list what the flags say of all of them, and
// what a person says of ratings that neither the list nor the flags have.
func (c *call) fillList(list *inventory.List) error {
	if err := c.fromFlags(func(column, text string) error { return fillColumn(list.Parts, column, text) }); err != nil {
		return err
	}
	if !c.env.asks || c.options.dryRun {
		return nil
	}
	in := c.lines()
	preview := strings.Join(append(takenFor(list), report.Counted(len(list.Parts), "part")), "\n") + "\n"
	for _, column := range []string{"watts", "volts"} {
		if slices.ContainsFunc(list.Parts, func(p inventory.Part) bool { return p.Has(column) }) {
			continue
		}
		in.Say(preview)
		preview = ""
		q := question{prompt: "no " + column + " in it: what are they, of all parts (empty: not known)", check: func(text string) error {
			return fillColumn(list.Parts, column, text)
		}}
		if err := c.ask(in, q); err != nil {
			return err
		}
	}
	return nil
}

// fillColumn gives all parts that have nothing in a column the same text there.
func fillColumn(parts []inventory.Part, column, text string) error {
	var any inventory.Part // a wrong text is wrong where no part needs it too
	if err := any.Set(column, text); err != nil {
		return err
	}
	for i := range parts {
		rating := column == "watts" || column == "volts"
		if parts[i].Has(column) || column == "instrument" && !parts[i].Measured() || rating && parts[i].IsSpool() {
			continue
		}
		if err := parts[i].Set(column, text); err != nil {
			return err
		}
	}
	return nil
}

// unrated warns of ratings that parts do not have; the words stand round the flag
// that gives them.
func unrated(parts []inventory.Part, call, to string) []string {
	var out []string
	parts = slices.DeleteFunc(slices.Clone(parts), inventory.Part.IsSpool) // wire has no such ratings
	for _, column := range []string{"watts", "volts"} {
		without := 0
		for _, p := range parts {
			if !p.Has(column) {
				without++
			}
		}
		if without > 0 {
			out = append(out, fmt.Sprintf("%d of %s without rated %s: nothing holds them to any; %s--%s gives it%s", without, report.Counted(len(parts), "part"), column, call, column, to))
		}
	}
	return out
}

// mostListed is how many of the parts that something is said of are named.
const mostListed = 6

// importedBefore refuses a list of which the drawer has every part already, and
// warns of one of which it has half or more.
func importedBefore(list *inventory.List, d *inventory.Drawer) (warning string, err error) {
	known := slices.DeleteFunc(list.In(d), func(id string) bool { return id == "" })
	switch all := len(list.Parts); {
	case len(known) == 0 || 2*len(known) < all:
		return "", nil
	case len(known) == all:
		return "", fmt.Errorf("every part of it is in %s already, alike in all that the list says (%s); where these are further parts that are alike, give each an id in the list", d.Path(), report.Few(known, mostListed))
	}
	return fmt.Sprintf("%d of the %d parts were in the drawer already, alike in all that the list says (%s)", len(known), len(list.Parts), report.Few(known, mostListed)), nil
}
