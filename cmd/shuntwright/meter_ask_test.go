package main

import (
	"os"
	"strings"
	"testing"
)

// askedMeter has meter new ask, and returns what it wrote.
func askedMeter(t *testing.T, answers ...string) (file string, s said) {
	t.Helper()
	s = asked(strings.Join(answers, "\n")+"\n", "meter", "new", "m.json")
	data, err := os.ReadFile("m.json")
	if err != nil && s.code == exitGood {
		t.Fatal(err)
	}
	return string(data), s
}

// TestAskingBack: b goes back, Enter keeps what was answered, - empties it; the
// ranges too.
func TestAskingBack(t *testing.T) {
	t.Chdir(t.TempDir())
	file, s := askedMeter(t, "bench", "1 mA", "98.6", "hand meter",
		"b", "b", "101.3", "", // back to the coil; the instrument is kept
		"", "", "", "50", "2.5", "b", "b", "-", "", // the divisions are not known after all
		"", "", "", "5 mA", "b", "6 mA", "", "15 V", "15 A", "450 V")
	if s.code != exitGood || !strings.Contains(s.err, "coil resistance in ohms, as measured (never with an ohmmeter across\n  the movement: its current can destroy it) [98.6]: ") {
		t.Fatalf("%+v", s)
	}
	for _, want := range []string{`"coil": "101.3"`, `"instrument": "hand meter"`, `"class": 2.5`, `"circuit": "shunt", "range": "6 mA", "circuit_volts": "450 V"`, `"15 V"`} {
		if !strings.Contains(file, want) {
			t.Errorf("no %s in %s", want, file)
		}
	}
	if strings.Contains(file, "divisions") || strings.Contains(file, `"5 mA"`) {
		t.Errorf("what was taken back is there: %s", file)
	}
}

// TestAskingNonsense: what makes no sense is refused where it is typed, ranges
// that the movement cannot serve too, and all other answers stay.
func TestAskingNonsense(t *testing.T) {
	t.Chdir(t.TempDir())
	file, s := askedMeter(t, "bench", "", "1 MA", "1 mA", "98.6 V", "98.6 Mohm", "98.6", "1 %", "hand meter", "200", "", "", "", "1e6", "50", "40", "2.5",
		"", "", "", "0.5 mA", "5 mA", "", "50 mV", "15 V", "")
	if s.code != exitGood || !strings.Contains(file, `"range": "15 V"`) {
		t.Fatalf("%+v", s)
	}
	for _, want := range []string{
		"this cannot be left out",
		`"1 MA" is 1.00 MA, and no movement takes that; m is milli and M is mega`,
		`"98.6 V" is a voltage`,
		`"98.6 Mohm" is more than 1.0 MΩ: no moving coil has that`,
		`"1 %" is an accuracy, not what an instrument is called`,
		`"200" is more than 20 %`,
		`"1e6": no scale has so many divisions`,
		`"40" is more than 20`,
		`range "0.5 mA": the movement alone takes 1.000 mA`,
		`range "50 mV": `,
	} {
		if !strings.Contains(plainText(s.err), want) {
			t.Errorf("nothing says %q:\n%s", want, s.err)
		}
	}
}

// An instrument that nobody described is refused at its prompt, the others named.
func TestAskingInstrument(t *testing.T) {
	t.Chdir(t.TempDir())
	put(t, ".", "instruments.json", `{"bridge": {"gain_percent": 0.1}}`)
	file, s := askedMeter(t, "bench", "1 mA", "98.6", "nosuch", "bridge", "", "", "", "", "", "", "", "", "6 mA", "", "", "")
	if s.code != exitGood || !strings.Contains(file, `"instrument": "bridge"`) || !strings.Contains(plainText(s.err), `the instrument "nosuch" is not defined; those that are: "bridge"`) {
		t.Errorf("%+v\n%s", s, file)
	}
}
