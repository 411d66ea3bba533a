package meterfile_test

import (
	"strings"
	"testing"

	"shuntwright/meter/meterfile"
)

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
		got, err := meterfile.SetMovement([]byte(ownHabits), test.fields...)
		if want := strings.Replace(ownHabits, was, test.now, 1); err != nil || string(got) != want {
			t.Errorf("%v: %v\n%q\nwant\n%q", test.fields, err, got, want)
		}
	}
}

// What would not be a meter file any more is refused.
func TestSetMovementRefuses(t *testing.T) {
	for _, g := range []meterfile.Given{{"coil", "98.6 V"}, {"coil", ""}, {"coil_gain_percent", "much"}, {"colour", "red"}, {"full_scale", "-1 mA"}} {
		if got, err := meterfile.SetMovement([]byte(ownHabits), g); err == nil || got != nil {
			t.Errorf("%v: %q, %v", g, got, err)
		}
	}
	if _, err := meterfile.SetMovement([]byte(`{"circuits": []}`), meterfile.Given{Field: "coil", Text: "98.6 ohm"}); err == nil {
		t.Error("a file without a movement was changed")
	}
}
