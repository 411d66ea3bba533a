package main

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"shuntwright/cmd/shuntwright/internal/predict"
)

// TestHundredThousandRows: a drawer far beyond any workshop's is read, searched
// and written, with everything that stood in it.
func TestHundredThousandRows(t *testing.T) {
	t.Parallel()
	const rows = 100_000
	var text strings.Builder
	text.WriteString("id,ohms,note,fitted\n")
	for i := range rows {
		fmt.Fprintf(&text, "P%06d,%d.%02d,n%d,\n", i, 100+i/100, i%100, i)
	}
	dir := t.TempDir()
	drawer := put(t, dir, "drawer.csv", text.String())
	meter := put(t, dir, "meter.json", `{"name": "m", "movement": {"full_scale": "1 mA", "coil": "5000.5 ohm"},
		"circuits": [{"circuit": "shunt", "range": "10 mA"}]}`)

	var fitted predict.Answer
	answered(t, &fitted, "fit", meter, "--drawer", drawer, "--parts", "1")
	if fitted.Positions[0].Network != "P045561" || fitted.NetworksConsidered.Int64() != rows || !*fitted.Proven {
		t.Errorf("%+v", fitted)
	}
	after, err := os.ReadFile(drawer)
	if err != nil {
		t.Fatal(err)
	}
	if want := strings.Replace(text.String(), "P045561,555.61,n45561,", "P045561,555.61,n45561,m: shunt 10 mA", 1); string(after) != want {
		t.Error("fit changed more in the drawer than the one part")
	}
}

// TestFitLeavesBothFiles: where the meter file cannot be written, the drawer
// does not change either. Here another program writes the meter file between
// the reading and the writing.
func TestFitLeavesBothFiles(t *testing.T) {
	for name, args := range map[string][]string{
		"plan":  nil,
		"one":   {"shunt 10 mA", "R003"},
		"unfit": {"shunt 100 mA"},
	} {
		t.Run(name, func(t *testing.T) {
			drawer, meter := sample(t)
			if s := program("fit", meter, "shunt 100 mA", "R002", "--drawer", drawer); s.code == exitWrong {
				t.Fatal(s.err)
			}
			before, err := os.ReadFile(drawer)
			if err != nil {
				t.Fatal(err)
			}
			chosen := fitCommand()
			if name == "unfit" {
				chosen = unfitCommand()
			}
			c := &call{ctx: context.Background(), env: env{getenv: variables(nil)}, command: chosen}
			if _, err := c.parse(append([]string{meter, "--drawer", drawer}, args...)); err != nil {
				t.Fatal(err)
			}
			defer c.letGo()
			if _, err := c.command.run(c); err != nil {
				t.Fatal(err)
			}
			changed := strings.Replace(sampleMeter, `"class": 2.5`, `"class": 1.5`, 1)
			put(t, filepath.Dir(meter), "meter.json", changed)
			if err := c.commit(); err == nil || !strings.Contains(err.Error(), "has changed since it was read") {
				t.Errorf("error %v", err)
			}
			for path, want := range map[string]string{drawer: string(before), meter: changed} {
				if is, err := os.ReadFile(path); err != nil || string(is) != want {
					t.Errorf("%s has changed (%v):\n%s", filepath.Base(path), err, is)
				}
			}
		})
	}
}

// TestMeterFileOfAnotherKind: a meter file that leads into a folder that is not
// there cannot be written; the drawer stays.
func TestMeterFileOfAnotherKind(t *testing.T) {
	drawer, _ := sample(t)
	before, err := os.ReadFile(drawer)
	if err != nil {
		t.Fatal(err)
	}
	s := program("fit", filepath.Join(t.TempDir(), "none", "m.json"), "shunt 10 mA", "R001", "--drawer", drawer)
	if s.code != exitWrong || !strings.Contains(s.err, "there is no file") {
		t.Errorf("%+v", s)
	}
	if after, err := os.ReadFile(drawer); err != nil || !bytes.Equal(before, after) {
		t.Errorf("the drawer has changed: %v", err)
	}
}

// TestColour: a terminal gets colour, unless NO_COLOR, --no-color or a dumb
// terminal says otherwise; what is no terminal never does.
func TestColour(t *testing.T) {
	drawer, meter := sample(t)
	for _, test := range []struct {
		paints  bool
		set     string
		flag    string
		painted bool
	}{
		{true, "", "", true},
		{false, "", "", false},
		{true, "NO_COLOR=1", "", false},
		{true, "TERM=dumb", "", false},
		{true, "TERM=xterm", "", true},
		{true, "", "--no-color", false},
		{true, "", "--format=json", false},
		{true, "", "--format=csv", false},
		{true, "", "--format=markdown", false},
	} {
		name, value, _ := strings.Cut(test.set, "=")
		args := []string{"predict", meter, "--drawer", drawer}
		if test.flag != "" {
			args = append(args, test.flag)
		}
		s := programIn(env{paints: test.paints, getenv: variables(map[string]string{name: value})}, "", args...)
		if painted := strings.Contains(s.out+s.err, "\x1b["); s.code == exitWrong || painted != test.painted {
			t.Errorf("%+v: painted %v, exit code %d", test, painted, s.code)
		}
	}
}

// TestAsking: on a terminal drawer add and meter new ask, say what is wrong
// with an answer, and ask again; questions go to standard error.
func TestAsking(t *testing.T) {
	t.Chdir(t.TempDir())
	s := asked("24.7\n-3\n4,700\n1k47\n\n", "drawer", "add")
	if s.code != exitGood || !strings.Contains(s.out, "added 2, now 2 parts") || !strings.Contains(s.err, `"-3" is negative`) ||
		!strings.Contains(s.err, "write which") || strings.Count(s.err, "reading: ") < 5 {
		t.Errorf("drawer add: %+v", s)
	}
	s = asked("bench\n1 V\n1\n1 mA\n98.6\n(unnamed)\nhand meter\n1 %\n1 V\n0.5 %\n\n50\n2.5\n\n\n10 mA, 10 X\n10 mA, 10mA\n10 mA, 100 mA\n100 mA\n\n\n15 V\n7 mA\n10 mA\n", "meter", "new", "m.json")
	if s.code != exitGood || !strings.Contains(s.out, "bench with 3 ranges and 3 positions") || !strings.Contains(s.err, `"1 V" is a voltage`) || !strings.Contains(s.err, `"1" without a unit is 1.00 A; write the unit, such as 1 uA or 1 mA`) ||
		!strings.Contains(s.err, `"(unnamed)" cannot be the name of an instrument`) || !strings.Contains(s.err, `10 X`) || !strings.Contains(s.err, `the range "10mA" is there twice`) ||
		!strings.Contains(s.err, `--shunt "100 mA": the range "100 mA" is there twice, first by --ring`) {
		t.Errorf("meter new: %+v", s)
	}
	if !strings.Contains(s.err, "(never with an ohmmeter across\n  the movement: its current can destroy it): ") {
		t.Errorf("a question of more than a line is not broken: %s", s.err)
	}
	if data, err := os.ReadFile("m.json"); err != nil || !strings.Contains(string(data), `"full_scale_limit_percent": 1, "coil": "98.6", "coil_gain_percent": 0.5, "instrument": "hand meter", "divisions": 50}`) || !strings.Contains(string(data), `"with_ring": "10 mA"`) {
		t.Errorf("%v: %s", err, data)
	}
	put(t, ".", "instruments.json", `{"hand meter": {"gain_percent": 1}}`)
	if s = program("targets", "m.json"); s.code != exitGood {
		t.Errorf("targets of what meter new wrote: %s", s.err)
	}
	if s = asked("bench\n1 mA\n", "meter", "new", "half.json"); s.code != exitWrong || exists("half.json") ||
		!strings.Contains(s.err, `so far they are shuntwright meter new --name bench --full-scale "1 mA" half.json`) {
		t.Errorf("answers that end too soon: %+v", s)
	}
}
