package main

import (
	"fmt"
	"slices"

	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/inventory"
)

func drawerImportCommand() *command {
	return &command{
		name: "drawer import", operands: "FILE", least: 1, most: 1,
		does: "takes all parts of another CSV file into the drawer",
		more: `All of them or none: an id that the drawer has already is refused, and parts
without one are numbered R001 and on, after the largest. FILE needs a column ohms,
and may have semicolons and decimal commas. Columns that the program does not know
are taken over as they are. A list without ids of which the drawer has every part
already is refused: it would stand there twice.`,
		example: `shuntwright drawer import estate-sale.csv
  adds the parts of estate-sale.csv to drawer.csv`,
		flags: []string{"drawer", "instruments", "instrument", "wait"},
		run:   runDrawerImport,
	}
}

// runDrawerImport adds the parts of another file.
func runDrawerImport(c *call) (report.Document, error) {
	list, err := inventory.ReadList(c.args[0])
	if err != nil {
		return report.Document{}, err
	}
	for i, p := range list.Parts {
		if p.Instrument == "" && p.Measured() {
			list.Parts[i].Instrument = c.options.instrument
		}
	}
	return c.changeDrawer("imported", func(d *inventory.Drawer) (drawerChange, error) {
		again, err := importedBefore(list, d)
		if err != nil {
			return drawerChange{}, inFile(c.args[0], err)
		}
		added, err := d.AddList(list)
		if err != nil {
			return drawerChange{}, inFile(c.args[0], err)
		}
		of := drawerChange{parts: added, notes: c.doubts(added, nil)}
		if again != "" {
			of.notes.Warnings = append(of.notes.Warnings, again+"; "+c.undoCommand()+" takes the import back")
		}
		if own := list.Own(); len(own) > 0 {
			of.closing = []string{"columns that the program does not know, taken over as they are: " + report.List(report.Quoted(own))}
		}
		return of, nil
	})
}

// importedBefore refuses a list of which the drawer has every part already, and
// warns of one of which it has half or more.
func importedBefore(list *inventory.List, d *inventory.Drawer) (warning string, err error) {
	known := slices.DeleteFunc(list.In(d), func(id string) bool { return id == "" })
	switch all := len(list.Parts); {
	case len(known) == 0 || 2*len(known) < all:
		return "", nil
	case len(known) == all:
		return "", fmt.Errorf("every part of it is in %s already, alike in all that the list says (%s); where these are further parts that are alike, give each an id in the list", d.Path(), some(known))
	}
	return fmt.Sprintf("%d of the %d parts were in the drawer already, alike in all that the list says (%s)", len(known), len(list.Parts), some(known)), nil
}

// some lists the first words of many.
func some(words []string) string {
	const most = 6
	if len(words) <= most+1 {
		return report.List(words)
	}
	return fmt.Sprintf("%s and %d more", report.List(words[:most]), len(words)-most)
}
