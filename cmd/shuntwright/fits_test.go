package main

import (
	"encoding/csv"
	"encoding/json"
	"fmt"
	"strings"
	"testing"
	"unicode"

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

// hostile is a label that clears a screen, turns the reading order round, and
// would be run by a spreadsheet.
const hostile = "=cmd|'/c x'!A1 \x1b[2J\u009b2J\u202edrawer\u2066\x07"

// TestHostileLabels: what stands in labels is shown as what it is, in every form
// of every answer, and comes back from CSV and JSON.
func TestHostileLabels(t *testing.T) {
	dir := t.TempDir()
	drawer := dir + "/drawer.csv"
	if s := program("drawer", "add", "10.91", "98.2k", "--kind", hostile, "--place", hostile, "--note", hostile, "--drawer", drawer); s.code != exitGood {
		t.Fatal(s.err)
	}
	if p := drawerIn(t, dir)[0]; p.Place != hostile || p.Kind != hostile {
		t.Errorf("read back as %q", p.Place)
	}
	name, _ := json.Marshal(hostile)
	meter := put(t, dir, "m.json", strings.Replace(dialMeter, `"bench"`, string(name), 1))
	for _, call := range [][]string{
		{"drawer", "list"}, {"drawer", "list", "--place", "drawer"}, {"pick", "10.9"}, {"plan", meter}, {"fit", meter, "shunt 5 mA", "R001"}, {"predict", meter},
		{"drawer", "list"}, {"meter", "show", meter}, {"drawer", "remove", hostile}, {"fit", meter, hostile, "R001"}, {"drawer", "add", "5 " + hostile},
		{"drawer", "add", "5", "--instrument", hostile}, {"drawer", "list", "--sort", hostile}, {hostile},
	} {
		for _, format := range []string{"table", "json", "csv", "markdown"} {
			args := append(append([]string{}, call...), "--format", format)
			if call[0] != hostile && call[0] != "meter" && !(call[0] == "drawer" && call[1] == "remove") {
				args = append(args, "--drawer", drawer)
			}
			s := program(args...)
			for _, r := range s.out + s.err {
				if r != '\n' && (unicode.IsControl(r) || unicode.Is(unicode.Cf, r)) {
					t.Errorf("%q says %q in\n%q", args, r, s.out+s.err)
					break
				}
			}
		}
	}
	if s := asked("5.5 place "+hostile+"\nplace "+hostile+"\n\n", "drawer", "add", "--drawer", drawer); strings.ContainsAny(s.out+s.err, "\x1b\u009b\u202e\x07") ||
		!strings.Contains(s.out, `\x1b[2J`) {
		t.Errorf("%q %q", s.out, s.err)
	}

	rows, err := csv.NewReader(strings.NewReader(program("drawer", "list", "--drawer", drawer, "--format", "csv").out)).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	for _, row := range rows[1:] {
		for _, cell := range row {
			if cell != "" && strings.ContainsAny(cell[:1], "=+@") {
				t.Errorf("a spreadsheet would run %q", cell)
			}
		}
	}
	var answer struct{ Parts []struct{ Place string } }
	answered(t, &answer, "drawer", "list", "--drawer", drawer)
	if answer.Parts[0].Place != hostile {
		t.Errorf("JSON says %q", answer.Parts[0].Place)
	}
}
