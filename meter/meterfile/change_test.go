package meterfile_test

import (
	"strings"
	"testing"

	"shuntwright/meter/meterfile"
)

// edits are steps of editing with what takes them back, and the text that they
// put in the place of another.
var edits = map[string]struct {
	step, back func(*meterfile.Editing) error
	old, new   string
}{
	"range": {
		func(e *meterfile.Editing) error {
			return e.With(meterfile.CircuitDescription{Circuit: "shunt", Ranges: []string{"30 mA"}})
		},
		func(e *meterfile.Editing) error { return e.Without("30mA") },
		`"drop": "0.5 V"}]`, "\"drop\": \"0.5 V\"},\r\n\t{\"circuit\": \"shunt\", \"range\": \"30 mA\"}]",
	},
	"ring": {
		func(e *meterfile.Editing) error {
			return e.With(meterfile.CircuitDescription{Circuit: "ring", Ranges: []string{"100 mA"}})
		},
		func(e *meterfile.Editing) error { return e.Without("100 mA") },
		`["10 mA","1 A"]`, `["10 mA","100 mA", "1 A"]`,
	},
	"chain's end": {
		func(e *meterfile.Editing) error {
			return e.With(meterfile.CircuitDescription{Circuit: "chain", Ranges: []string{"300 V"}})
		},
		func(e *meterfile.Editing) error { return e.Without("300 V") },
		`["3 V", "30 V"]`, `["3 V", "30 V", "300 V"]`,
	},
	"field": {
		func(e *meterfile.Editing) error {
			return e.With(meterfile.CircuitDescription{Circuit: "shunt", Ranges: []string{"grid 50mA"}, Given: []meterfile.Given{{Field: "contact", Text: "5 mohm"}}})
		},
		func(e *meterfile.Editing) error {
			return e.With(meterfile.CircuitDescription{Circuit: "shunt", Ranges: []string{"grid 50 mA"}, Given: []meterfile.Given{{Field: "contact"}}})
		},
		`"shunt"}`, `"shunt","contact" : "5 mohm"}`,
	},
	"two names exchanged": {
		func(e *meterfile.Editing) error {
			return e.Rename(meterfile.Rename{From: "1 A", To: "2 A"}, meterfile.Rename{From: "2 A", To: "1 A"})
		},
		func(e *meterfile.Editing) error {
			return e.Rename(meterfile.Rename{From: "1 A", To: "2 A"}, meterfile.Rename{From: "2 A", To: "1 A"})
		},
		"", "",
	},
	"name": {
		func(e *meterfile.Editing) error { e.Set(meterfile.Given{Field: "name", Text: "x"}); return nil },
		func(e *meterfile.Editing) error { e.Set(meterfile.Given{Field: "name"}); return nil },
		`"full_scale":"1 mA"}}`, "\"full_scale\":\"1 mA\"},\r\n\"name\":\"x\"}",
	},
}

// Steps of editing touch what they are about, in a file of somebody with habits
// of their own; taken back, they give the file back.
func TestEdit(t *testing.T) {
	for name, test := range edits {
		e, err := meterfile.Edit([]byte(ownHabits))
		if err == nil {
			err = test.step(e)
		}
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		now, err := e.Bytes()
		want := strings.Replace(ownHabits, test.old, test.new, 1)
		if name == "two names exchanged" {
			want = strings.NewReplacer(`"1 A"`, `"2 A"`, `"2 A"`, `"1 A"`).Replace(ownHabits)
		}
		if err != nil || string(now) != want {
			t.Errorf("%s: %v\n%q\nwant\n%q", name, err, now, want)
		}
		if e, err = meterfile.Edit(now); err == nil {
			err = test.back(e)
		}
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		if now, err = e.Bytes(); err != nil || string(now) != ownHabits && string(now) != strings.Replace(ownHabits, `"10 mA","1 A"`, `"10 mA", "1 A"`, 1) {
			t.Errorf("%s, taken back: %v\n%q\nwant\n%q", name, err, now, ownHabits)
		}
	}
}

// set changes fields of the movement of a file with habits of its own.
func set(t *testing.T, fields ...meterfile.Given) ([]byte, error) {
	t.Helper()
	e, err := meterfile.Edit([]byte(ownHabits))
	if err != nil {
		t.Fatal(err)
	}
	e.Set(fields...)
	return e.Bytes()
}

// One field of the movement changes, comes or goes; every other byte stays.
func TestSetMovementKeepsTheRest(t *testing.T) {
	const was = `"movement":{"coil":"50 ohm","full_scale":"1 mA"}`
	for _, test := range []struct {
		fields []meterfile.Given
		now    string
	}{
		{[]meterfile.Given{{"coil", "98.6 ohm"}}, `"movement":{"coil":"98.6 ohm","full_scale":"1 mA"}`},
		{[]meterfile.Given{{"coil_gain_percent", "0.5"}, {"instrument", `a "b"`}}, `"movement":{"coil":"50 ohm","full_scale":"1 mA","coil_gain_percent":0.5,"instrument":"a \"b\""}`},
		{[]meterfile.Given{{"divisions", "50"}, {"swamp", ""}, {"divisions", ""}}, was},
		{[]meterfile.Given{{"full_scale", "50 µA"}, {"full_scale_limit_percent", "1.5"}}, `"movement":{"coil":"50 ohm","full_scale":"50 µA","full_scale_limit_percent":1.5}`},
	} {
		got, err := set(t, test.fields...)
		if want := strings.Replace(ownHabits, was, test.now, 1); err != nil || string(got) != want {
			t.Errorf("%v: %v\n%q\nwant\n%q", test.fields, err, got, want)
		}
	}
}

// What would not be a meter file any more is refused.
func TestSetMovementRefuses(t *testing.T) {
	for _, g := range []meterfile.Given{{"coil", "98.6 V"}, {"coil", ""}, {"coil_gain_percent", "much"}, {"colour", "red"}, {"full_scale", "-1 mA"}} {
		if got, err := set(t, g); err == nil || got != nil {
			t.Errorf("%v: %q, %v", g, got, err)
		}
	}
}
