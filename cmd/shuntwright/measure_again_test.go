package main

import (
	"encoding/json"
	"math"
	"os"
	"slices"
	"strings"
	"testing"

	"shuntwright/cmd/shuntwright/internal/predict"
)

// What measuring again is said to gain is what predict says once it is done.
func TestMeasureAgain(t *testing.T) {
	const meterFile = `{"name": "test set", "movement": {"full_scale": "1 mA", "full_scale_limit_percent": %, "coil": "100.0 ohm", "instrument": "bridge"}, "circuits": [
		{"circuit": "shunt", "range": "5 mA", "fitted": "R1"}, {"circuit": "multiplier", "range": "10 V", "fitted": "R2"}]}`
	for _, test := range []struct {
		name, source, fullScale, promise, reading string
		nowScale, nowPromise, nowReading          string // measured as advised
	}{
		{"gain of an instrument", "gain of bridge", "0.05", `{"gain_percent": 1}`, "25.00,bridge,0.1,0.001",
			"0.05", `{"gain_percent": 0.1}`, "25.00,bridge,0.01,0.001"},
		{"floor of a part", "R1", "0.05", `{"gain_percent": 0.02}`, "25.00,bridge,0.02,1",
			"0.05", `{"gain_percent": 0.02}`, "25.00,bridge,0.02,0.1"},
		{"full-scale current", "full-scale current", "2", `{"gain_percent": 0.02}`, "25.00,bridge,0.02,0.001",
			"0.2", `{"gain_percent": 0.02}`, "25.00,bridge,0.02,0.001"},
	} {
		t.Run(test.name, func(t *testing.T) {
			t.Chdir(t.TempDir())
			predict := func(scale, promise, reading string) predict.Answer {
				t.Helper()
				for name, text := range map[string]string{
					"meter.json":       strings.Replace(meterFile, "%", scale, 1),
					"instruments.json": `{"bridge": ` + promise + `}`,
					"drawer.csv":       "id,ohms,instrument,gain_percent,floor_ohms,fitted\nR1," + reading + ",test set: shunt 5 mA\nR2,9900,bridge,,,test set: multiplier 10 V\n",
				} {
					if err := os.WriteFile(name, []byte(text), 0o644); err != nil {
						t.Fatal(err)
					}
				}
				var answer predict.Answer
				if err := json.Unmarshal([]byte(shell(t, "shuntwright predict meter.json --format json --budget")), &answer); err != nil {
					t.Fatal(err)
				}
				return answer
			}
			before := predict(test.fullScale, test.promise, test.reading)
			after := predict(test.nowScale, test.nowPromise, test.nowReading)
			if before.Again == nil || before.Again.Source != test.source {
				t.Fatalf("measure again %+v, want %s", before.Again, test.source)
			}
			if strings.HasPrefix(test.source, "gain") && !slices.Equal(before.Again.Readings, []string{"R1 [±0.1 %]", "coil", "R2"}) {
				t.Errorf("readings %q, want all that have the gain, of whatever range", before.Again.Readings)
			}
			if len(before.Again.Ranges) == 0 {
				t.Fatal("it is said to help no range")
			}
			for _, g := range before.Again.Ranges {
				for i, r := range before.Ranges {
					if r.Range != g.Range {
						continue
					}
					if math.Abs(g.Now-*r.LimitPercent) > 1e-12 || math.Abs(g.Then-*after.Ranges[i].LimitPercent) > 1e-9 {
						t.Errorf("%s: said to fall from %v to %v %%; predict says %v and %v", g.Range, g.Now, g.Then, *r.LimitPercent, *after.Ranges[i].LimitPercent)
					}
				}
			}
		})
	}
}
