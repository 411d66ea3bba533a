package main

import (
	"math"
	"path/filepath"
	"strings"
	"testing"
)

// TestSurestRing: in a ring a part known to 0.1 % wins over one known to 5 %
// that reads closer, and the plan is proven. All is invented.
func TestSurestRing(t *testing.T) {
	folder := t.TempDir()
	meter := put(t, folder, "ring.json", `{"name": "ring", "movement": {"full_scale": "1 mA", "coil": "90 ohm", "coil_gain_percent": 0.1},
		"circuits": [{"circuit": "ring", "ranges": ["10 mA", "100 mA"]}]}`)
	// The ring is 10 ohm: 9 ohm and 1 ohm.
	drawer := put(t, folder, "drawer.csv", "id,ohms,gain_percent,floor_ohms,instrument\n"+
		"well9,9.02,0.1,0,bridge\nbadly9,9.000,5,0,old meter\nwell1,1.003,0.1,0,bridge\nbadly1,1.0000,5,0,old meter\n")
	put(t, folder, "instruments.json", `{"bridge": {"gain_percent": 0.1}, "old meter": {"gain_percent": 5}}`)
	for _, test := range []struct {
		flag string
		want [2]string
	}{{"", [2]string{"badly9", "badly1"}}, {"--sure", [2]string{"well9", "well1"}}} {
		var got struct {
			filling
			Ranges []struct {
				Error float64 `json:"full_scale_error_percent"`
				Limit float64 `json:"limit_percent"`
			}
		}
		answered(t, &got, strings.Fields("plan "+meter+" --drawer "+drawer+" --instruments "+filepath.Join(folder, "instruments.json")+" --parts 1 "+test.flag)...)
		if !got.Proven || got.Positions[0].Network != test.want[0] || got.Positions[1].Network != test.want[1] {
			t.Errorf("plan %s: %+v, proven %v; want %v", test.flag, got.Positions, got.Proven, test.want)
		}
		sum := 0.0
		for _, r := range got.Ranges {
			sum = max(sum, math.Abs(r.Error)+r.Limit)
		}
		if sure := test.flag != ""; sure && !(sum < 1) || !sure && !(sum > 3) {
			t.Errorf("plan %s: error and limit together %v", test.flag, sum)
		}
	}
}

// TestSureNamesWorst: with --sure the range named as worst is the one with the
// largest error and limit together, not the one with the largest error.
func TestSureNamesWorst(t *testing.T) {
	drawer := put(t, t.TempDir(), "drawer.csv", "id,ohms,gain_percent\nA,9.8k,0.1\nB,49.9k,3\n")
	meter := put(t, t.TempDir(), "m.json", `{"movement": {"full_scale": "1 mA", "coil": "98.6 ohm"}, "circuits": [
		{"circuit": "multiplier", "range": "10 V"}, {"circuit": "multiplier", "range": "50 V"}]}`)
	for sure, want := range map[string]string{"--sure=false": "worst range 10 V, +1.0", "--sure": "worst range 50 V, 0.0"} {
		if s := program("plan", meter, "--drawer", drawer, sure); !strings.Contains(s.out, want) {
			t.Errorf("%s: want %q in %s%s", sure, want, s.out, s.err)
		}
	}
	classed := put(t, t.TempDir(), "classed.json", `{"class": 2, "movement": {"full_scale": "1 mA", "coil": "98.6 ohm"}, "circuits": [
		{"circuit": "multiplier", "range": "10 V"}, {"circuit": "multiplier", "range": "50 V"}]}`)
	if s := program("plan", classed, "--drawer", drawer, "--sure"); !strings.Contains(s.out, "50 V, 0.0 ±2.9 %\n") {
		t.Errorf("the limit is what puts it outside, and is not said: %s%s", s.out, s.err)
	}
}
