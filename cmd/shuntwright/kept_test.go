package main

import (
	"bytes"
	"errors"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"
)

// visit is somebody at the prompt of check, in a folder with the dial meter.
type visit struct {
	t   *testing.T
	dir string
}

func newVisit(t *testing.T) visit {
	t.Helper()
	v := visit{t, t.TempDir()}
	put(t, v.dir, "bench.json", dialMeter)
	return v
}

func (v visit) path(name string) string { return filepath.Join(v.dir, name) }

// types runs check with flags and what is typed.
func (v visit) types(lines string, flags ...string) said {
	v.t.Helper()
	return asked(lines, v.call(flags...)...)
}

func (v visit) call(flags ...string) []string {
	return append([]string{"check", v.path("bench.json"), "--drawer", v.path("drawer.csv"), "--format", "csv", "--table", "points"}, flags...)
}

// kept are the rows of the file that keeps what was typed; nil where there is none.
func (v visit) kept() []string {
	v.t.Helper()
	data, err := os.ReadFile(v.path("bench.readings.csv"))
	if os.IsNotExist(err) {
		return nil
	}
	if err != nil {
		v.t.Fatal(err)
	}
	return strings.Split(strings.TrimSuffix(string(data), "\n"), "\n")[1:]
}

// TestSweep: every range is asked for up and down; the directions come by
// themselves, numbers alone are divisions, and b takes one reading back.
func TestSweep(t *testing.T) {
	v := newVisit(t)
	s := v.types("b\n0\n12.4\n24.0\nb\n24.9\n3.75 37.4\n50\n37.7\n\n12.6\n0.1\ngrid 50 mA 12.5 12.4 down\nb\nb\n0.2\n.\n", "--sweep", "--in", "div")
	want := []string{"5 mA 0 0", "5 mA 0.00125 0.00124 up", "5 mA 0.0025 0.00249 up", "5 mA 0.00375 0.00374 up", "5 mA 0.005 0.005 up",
		"5 mA 0.00375 0.0037700000000000003 down", "5 mA 0.00125 0.00126 down", "5 mA 0 2e-05 down"}
	if got := firstCells(s.out); s.code == exitWrong || !slices.Equal(got, want) {
		t.Errorf("exit code %d, read %q, want %q\n%s", s.code, got, want, s.err)
	}
	for _, prompt := range []string{"there is no reading to go back to", "5 mA, 1/4 of the scale, going up, reference at 1.25 mA: ", "5 mA, full scale, going up, ", "5 mA, 3/4 of the scale, coming down, ",
		"5 mA, zero, coming down, ", "  taken back: 5 mA: 2.5 mA 24.0 div up\n", "taken: 5 mA: 3.75 mA applied, 37.4 div shown, up\n", "  taken back: grid 50 mA: 12.5 mA 12.4 div down\n"} {
		if !strings.Contains(s.err, prompt) {
			t.Errorf("no %q in\n%s", prompt, s.err)
		}
	}
	if n := strings.Count(s.err, "5 mA, 1/2 of the scale, going up"); n != 2 {
		t.Errorf("asked %d times for the point that was taken back, want 2", n)
	}
	want = []string{"5 mA,0 mA,0 div,,,", "5 mA,1.25 mA,12.4 div,up,,", "5 mA,2.5 mA,24.9 div,up,,", "5 mA,3.75 mA,37.4 div,up,,", "5 mA,5 mA,50 div,up,,",
		"5 mA,3.75 mA,37.7 div,down,,", "5 mA,1.25 mA,12.6 div,down,,", "5 mA,0 mA,0.2 div,down,,"}
	if got := v.kept(); !slices.Equal(got, want) {
		t.Errorf("kept %q, want %q", got, want)
	}
}

// spy gives a line at a time and looks at the file each time the next is asked for.
type spy struct {
	lines []string
	look  func(taken int)
	taken int
}

func (s *spy) Read(p []byte) (int, error) {
	s.look(s.taken)
	if s.taken == len(s.lines) {
		return 0, io.EOF
	}
	s.taken++
	return copy(p, s.lines[s.taken-1]+"\n"), nil
}

// TestKeptBeforeTheNext: each reading is on disk before the next is asked for,
// so that a program killed there has lost none.
func TestKeptBeforeTheNext(t *testing.T) {
	v := newVisit(t)
	s := &spy{lines: []string{"0", "1.25", "nonsense", "2.4", "b", "2.6"}}
	rows := []int{0, 1, 2, 2, 3, 2, 3}
	s.look = func(taken int) {
		if got := len(v.kept()); got != rows[taken] {
			t.Errorf("after %d lines %d readings are kept, want %d", taken, got, rows[taken])
		}
	}
	var out, errs bytes.Buffer
	if code := run(t.Context(), env{getenv: variables(nil), asks: true}, v.call(), s, &out, &errs); code == exitWrong {
		t.Error(errs.String())
	}
}

// TestKeptUntilSaved: what a break left is offered again, the points behind it
// are asked for, saving takes it away, and undo brings it back.
func TestKeptUntilSaved(t *testing.T) {
	v := newVisit(t)
	if s := v.types("0\n1.26 1.25\n\n3.7\n"); s.code == exitWrong || len(v.kept()) != 3 { // the line breaks off
		t.Fatalf("%+v, kept %q", s, v.kept())
	}
	before := v.kept()
	s := v.types("what?\ny\n5 4.9\n.\n")
	if want := []string{"5 mA 0 0", "5 mA 0.00126 0.00125", "5 mA 0.00375 0.0037", "5 mA 0.005 0.0049"}; !slices.Equal(firstCells(s.out), want) {
		t.Errorf("read %q, want %q\n%s", firstCells(s.out), want, s.err)
	}
	for _, prompt := range []string{"keeps 3 readings of a visit that was not saved; the last is\n5 mA, 3.75 mA applied.", "5 mA, full scale, reference at 5 mA: "} {
		if !strings.Contains(s.err, prompt) {
			t.Errorf("no %q in\n%s", prompt, s.err)
		}
	}
	if strings.Contains(s.err, "5 mA, 1/2") || strings.Count(s.err, "go on with them") != 2 || !slices.Equal(v.kept()[:3], before) {
		t.Errorf("kept %q\n%s", v.kept(), s.err)
	}
	if s = v.types("y\n.\n", "--save", "--date", "2024-05-31"); s.code == exitWrong || v.kept() != nil {
		t.Errorf("%+v, kept %q", s, v.kept())
	}
	if s := program("undo", "--drawer", v.path("drawer.csv")); s.code != exitGood || len(v.kept()) != 4 {
		t.Errorf("%+v, kept %q", s, v.kept())
	}
	if _, err := os.Stat(v.path("bench.history.csv")); !os.IsNotExist(err) {
		t.Error("the visit is still in the history")
	}
	if s = v.types("n\n0.1\n.\n"); len(v.kept()) != 1 || !strings.Contains(s.err, "bench.readings.old.csv now") {
		t.Errorf("kept %q\n%s", v.kept(), s.err)
	}
	if old, err := os.ReadFile(v.path("bench.readings.old.csv")); err != nil || strings.Count(string(old), "\n") != 5 {
		t.Errorf("%s, %v", old, err)
	}
}

// TestKeptFileAsReadings: what was kept is a file of readings; saving it takes
// it away too, whoever calls.
func TestKeptFileAsReadings(t *testing.T) {
	v := newVisit(t)
	if s := v.types("0\n1.25\n2.4\n.\n"); s.code == exitWrong {
		t.Fatal(s.err)
	}
	if s := v.types("", v.path("bench.readings.csv"), "--save", "--date", "2024-05-31"); s.code == exitWrong || v.kept() != nil {
		t.Errorf("%+v, kept %q", s, v.kept())
	}
}

// TestKeptThatCannotBeRead: a file that was spoilt is refused with its place,
// and stays.
func TestKeptThatCannotBeRead(t *testing.T) {
	v := newVisit(t)
	put(t, v.dir, "bench.readings.csv", "range,reference,indicated\n5 mA,2.5 mA,much\n")
	if s := v.types("0\n.\n"); s.code != exitWrong || !strings.Contains(s.err, `bench.readings.csv:2:13: "much"`) || len(v.kept()) != 1 {
		t.Errorf("%+v", s)
	}
}

// TestNotKept: where the file cannot be written that is said once, and the
// readings are taken.
func TestNotKept(t *testing.T) {
	v := newVisit(t)
	if err := os.Symlink("no folder/readings.csv", filepath.Join(v.dir, "bench.readings.csv")); err != nil {
		t.Fatal(err)
	}
	s := v.types("0\n1.25\n.\n")
	if s.code == exitWrong || strings.Count(s.err, "the readings are not kept") != 1 {
		t.Errorf("%+v", s)
	}
}

// TestPegged: a pointer at its stop is no reading, and fails its range all the
// same where even the last mark would be outside of the class.
func TestPegged(t *testing.T) {
	v := newVisit(t)
	s := v.types("0\n>\n0.6 3.0\n\n\n\ngrid 50 mA 49.5 >\n.\n", "--class", "2.5", "--format", "json")
	for _, want := range []string{`"verdict": "fail"`, `"range": "5 mA",
      "reference": 0.00125,
      "unit": "A",
      "least_error_percent": 75,
      "verdict": "fail"`, `"least_error_percent": 1.0000000000000009,
      "verdict": "undecided"`} {
		if !strings.Contains(s.out, want) {
			t.Errorf("no %s in\n%s", want, s.out)
		}
	}
	if !strings.Contains(s.err, "the pointer at its stop; lower the reference") || s.code != exitPoor || strings.Count(s.err, "1/4 of the scale, reference at 1.25 mA") != 2 {
		t.Errorf("exit code %d\n%s", s.code, s.err)
	}
	if want := []string{"5 mA,0 mA,0 mA,,,", "5 mA,1.25 mA,>,,,", "5 mA,0.6 mA,3.0 mA,,,", "grid 50 mA,49.5 mA,>,,,"}; !slices.Equal(v.kept(), want) {
		t.Errorf("kept %q", v.kept())
	}
	// Saved and read again: the pointer at its stop is in the history.
	if s := v.types("y\n.\n", "--class", "2.5", "--save", "--date", "2024-05-31"); s.code != exitPoor {
		t.Error(s.err)
	}
	if data, err := os.ReadFile(v.path("bench.history.csv")); err != nil || strings.Count(string(data), ",>,") != 2 {
		t.Errorf("%s, %v", data, err)
	}
	if s := program("check", v.path("bench.json"), "--history", "--drawer", v.path("drawer.csv")); s.code == exitWrong {
		t.Error(s.err)
	}
	// Nothing stands on the scale: there is nothing to judge.
	put(t, v.dir, "pegged.csv", "range,reference,indicated\n5 mA,2.5,>\n5 mA,1.25,>\n")
	if s := v.types("", v.path("pegged.csv")); s.code != exitWrong || !strings.Contains(s.err, `pegged.csv:2:10: the pointer stands at its stop in every reading with anything applied: "2.5 mA" on "5 mA"`) {
		t.Errorf("%+v", s)
	}
}

// TestPeggedAtFullScale: with all else within the class nothing more can be
// told of a pointer at its stop near full scale than that it reads high.
func TestPeggedAtFullScale(t *testing.T) {
	v := newVisit(t)
	put(t, v.dir, "r.csv", "range,reference,indicated,reference_limit\n5 mA,2.5,2.5,\n5 mA,5,>,\n")
	if s := v.types("", v.path("r.csv"), "--format", "table"); s.code != exitPoor || !strings.Contains(s.out, "UNDECIDED") || !strings.Contains(s.out, "with 5 mA applied: no more can be told") {
		t.Errorf("%+v", s)
	}
	// 4 mA and the last mark are 20 %; with a reference that may be off by 18 %
	// of full scale that is not sure any more.
	for limit, want := range map[string]string{"0.01": "FAIL", "0.9": "UNDECIDED"} {
		put(t, v.dir, "r.csv", "range,reference,indicated,reference_limit\n5 mA,2.5,2.5,\n5 mA,4,>,"+limit+"\n")
		if s := v.types("", v.path("r.csv"), "--format", "table"); !strings.Contains(s.out, want) {
			t.Errorf("%s: %s%s", limit, s.out, s.err)
		}
	}
	if s := v.types("", v.path("r.csv"), "--format", "table", "--simple"); !strings.Contains(s.out, "FAIL") {
		t.Errorf("by the error alone: %s%s", s.out, s.err)
	}
}

// TestKeptBeforeARepair: who goes on with readings that were kept before other
// parts went in is told so.
func TestKeptBeforeARepair(t *testing.T) {
	t.Chdir(t.TempDir())
	do(t, "demo --write .", "fit meter.json")
	typed := time.Now()
	if err := errors.Join(os.Rename("readings.csv", "meter.readings.csv"), os.Chtimes("meter.readings.csv", typed, typed)); err != nil {
		t.Fatal(err)
	}
	time.Sleep(2 * clockTick)
	const told = "multiplier 10 V was changed ("
	resumed := func() string { return asked("", "check", "meter.json").err }
	if said := resumed(); strings.Contains(said, told) || !strings.Contains(said, "keeps 15 readings") {
		t.Error(said)
	}
	do(t, `fit meter.json "multiplier 10 V" "(R034 + R039) || R056"`)
	if said := resumed(); !strings.Contains(said, told) || !strings.Contains(said, ") since then:\nwhat was read before does not count there\ngo on with them") {
		t.Error(said)
	}
}
