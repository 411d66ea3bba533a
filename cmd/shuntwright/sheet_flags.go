package main

import "github.com/spf13/pflag"

// sheetFlags say where sheets and drawings go, and what stands on a sheet.
func (o *options) sheetFlags() map[string]flagSetter {
	return map[string]flagSetter{
		"output":        textFlag(&o.output, "output", "`FILE` to write"),
		"sheet":         textFlag(&o.sheet, "sheet", "write the bench sheet of the plan to `FILE`"),
		"force":         func(f *pflag.FlagSet) { f.BoolVar(&o.force, "force", false, "replace a file that is there") },
		"date-of-sheet": textFlag(&o.date, "date", "`DAY` that stands on the sheet, as YYYY-MM-DD"),
		"as-of-sheet":   textFlag(&o.as, "as", "`WHEN` the readings were taken: found (before anything was done) or left (after; the default)"),
	}
}
