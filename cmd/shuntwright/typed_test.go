package main

import (
	"slices"
	"strings"
	"testing"
	"unicode/utf8"
)

// dialMeter is an invented meter with ranges that want telling apart.
const dialMeter = `{"name": "bench", "class": 2.5, "movement": {"full_scale": "1 mA", "coil": "98.6 ohm", "divisions": 50},
 "circuits": [
  {"circuit": "shunt", "range": "5 mA"}, {"circuit": "shunt", "range": "grid 50 mA"}, {"circuit": "multiplier", "range": "300 V"}]}`

// typedIn runs check with what a person, or a pipe, types.
func typedIn(t *testing.T, asks bool, lines string) said {
	t.Helper()
	dir := t.TempDir()
	return programIn(env{asks: asks}, lines, "check", put(t, dir, "bench.json", dialMeter), "--drawer", dir+"/none.csv", "--format", "csv", "--table", "points")
}

// firstCells are the first cells of every row below the head.
func firstCells(csv string) []string {
	var out []string
	for i, line := range strings.Split(strings.TrimSpace(csv), "\n") {
		if cells := strings.Split(line, ","); i > 0 && len(cells) > 4 {
			out = append(out, strings.TrimSuffix(strings.Join([]string{cells[0], cells[1], cells[2], cells[4]}, " "), " "))
		}
	}
	return out
}

// TestPromptedReadings: a person is asked for the cardinal points by name,
// told of a slip and asked again, and skips with an empty line.
func TestPromptedReadings(t *testing.T) {
	s := typedIn(t, true, strings.Join([]string{
		"0",             // what the pointer shows at zero
		"1.26 1.25",     // what the reference shows, and the pointer
		"2.5 mA 2.6 mX", // a unit that is none
		"2.5 mA 2.6 mA up",
		"",                  // three quarters are skipped
		"5 mA 5 4.9 down",   // the range by name: this point all the same
		"grid 50 mA 25 div", // a slip: which of the two is the reference?
		"300 V: 300 299",    // another range than is asked for
		"50 49",             // another point than is asked for: asked about
		"y",
		"", "", "", "", // the rest of the scale
		".",
	}, "\n"))
	if s.code == exitWrong {
		t.Fatal(s.err)
	}
	want := []string{"5 mA 0 0", "5 mA 0.00126 0.00125", "5 mA 0.0025 0.0026 up", "5 mA 0.005 0.0049 down",
		"300 V 300 299", "grid 50 mA 0.05 0.049"}
	if got := firstCells(s.out); !slices.Equal(got, want) {
		t.Errorf("read %q, want %q", got, want)
	}
	for _, prompt := range []string{
		"5 mA, zero, reference at 0 mA: ",
		"  taken: 5 mA: 0 mA applied, 0 mA shown\n",
		"5 mA, 1/2 of the scale, reference at 2.5 mA: ",
		"  taken: 5 mA: 1.26 mA applied, 1.25 mA shown\n",
		"5 mA, full scale, reference at 5 mA: ",
		"grid 50 mA, 1/4 of the scale, reference at 12.5 mA: ",
		"  50 mA applied, where 0 mA was asked for? y takes it; Enter drops it: ",
		"  taken: 300 V: 300 V applied, 299 V shown\n",
		`"2.6 mX" ends with "mX", which is neither a prefix nor a unit`,
	} {
		if !strings.Contains(s.err, prompt) {
			t.Errorf("no prompt %q in\n%s", prompt, s.err)
		}
	}
	for line := range strings.Lines(s.err) {
		if prompt, _, is := strings.Cut(line, ": "); is && utf8.RuneCountInString(prompt) > 77 {
			t.Errorf("a prompt of %d columns: %s", utf8.RuneCountInString(prompt)+2, line)
		}
	}
	if n := strings.Count(s.err, "5 mA, 1/2 of the scale"); n != 2 {
		t.Errorf("asked %d times for the point with the slip, want 2", n)
	}
	if n := strings.Count(s.err, "grid 50 mA, zero"); n != 3 {
		t.Errorf("asked %d times for the point that a slip and another range came before, want 3", n)
	}
	if n := strings.Count(s.err, "caution: 300 V: above 60 V limit the supply to a few mA"); n != 1 || !strings.HasPrefix(s.err, "caution: 300 V range: voltages above 60 V d.c.") {
		t.Errorf("%d cautions where voltages are applied, want 1:\n%s", n, s.err)
	}
}

// TestPipedReadings: from a pipe there is no prompt, and a line that cannot be
// read ends the command.
func TestPipedReadings(t *testing.T) {
	s := typedIn(t, false, "5 mA 2.5 2.4 up\n\ngrid 50 mA: 25 mA 24.6 mA\n300V 150 V 24 div down\n.\nnothing after the full stop")
	want := []string{"5 mA 0.0025 0.0024 up", "grid 50 mA 0.025 0.0246", "300 V 150 144 down"}
	if got := firstCells(s.out); !slices.Equal(got, want) || strings.Contains(s.err, "set the reference") {
		t.Errorf("read %q, want %q; standard error\n%s", got, want, s.err)
	}
	for lines, says := range map[string]string{
		"5 mA 2.5 2.4\n2.5 2.4\n":   `standard input:2:1: "2.5 2.4" does not name a range; write RANGE REFERENCE INDICATED, such as "5 mA 2.5 mA 2.5 mA"`,
		"\n7 mA 2.5 2.4\n":          `standard input:2:1: the meter has no range "7 mA"`,
		"5 mA 2.50 25.1 divs\n":     `standard input:1:1: "25.1 divs" ends with "divs", which is neither a prefix nor a unit; a number of divisions belongs here`,
		"grid 50 mA 25 mA 2.6 mX\n": `standard input:1:1: "2.6 mX" ends with "mX", which is neither a prefix nor a unit; a current`,
		"5 mA 2.5 abc\n":            `standard input:1:1: "abc" does not begin with a number`,
		"5 mA 2.5 9\n":              `standard input:1:1: indicated "9" is above 120 %`,
		"\n5 mA 0 0\n300 V 0 0":     `standard input:2:1: every reference is zero`,
		"":                          `no reading was given; name a file of readings, or type them one a line`,
		"5 mA 1 1 \x00\n":           `standard input:1:1: `,
		strings.Repeat("x ", 70000): `standard input:1:1: `,
	} {
		s := typedIn(t, false, lines)
		if s.code != exitWrong || s.out != "" || !strings.HasPrefix(s.err, "shuntwright check: "+says) {
			t.Errorf("%.40q: exit code %d, %.300s; want %s", lines, s.code, s.err, says)
		}
		if line, rest, _ := strings.Cut(s.err, "\n"); len(line) > 600 || rest != "" && !strings.HasPrefix(rest, "see: ") {
			t.Errorf("%.40q: more than one line: %.300s", lines, s.err)
		}
	}
}

// TestFarBeyondTheRange: a reference far above full scale is taken, with a
// warning beside it and in the answer; a long name breaks its prompt.
func TestFarBeyondTheRange(t *testing.T) {
	s := typedIn(t, true, "\n\n5 mA 6 24 div\ny\n5 mA 6.1 50 div\n.\n")
	const beyond = "warning: 6.1 mA was applied on 5 mA, 122 % of full scale: is the unit right?"
	if strings.Count(s.err, beyond) != 2 || strings.Contains(s.err, "warning: 6 mA") {
		t.Errorf("want it beside the reading and in the answer:\n%s", s.err)
	}
	dir := t.TempDir()
	name := strings.Repeat("screen grid of the driver, ", 3) + "5 mA"
	s = asked(".", "check", put(t, dir, "long.json", strings.Replace(dialMeter, "5 mA", name, 1)), "--drawer", dir+"/none.csv")
	if want := name + ",\n  zero, reference at 0 mA: "; !strings.Contains(s.err, want) {
		t.Errorf("no prompt %q in\n%s", want, s.err)
	}
}

// TestAskedReading: a person is asked for a reading that is missing, until it is
// one.
func TestAskedReading(t *testing.T) {
	t.Chdir(t.TempDir())
	put(t, ".", "drawer.csv", "id,ohms\nR001,4960\n")
	s := asked("5.2 kV\n-1\n5.2k\n", "drawer", "remeasure", "R001")
	if s.code != exitGood || !strings.Contains(s.out, "R001 read 4960 before: +4.8 % since") || strings.Count(s.err, "R001, which was 4960, reads: ") != 3 {
		t.Errorf("%+v", s)
	}
	if s = asked("\n", "drawer", "remeasure", "R001"); s.code != exitWrong || !strings.Contains(s.err, "nothing is written") {
		t.Errorf("%+v", s)
	}
}

// TestPointerAtRest: a pointer far from zero with nothing applied is asked about;
// what is no answer is the next line.
func TestPointerAtRest(t *testing.T) {
	for _, test := range []struct {
		lines string
		want  []string
		asks  int
	}{
		{"50\ny\n12.5\n.\n", []string{"5 mA 0 0.005", "5 mA 0.00125 0.00125"}, 1},
		{"50\n\n0.2\n12.5\n.\n", []string{"5 mA 0 2e-05", "5 mA 0.00125 0.00125"}, 1},
		{"50\n0.2\n12.5\n.\n", []string{"5 mA 0 2e-05", "5 mA 0.00125 0.00125"}, 1},
		{"-4\n4\n2.4\n12.5\n.\n", []string{"5 mA 0 0.00024", "5 mA 0.00125 0.00125"}, 2},
	} {
		s := newVisit(t).types(test.lines, "--in", "div")
		if got := firstCells(s.out); !slices.Equal(got, test.want) || strings.Count(s.err, "with nothing applied? y takes it; Enter drops it: ") != test.asks {
			t.Errorf("%q: read %q, want %q\n%s", test.lines, got, test.want, s.err)
		}
	}
}

// TestSlipAtThePrompt: a reading of another point than was asked for, and a pointer
// far from what is applied, are asked about; what was meant is not asked again.
func TestSlipAtThePrompt(t *testing.T) {
	for _, test := range []struct {
		lines string
		want  []string
		asks  []string
	}{
		{"0\n1.25 12.4\n0.755\n25\n.\n", []string{"5 mA 0 0", "5 mA 0.00125 0.00124", "5 mA 0.0025 0.0025"}, []string{"0.755 div shown with 2.5 mA applied?"}},
		{"1.25 12.4\n0\n12.5\n.\n", []string{"5 mA 0 0", "5 mA 0.00125 0.00125"}, []string{"1.25 mA applied, where 0 mA was asked for?"}},
		{"0\n30\ny\n40\n50\n.\n", []string{"5 mA 0 0", "5 mA 0.00125 0.003", "5 mA 0.0025 0.004", "5 mA 0.00375 0.005"}, []string{"30 div shown with 1.25 mA applied?"}},
		{"\n\n\n\n>\n3.5 40\n.\n", []string{"5 mA 0.0035 0.004"}, nil},
	} {
		s := newVisit(t).types(test.lines, "--in", "div")
		if got := firstCells(s.out); !slices.Equal(got, test.want) || strings.Count(s.err, "y takes it") != len(test.asks) {
			t.Errorf("%q: read %q, want %q\n%s", test.lines, got, test.want, s.err)
		}
		for _, ask := range test.asks {
			if !strings.Contains(s.err, "  "+ask+" y takes it; Enter drops it: ") {
				t.Errorf("%q: not asked %q\n%s", test.lines, ask, s.err)
			}
		}
	}
}

// TestKeys: ? says at every prompt what else can be typed.
func TestKeys(t *testing.T) {
	if s := newVisit(t).types("?\n0\n12.5\n.\n", "--in", "div"); !strings.Contains(s.err, "\n  b                       goes back one reading\n") || len(firstCells(s.out)) != 2 {
		t.Errorf("%+v", s)
	}
	t.Chdir(t.TempDir())
	if _, s := askedMeter(t, "?", "bench", "?", "1 mA", "98.6"); strings.Count(s.err, "b goes back one question; ") != 3 || !strings.Contains(s.err, `--name bench --full-scale "1 mA" --coil 98.6`) {
		t.Errorf("%+v", s)
	}
}
