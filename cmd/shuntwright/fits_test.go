package main

import (
	"fmt"
	"strings"
	"testing"

	"github.com/jedib0t/go-pretty/v6/text"
)

// TestTablesFit: no answer of any command is wider than the terminal, of 80 or 60
// columns, with ids of ordinary length, and none has spaces at a line's end.
// Where the locale takes ASCII only, there is nothing else.
func TestTablesFit(t *testing.T) {
	for _, test := range []struct {
		columns int
		locale  string
	}{{80, "de_DE.UTF-8"}, {60, "POSIX"}} {
		t.Run(fmt.Sprint(test.columns, test.locale), func(t *testing.T) { fits(t, test.columns, test.locale) })
	}
}

// mayBeWide tells what no narrow terminal changes: pages of help, where ohm in
// place of its sign costs two columns too, drawings, and commands to be copied.
func mayBeWide(line, shown string, columns int, locale string) bool {
	help := strings.Contains(line, "--help")
	drawn := strings.Contains(shown, "[ ") || strings.Contains(shown, "──") || strings.HasPrefix(shown, "  + ")
	return help && !strings.Contains(locale, "UTF-8") || columns < 80 && (help || drawn || strings.HasPrefix(shown, "  shuntwright "))
}

func fits(t *testing.T, columns int, locale string) {
	dir := t.TempDir()
	t.Chdir(dir)
	do(t, "demo --write .")
	at := env{getenv: variables(map[string]string{"COLUMNS": fmt.Sprint(columns), "LANG": locale})}
	put(t, dir, "coupled.json", `{"name": "a meter with a name of some length", "class": 2.5,
 "movement": {"full_scale": "500 uA", "coil": "186.4 ohm", "divisions": 50},
 "circuits": [
  {"circuit": "direct", "range": "500 uA"},
  {"circuit": "ring", "ranges": ["modulator 10 mA", "100 mA", "1 A"]},
  {"circuit": "chain", "ranges": ["3 V", "30 V", "300 V"]},
  {"circuit": "external-shunt", "range": "final amplifier plate 200 mA", "drop": "150 mV"}]}`)
	for _, line := range []string{
		"demo", "help", "drawer list", "drawer add 4.711 0.4712 --kind film --place box", "drawer remeasure R001 0.405",
		"drawer remove R063", "undo", "targets meter.json", "targets coupled.json", "meter show meter.json",
		"meter show coupled.json", "pick 24.65 --parts 3", "pick 5Mohm", "plan meter.json", "plan meter.json --parts 3 --within 2",
		"plan coupled.json --within 5", "fit meter.json", "predict meter.json", "meter show meter.json", "drawer list",
		"predict meter.json --from 0C --to 45C --source-ohms 1k", "plan meter.json --trim --class 0.7", "pick 24.65 --enough measured",
		"plan meter.json --enough measured", `unfit meter.json "multiplier 50 V"`, `fit meter.json "multiplier 50 V" "(R041 + R047) || 1Mohm"`, "predict meter.json --class 0.5",
		`meter new new.json --full-scale 1mA --coil 98.6 --chain "3 V,300 V"`,
		"check meter.json readings.csv", "check meter.json readings.csv --full", "predict meter.json --budget", "predict meter.json --sensitivity", "protect meter.json --supply 300V",
		`meter change new.json --coil 50uohm`, "undo --list", "plan meter.json --help", "drawer add --help", "nosuch",
	} {
		s := programIn(at, "", words(line)...)
		if s.code == exitWrong && line != "nosuch" {
			t.Fatalf("%s: %s", line, s.err)
		}
		for shown := range strings.Lines(s.out) {
			shown = strings.TrimRight(shown, "\n")
			if wide := text.StringWidth(shown); wide > columns && !mayBeWide(line, shown, columns, locale) {
				t.Errorf("%s: %d columns: %s", line, wide, shown)
			}
			if i := strings.IndexFunc(shown+s.err, func(r rune) bool { return r > 0x7f }); i >= 0 && !strings.Contains(locale, "UTF-8") {
				t.Errorf("%s: not ASCII: %s", line, shown)
			}
			if strings.TrimRight(shown, " ") != shown {
				t.Errorf("%s: spaces at the end of %q", line, shown)
			}
		}
	}
}

// TestOddNames: what a name holds that a terminal would obey is shown as what it
// is, in the error and in its hint.
func TestOddNames(t *testing.T) {
	t.Chdir(t.TempDir())
	for _, args := range [][]string{{"plan", "a\x1b[2Jb"}, {"meter", "show", "a\x1b[2Jb"}, {"drawer", "list", "--drawer", "a\x1b[2Jb"}, {"check", "a\x1b[2Jb", "--history"}} {
		s := program(args...)
		if s.code != exitWrong || strings.ContainsRune(s.out+s.err, 0x1b) || !strings.Contains(s.err, `a\x1b[2Jb`) {
			t.Errorf("%q: %+v", args, s)
		}
	}
	if s := program("meter", "new", "a\x1b[2Jb.json", "--full-scale", "1mA", "--coil", "98.6", "--shunt", "5 mA"); s.code != exitGood || strings.ContainsRune(s.out+s.err, 0x1b) ||
		!strings.Contains(s.out, `next: shuntwright targets "a\x1b[2Jb.json"`) {
		t.Errorf("%+v", s)
	}
	if s := program("undo"); s.code != exitGood || strings.ContainsRune(s.out+s.err, 0x1b) {
		t.Errorf("%+v", s)
	}
}
