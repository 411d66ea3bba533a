package main

import (
	"os"
	"strings"
	"testing"
)

// TestBuyOnTheBench: on the meters of testdata/bench with a section out of reach
// pieces of at most two values of E24 do (of multimeters with SHUNTWRIGHT_SLOW), but for far-multimeter-120, where none
// do, and transmitter-60, where two parts of 0.5 W cannot make 1000 V. More parts
// a position, and more values, never do worse: that, and that there is none, takes
// a minute and SHUNTWRIGHT_SLOW.
func TestBuyOnTheBench(t *testing.T) {
	slow := os.Getenv("SHUNTWRIGHT_SLOW") != ""
	pieces := func(meter string, flags ...string) (n int, b bought) {
		folder := "../../testdata/bench/" + meter
		drawer, err := os.ReadFile(folder + "/drawer.csv")
		if err != nil {
			t.Fatal(err)
		}
		args := append([]string{"plan", folder + "/meter.json", "--drawer", put(t, t.TempDir(), "drawer.csv", string(drawer)), "--series", "E24", "--time-limit", "20s"}, flags...)
		answered(t, &b, args...)
		for _, it := range b.Buy.Items {
			n += it.Count
		}
		return n, b
	}
	for meter, want := range map[string]int{"far-multimeter-300": 1, "multimeter-60": 1, "panel-60": 1, "testset-60": 2, "voltmeter-60": 1} {
		if strings.Contains(meter, "multimeter") && !slow {
			continue
		}
		n, b := pieces(meter, "--buy", "2")
		if !b.Buy.Found || !b.Buy.Proven || n != want {
			t.Errorf("%s: %+v, want %d pieces, proven", meter, b.Buy, want)
		}
		for _, more := range [][]string{{"--buy", "4"}, {"--buy", "2", "--parts", "3"}} {
			if !slow {
				break
			}
			if fewer, b := pieces(meter, more...); !b.Buy.Found || fewer > n {
				t.Errorf("%s %v: %+v, with less allowed %d pieces do", meter, more, b.Buy, n)
			}
		}
	}
	if slow { // of 9453 choices of two values of E12 one does, that no slot by itself points to
		if n, b := pieces("multimeter-60", "--buy", "2", "--series", "E12", "--time-limit", "2m"); !b.Buy.Found || n != 3 {
			t.Errorf("multimeter-60 from E12: %+v, want two of 5.6 megohms and one of 15", b.Buy)
		}
	}
	for _, meter := range []string{"far-multimeter-120", "transmitter-60"} {
		if !slow {
			break
		}
		if _, b := pieces(meter, "--buy", "2"); b.Buy.Found || !b.Buy.Proven {
			t.Errorf("%s: %+v, want none, proven", meter, b.Buy)
		}
	}
}
