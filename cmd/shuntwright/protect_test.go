package main

import (
	"fmt"
	"math"
	"regexp"
	"strings"
	"testing"

	"shuntwright/meter/quantity"
)

// protected is what protect says of a meter of 1 mA and 98.6 ohm, which is
// invented, with these circuits.
func protected(t *testing.T, movement, circuits, flags string) (said, protectAnswer) {
	t.Helper()
	dir := t.TempDir()
	meter := put(t, dir, "m.json", `{"movement": {"full_scale": "1 mA", "coil": "98.6 ohm"`+movement+`}, "circuits": [`+circuits+`]}`)
	args := append([]string{"protect", meter, "--drawer", dir + "/none.csv"}, strings.Fields(flags)...)
	var answer protectAnswer
	answered(t, &answer, args...)
	return program(args...), answer
}

// TestProtectAdvice: what helps is what helps against the parts that burn the
// movement, by how they fail and by what is there already. A shorted multiplier
// puts the whole voltage across the movement, where diodes at the shunt cannot
// help.
func TestProtectAdvice(t *testing.T) {
	const (
		shunt      = `{"circuit": "shunt", "range": "100 mA", "fitted": "0.996 ohm"}`
		multiplier = `{"circuit": "multiplier", "range": "250 V", "fitted": "249.9 kohm"}`
		halves     = `{"circuit": "multiplier", "range": "250 V", "fitted": "125 kohm + 124.9 kohm"}`
		uneven     = `{"circuit": "multiplier", "range": "250 V", "fitted": "249.89 kohm + 10 ohm"}`
		helpsShunt = "diodes across the shunt as well"
		helpsMult  = "multiplier 250 V: two resistors in series"
		helpsSplit = "multiplier 250 V (249.89 kohm is nearly all of it): parts of like value in series, so that the others hold when one shorts"
		swamp      = "helps: a swamping resistor"
		schottky   = "a rectifier that clamps lower (germanium or Schottky); full scale takes only 98.6 mV"
		fuse       = "a fuse in the lead must end it"
		survives   = "the movement survives any part failing, for a moment"
		atOnce     = "all 2 parts of multiplier 250 V shorting at once would burn it: 2535 times"
	)
	lines := []string{helpsShunt, helpsMult, helpsSplit, swamp, schottky, fuse, survives, atOnce}
	hard := "--supply 300V --source-ohms 10"
	for _, test := range []struct {
		name, movement, circuits, flags string
		want                            []string
	}{
		{"a multiplier", "", multiplier, "", []string{helpsMult}},
		{"a shunt", "", shunt, hard, []string{swamp, schottky, fuse}},
		{"a shunt that burns it by little", "", shunt, "--supply 300V --source-ohms 100", []string{helpsShunt, swamp, schottky, fuse}},
		{"a shunt with diodes there", "", shunt, hard + " --across shunt", []string{swamp, schottky, fuse}},
		{"both", "", shunt + "," + multiplier, "--supply 300V", []string{helpsMult, fuse}},
		{"a swamping resistor there", `, "swamp": "20 ohm"`, `{"circuit": "shunt", "range": "100 mA", "fitted": "1.198 ohm"}`, hard, []string{fuse}},
		{"a string", "", halves, "", []string{survives, atOnce}},
		{"a string of one large and one small", "", uneven, "", []string{helpsSplit}},
		{"nothing", "", `{"circuit": "multiplier", "range": "0.5 V", "fitted": "401.4 ohm"}`, "", []string{survives}},
	} {
		s, _ := protected(t, test.movement, test.circuits, test.flags)
		text := plainText(s.out)
		for _, line := range lines {
			wanted := false
			for _, w := range test.want {
				wanted = wanted || w == line
			}
			if strings.Contains(text, line) != wanted {
				t.Errorf("%s: %q: want it %v\n%s", test.name, line, wanted, s.out+s.err)
			}
		}
		if want := strings.Contains(text, survives); (s.code == exitGood) != want {
			t.Errorf("%s: exit %d", test.name, s.code)
		}
	}
}

// TestProtectSwampIsEnough: with the swamping resistor that is named the movement
// survives, and with half of it it does not.
func TestProtectSwampIsEnough(t *testing.T) {
	const shunt = `{"circuit": "shunt", "range": "100 mA", "fitted": "0.996 ohm"}`
	for _, flags := range []string{"--supply 300V --source-ohms 10", "--supply 300V --source-ohms 100", "--supply 100V --source-ohms 10 --diode 1N4148", "--supply 300V --source-ohms 10 --across shunt"} {
		s, _ := protected(t, "", shunt, flags)
		found := regexp.MustCompile(`a swamping resistor of (\S+) (\S+) or more`).FindStringSubmatch(plainText(s.out))
		if found == nil {
			t.Fatalf("%s: %s", flags, s.out+s.err)
		}
		v, err := quantity.Parse(found[1]+" "+found[2], quantity.Ohm, quantity.Positive)
		if err != nil {
			t.Fatal(err)
		}
		for share, want := range map[float64]int{1: exitGood, 0.5: exitPoor} {
			if s, _ := protected(t, fmt.Sprintf(`, "swamp": "%g ohm"`, share*v.Base), shunt, flags); s.code != want {
				t.Errorf("%s: %g of %s: exit %d, want %d\n%s", flags, share, v.Text, s.code, want, s.out)
			}
		}
	}
}

// TestProtectFeedsEachRange: a voltage range by its full scale, a lead by its
// own voltage, another by --supply, and all through --source-ohms where that is
// said.
func TestProtectFeedsEachRange(t *testing.T) {
	const circuits = `{"circuit": "multiplier", "range": "15 V", "fitted": "14.9 kohm"}, {"circuit": "multiplier", "range": "1000 V", "fitted": "333 kohm + 333 kohm + 334 kohm"},
		{"circuit": "shunt", "range": "plate 100 mA", "fitted": "0.996 ohm", "circuit_volts": "-450 V"}, {"circuit": "shunt", "range": "10 mA", "fitted": "10.96 ohm"}`
	for flags, want := range map[string]map[string][2]float64{
		"":                                {"15 V": {15, 0}, "1000 V": {1000, 0}, "plate 100 mA": {450, 4500}, "10 mA": {300, 30e3}},
		"--supply 50V":                    {"15 V": {15, 0}, "1000 V": {1000, 0}, "plate 100 mA": {450, 4500}, "10 mA": {50, 5e3}},
		"--supply 1000V --source-ohms 1k": {"15 V": {15, 1e3}, "1000 V": {1000, 1e3}, "plate 100 mA": {450, 1e3}, "10 mA": {1000, 1e3}},
	} {
		_, answer := protected(t, "", circuits, flags)
		for _, f := range answer.Faults {
			if w := want[f.Range]; math.Abs(f.SupplyVolts-w[0]) > 1e-9 || math.Abs(f.SourceOhms-w[1]) > 1e-9 {
				t.Errorf("%q: %s is fed by %v V behind %v ohm, want %v", flags, f.Range, f.SupplyVolts, f.SourceOhms, w)
			}
		}
		// 1000 V through two thirds of the string, the whole with nothing but
		// the source before the movement.
		string3 := answer.Faults[1]
		if string3.WorstPart != "334 kohm" || len(string3.Parts) != 3 || math.Abs(string3.Parts[2].Times/(1000/(666e3+98.6+string3.SourceOhms)/1e-3)-1) > 1e-9 ||
			math.Abs(string3.Times/(1000/(98.6+string3.SourceOhms)/1e-3)-1) > 1e-9 {
			t.Errorf("%q: %+v", flags, string3)
		}
	}
}

// TestProtectSectionsAboveTheTap: a section of a ring opens on the ranges that
// it shunts and shorts on those that it stands before. A table leaves out what
// nobody would notice, and counts it.
func TestProtectSectionsAboveTheTap(t *testing.T) {
	const ring = `{"circuit": "ring", "ranges": ["2 mA", "20 mA"], "fitted": {"2 mA": "88.74 ohm", "20 mA": "9.86 ohm"}}`
	s, answer := protected(t, "", ring, "")
	var got []string
	for _, f := range answer.Faults {
		got = append(got, f.Position+" "+f.Fault+" on "+f.Range)
	}
	if want := "ring 2 mA open on 2 mA, ring 20 mA open on 2 mA, ring 2 mA short on 20 mA, ring 20 mA open on 20 mA"; strings.Join(got, ", ") != want {
		t.Errorf("%q, want %s", got, want)
	}
	// Shorted, the section leaves 9.86 of 108.46 ohm across the movement of 20
	// mA that 300 V drive through 15 kohm.
	if f := answer.Faults[2]; math.Abs(f.Times-300/(15e3+9.86*98.6/108.46)*9.86/108.46/1e-3) > 1e-9 {
		t.Errorf("%+v", f)
	}
	if !strings.Contains(s.out, "ring 2 mA") || strings.Contains(s.out, "(--full)") {
		t.Errorf("%s", s.out)
	}
	s, _ = protected(t, "", strings.ReplaceAll(ring, "9.86", "5.7"), "")
	if !strings.Contains(s.out, "1 more fault would stay within 1.2 times full scale (--full)") {
		t.Errorf("%s", s.out)
	}
}
