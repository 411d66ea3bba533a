package main

import (
	"encoding/csv"
	"encoding/json"
	"strings"
	"testing"
	"unicode"
)

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
