package main

import (
	"fmt"
	"os"
	"regexp"
	"strings"
	"testing"
)

// TestBuyWords: what is said of buying does not contradict the verdicts above it,
// names the tolerance that nothing counts yet, and a way out where nothing helps.
func TestBuyWords(t *testing.T) {
	const text = `{"movement": {"full_scale": "1 mA", "coil": "98.6 ohm"}, "circuits": [
		{"circuit": "multiplier", "range": "10 V"}, {"circuit": "multiplier", "range": "50 V"}]}`
	meter := put(t, t.TempDir(), "m.json", text)
	beyond := put(t, t.TempDir(), "m.json", strings.Replace(text, "50 V", "10 kV", 1)) // of 350 V at most
	rough := put(t, t.TempDir(), "drawer.csv", "id,ohms,gain_percent\nA,9.9k,0.1\nB,49.9k,3\n")
	short := put(t, t.TempDir(), "drawer.csv", "id,ohms,gain_percent,nominal,tolerance_percent\nA,9.9k,0.1,,\nB,47k,2,47k,2\n")
	for _, c := range []struct{ meter, drawer, args, want string }{
		{meter, rough, "--class 1 --buy 1", "nothing to buy: from the drawer alone every range's error is within the class undecided: 1 of 2 ranges, since error and limit together reach beyond the class: 50 V"},
		{meter, rough, "--class 1 --buy 1 --sure", "undecided: 1 of 2 ranges"},
		{meter, rough, "--class 5 --buy 1", "nothing to buy: from the drawer alone every range's error is within the class"},
		{meter, short, "--class 1 --buy 1", "buy 1 x 3.0 kΩ, at least 6.0 mW and 3.0 V each (E24): at their nominal values every range's error is within the class, worst error 0.20 %; no fewer parts do"},
		{meter, short, "--class 1 --buy 1 --sure", "until then they are known to ±5 % only, which this does not count, with --sure neither"},
		{beyond, short, "--class 0.001 --buy 1", "no parts to buy help: of at most 1 value of E24, for 500 mW and 350 V, none bring every range's error within the class a finer series (--series E96) or more values (--buy 2) may do"},
	} {
		s := program(append([]string{"plan", c.meter, "--drawer", c.drawer}, strings.Fields(c.args)...)...)
		if !strings.Contains(plainText(s.out), c.want) {
			t.Errorf("%s: want %q in\n%s%s", c.args, c.want, s.out, s.err)
		}
		if strings.Contains(c.args, "--class 5") && strings.Contains(s.out, "undecided") {
			t.Errorf("%s: %s", c.args, s.out)
		}
	}
}

// TestBuySeries: one marking says nothing of what its owner buys, ten do, but
// never of a series that is coarser than what is marked.
func TestBuySeries(t *testing.T) {
	meter := put(t, t.TempDir(), "m.json", `{"class": 1, "movement": {"full_scale": "1 mA", "coil": "98.6 ohm"}, "circuits": [{"circuit": "multiplier", "range": "10 V"}]}`)
	for _, c := range []struct {
		marked    int
		tolerance float64
		want      string
	}{{1, 2, "E24"}, {9, 10, "E24"}, {12, 10, "E12"}, {12, 20, "E12"}, {12, 2, "E24"}} {
		var drawer strings.Builder
		drawer.WriteString("id,ohms,nominal,tolerance_percent\n")
		for i, nominal := range []string{"10", "12", "15", "18", "22", "27", "33", "39", "47", "56", "68", "82"}[:c.marked] {
			fmt.Fprintf(&drawer, "R%d,%s,%s,%g\n", i, nominal, nominal, c.tolerance)
		}
		var got planAnswer
		answered(t, &got, "plan", meter, "--drawer", put(t, t.TempDir(), "drawer.csv", drawer.String()), "--buy", "1")
		if got.Buy.Series != c.want {
			t.Errorf("%d markings of ±%g %%: %q, want %s", c.marked, c.tolerance, got.Buy.Series, c.want)
		}
	}
}

// What is named, added with exactly the ratings named, makes the meter whole and
// within its class, and no rating is exceeded: a range of 450 V takes a string.
func TestBuyRatings(t *testing.T) {
	const parts = "id,ohms,watts,volts\nA,14.9k,0.5,350\nB,4.61,0.5,350\n"
	meter := put(t, t.TempDir(), "m.json", `{"class": 2.5, "movement": {"full_scale": "1 mA", "coil": "101.3 ohm"}, "circuits": [
		{"circuit": "multiplier", "range": "15 V"}, {"circuit": "multiplier", "range": "450 V"}]}`)
	drawer := put(t, t.TempDir(), "drawer.csv", parts)
	var got planAnswer
	answered(t, &got, "plan", meter, "--drawer", drawer, "--parts", "2", "--buy", "2", "--series", "E24", "--time-limit", "60s")
	if !got.Buy.Found || len(got.Buy.Items) == 0 {
		t.Fatalf("nothing found: %+v", got.Buy)
	}
	all, total := parts, 0.0
	for i, it := range got.Buy.Items {
		if it.Watts > 0.5 || it.Volts > 350 || it.Position != "multiplier 450 V" {
			t.Errorf("cannot be had: %+v", it)
		}
		for k := range it.Count {
			all += fmt.Sprintf("N%d%d,%v,%v,%v\n", i, k, it.Ohms, it.Watts*(1+1e-9), it.Volts*(1+1e-9))
			total += it.Volts
		}
	}
	if total < 449 || total > 454 {
		t.Errorf("what is bought stands %v V in all", total)
	}
	whole := program("plan", meter, "--drawer", put(t, t.TempDir(), "drawer.csv", all), "--parts", "2", "--time-limit", "60s")
	if whole.code != exitGood || strings.Contains(whole.out, "rated for") || strings.Contains(whole.out, "more than half") {
		t.Errorf("with what was named: code %d\n%s%s", whole.code, whole.out, whole.err)
	}
	weak := program("plan", meter, "--drawer", drawer, "--parts", "1", "--buy", "1", "--series", "E96", "--time-limit", "60s")
	if !strings.Contains(plainText(weak.out), "of parts that bear more (--buy-watts, --buy-volts) this would do: ") {
		t.Errorf("one part of 350 V cannot stand 450 V:\n%s", weak.out)
	}
	vain := program("plan", meter, "--drawer", drawer, "--parts", "4", "--buy", "1", "--buy-volts", "50", "--time-limit", "60s")
	if !regexp.MustCompile(`next:\s+shuntwright plan .* --buy 1 --buy-watts "[\d.]+ m?W" --buy-volts "\d+ V"\n`).MatchString(vain.out) {
		t.Errorf("four parts of 50 V cannot stand 450 V:\n%s", vain.out)
	}
	for _, wrong := range []string{"--buy-watts 0", "--buy-volts -3V", "--buy-watts 2V"} {
		if s := program(append([]string{"plan", meter, "--drawer", drawer, "--buy", "1"}, strings.Fields(wrong)...)...); s.code != exitWrong {
			t.Errorf("%s: %d", wrong, s.code)
		}
	}
}

// TestBuyForAHighReading: a range of 100 V in class 5 may read 5 % high, when its
// full scale is 105 V: what stands 104 V or takes 110 mW is not to be had for it,
// though 100 V and 100 mW are less.
func TestBuyForAHighReading(t *testing.T) {
	meter := put(t, t.TempDir(), "m.json", `{"class": 5, "movement": {"full_scale": "1 mA", "coil": "100 ohm"}, "circuits": [{"circuit": "multiplier", "range": "100 V"}]}`)
	drawer := put(t, t.TempDir(), "drawer.csv", "id,ohms\nA,1k\n")
	for _, c := range []struct {
		flags string
		found bool
	}{
		{"--buy-volts 104V --buy-watts 1W", false}, {"--buy-volts 106V --buy-watts 1W", true},
		{"--buy-volts 350V --buy-watts 0.11W", false}, {"--buy-volts 350V --buy-watts 0.112W", true},
	} {
		var got planAnswer
		answered(t, &got, append([]string{"plan", meter, "--drawer", drawer, "--parts", "1", "--buy", "1", "--series", "E12", "--derate", "1"}, strings.Fields(c.flags)...)...)
		if got.Buy.Found != c.found || !got.Buy.Proven {
			t.Errorf("%s: %+v, want found: %v", c.flags, got.Buy, c.found)
		}
	}
}

// TestBuyOnTheBench: on the meters of testdata/bench with a section out of reach
// pieces of at most two values of E24 do (of multimeters with SHUNTWRIGHT_SLOW), but for far-multimeter-120, where none
// do, and transmitter-60, where two parts of 0.5 W cannot make 1000 V. More parts
// a position, and more values, never do worse: that, and that there is none, takes
// a minute and SHUNTWRIGHT_SLOW.
func TestBuyOnTheBench(t *testing.T) {
	slow := os.Getenv("SHUNTWRIGHT_SLOW") != ""
	pieces := func(meter string, flags ...string) (n int, b planAnswer) {
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
