package main

import (
	"bytes"
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// historyAnswer is what check --history says, as far as the tests ask.
type historyAnswer struct {
	Meter, File string
	Visits      []struct {
		Visit             int
		Date, As, Verdict string
		Ranges            []struct {
			Range, Verdict, Since string
			Points                int
			Error                 float64  `json:"worst_error_percent"`
			Drift                 *float64 `json:"drift_percent"`
		}
	}
}

// TestHistory: visits are kept in the order of their days, and the drift is
// that of the straight line at full scale. The figures are worked out by hand:
// one division of 50 is 2 % of full scale. The pointer rests on zero, so the line
// through nothing at half and f at full scale is 5f/6 there.
func TestHistory(t *testing.T) {
	meter, _, drawer := faulty(t)
	dir := t.TempDir()
	for i, visit := range []struct{ date, as, readings string }{
		{"2024-05-31", "found", "10 mA,5,25 div\n10 mA,10,52 div\n15 V,15,50 div\n"},
		{"2024-05-31", "left", "10 mA,5,25 div\n10 mA,10,50.1 div\n"},
		{"2022-11-02", "", "10 mA,5,25 div\n10 mA,10,51 div\n15 V,10,33.5 div\n"}, // entered late
		{"2025-01-07", "found", "10 mA,4,20 div\n10 mA,8,41 div\n15 V,15,51 div\n"},
	} {
		call := []string{"check", meter, put(t, dir, "r.csv", "range,reference,indicated\n"+visit.readings), "--drawer", drawer, "--save", "--date", visit.date}
		if visit.as != "" {
			call = append(call, "--as", visit.as)
		}
		var answer checkedAnswer
		answered(t, &answer, call...)
		if want := strings.TrimSuffix(meter, ".json") + ".history.csv"; answer.Saved != want {
			t.Errorf("visit %d: saved to %q, want %q", i+1, answer.Saved, want)
		}
	}
	var got historyAnswer
	s := program("check", meter, "--history", "--format", "json")
	if s.code != exitGood {
		t.Fatal(s.err)
	}
	if err := json.Unmarshal([]byte(s.out), &got); err != nil {
		t.Fatal(err)
	}
	type row struct {
		visit            int
		day, rng         string
		worst, drift     float64
		verdict, overall string
	}
	none := math.NaN()
	want := []row{
		{3, "2022-11-02", "10 mA", 2, none, "pass", ""},
		{3, "2022-11-02", "15 V", 1.0 / 3, none, "pass", ""},
		{1, "2024-05-31", "10 mA", 4, 5. / 6 * 2, "fail", "fail"},
		{1, "2024-05-31", "15 V", 0, -0.5, "pass", "fail"},
		{2, "2024-05-31", "10 mA", 0.2, -5. / 6 * 3.8, "pass", "pass"},
		{4, "2025-01-07", "10 mA", 2, 13./6 - 5./6*0.2, "pass", ""},
		{4, "2025-01-07", "15 V", 2, 2, "pass", ""},
	}
	n := 0
	for _, v := range got.Visits {
		for _, r := range v.Ranges {
			if n == len(want) {
				t.Fatalf("more rows than %d: %+v", n, r)
			}
			w := want[n]
			n++
			drift := none
			if r.Drift != nil {
				drift = *r.Drift
			}
			if v.Visit != w.visit || v.Date != w.day || r.Range != w.rng || r.Verdict != w.verdict || w.overall != "" && v.Verdict != w.overall ||
				math.Abs(r.Error-w.worst) > 1e-9 || math.Abs(drift-w.drift) > 1e-9 || math.IsNaN(drift) != math.IsNaN(w.drift) {
				t.Errorf("row %d: %+v of visit %+v, want %+v", n, r, v, w)
			}
		}
	}
	if n != len(want) {
		t.Errorf("%d rows, want %d", n, len(want))
	}
	if r := got.Visits[3].Ranges[0]; r.Since != "2024-05-31 left" {
		t.Errorf("drift since %q, want 2024-05-31 left", r.Since)
	}
}

// TestHistoryIsAppended: whatever is in the history stays, byte for byte, and
// the new rows keep to its columns, its separator, its decimal sign and its
// line ends.
func TestHistoryIsAppended(t *testing.T) {
	const row = `9,2020-01-02,,2.5,pass,10 mA,10 mA,50.0 div,,0 A,`
	for _, test := range []struct{ name, old, added string }{
		{"none", "", "visit,date,as,class,verdict,range,reference,indicated,direction,reference_limit,reading_limit\n" +
			"1,2024-05-31,,2.5,pass,10 mA,10.00 mA,50.5 div,,10 µA,40 µA\n"},
		{"as written", "visit,date,as,class,verdict,range,reference,indicated,direction,reference_limit,reading_limit\n" + row + "40 µA\n",
			"10,2024-05-31,,2.5,pass,10 mA,10.00 mA,50.5 div,,10 µA,40 µA\n"},
		{"no line end, other columns, another order", "\ufeffweather,date,visit,as,class,verdict,indicated,range,reference\nrain,2020-01-02,9,,2.5,pass,\"50.0 div\",10 mA,10 mA",
			"\n,2024-05-31,10,,2.5,pass,50.5 div,10 mA,10.00 mA\n"},
		{"semicolons, decimal commas, CRLF, blank lines", "visit;date;as;class;verdict;range;reference;indicated\r\n\r\n9;2020-01-02;;2,5;pass;10 mA;10,0 mA;50,0 div\r\n",
			"10;2024-05-31;;2,5;pass;10 mA;10,00 mA;50,5 div\r\n"},
		{"semicolons and whole numbers, visits out of order", "visit;date;as;class;verdict;range;reference;indicated\n9;2020-01-02;;2;pass;10 mA;10 mA;50 div\n3;2020-01-02;;2;pass;10 mA;10 mA;50 div\n",
			"10;2024-05-31;;2,5;pass;10 mA;10,00 mA;50,5 div\n"},
	} {
		meter, _, drawer := faulty(t)
		path := strings.TrimSuffix(meter, ".json") + ".history.csv"
		if test.old != "" {
			put(t, filepath.Dir(path), filepath.Base(path), test.old)
		}
		readings := put(t, t.TempDir(), "r.csv", "range;reference;indicated;reference_limit\n10 mA;10,00;50,5 div;0,1 %\n")
		if s := program("check", meter, readings, "--drawer", drawer, "--save", "--date", "2024-05-31"); s.code != exitGood {
			t.Errorf("%s: %s%s", test.name, s.out, s.err)
		}
		data, err := os.ReadFile(path)
		if err != nil || string(data) != test.old+test.added {
			t.Errorf("%s: %q, %v; want %q", test.name, bytes.TrimPrefix(data, []byte(test.old)), err, test.added)
		}
		// What was written is read again.
		if s := program("check", meter, "--history", "--format", "csv"); s.code != exitGood || !strings.Contains(s.out, "10 mA,2024-05-31,,1,1.0000") {
			t.Errorf("%s: %s%s", test.name, s.out, s.err)
		}
	}
}

// TestHistoryRefuses: a history that somebody has damaged is refused with its
// place, and neither shown nor written to.
func TestHistoryRefuses(t *testing.T) {
	const head = "visit,date,as,class,verdict,range,reference,indicated\n"
	for _, test := range []struct{ old, says string }{
		{"visit,date\n", `bench.history.csv:1:1: there is no column "as"`},
		{head + "one,2024-05-31,,2.5,pass,10 mA,10,50 div\n", `bench.history.csv:2:1: visit "one"; the number of the visit belongs here`},
		{head + "1,31.5.2024,,2.5,pass,10 mA,10,50 div\n", `bench.history.csv:2:3: date "31.5.2024"; a day of the calendar as YYYY-MM-DD belongs here`},
	} {
		meter, readings, drawer := faulty(t)
		path := put(t, filepath.Dir(meter), "bench.history.csv", test.old)
		for _, call := range [][]string{{"check", meter, "--history"}, {"check", meter, readings, "--drawer", drawer, "--save", "--date", "2024-05-31"}} {
			s := program(call...)
			if s.code != exitWrong || s.out != "" || !strings.Contains(s.err, test.says) {
				t.Errorf("%q: exit code %d, %s; want %s", test.old, s.code, s.err, test.says)
			}
		}
		if data, err := os.ReadFile(path); err != nil || string(data) != test.old {
			t.Errorf("the history is %q now, %v", data, err)
		}
	}
	meter, _, _ := faulty(t)
	for old, says := range map[string]string{
		head + "1,2024-05-31,,high,pass,10 mA,10,50 div\n": `bench.history.csv:2:15: class "high"; the class in percent, or nothing, belongs here`,
		head + "1,2024-05-31,,2.5,pass,,10,50 div\n":       `bench.history.csv:2:24: range is empty; the name of a range belongs here`,
		head + "1,2024-05-31,,2.5,pass,10 mA,ten,50 div\n": `bench.history.csv:2:30: "ten" does not begin with a number`,
	} {
		put(t, filepath.Dir(meter), "bench.history.csv", old)
		if s := program("check", meter, "--history"); s.code != exitWrong || !strings.Contains(s.err, says) {
			t.Errorf("%q: exit code %d, %s; want %s", old, s.code, s.err, says)
		}
	}
}

// TestDriftBothWays: half a division more at half of the scale, both ways, is
// twice that at its end.
func TestDriftBothWays(t *testing.T) {
	meter, _, drawer := faulty(t)
	for _, rows := range []string{"10 mA,5,25 div,up\n10 mA,5,26 div,down\n", "10 mA,5,25.5 div,up\n10 mA,5,26.5 div,down\n"} {
		readings := put(t, t.TempDir(), "r.csv", "range,reference,indicated,direction\n"+rows)
		if s := program("check", meter, readings, "--drawer", drawer, "--save", "--date", "2024-05-31"); s.code == exitWrong {
			t.Fatal(s.err)
		}
	}
	var got historyAnswer
	answered(t, &got, "check", meter, "--history")
	if d := got.Visits[1].Ranges[0].Drift; d == nil || math.Abs(*d-2) > 1e-9 {
		t.Errorf("drift %v, want 2 %%", number(d))
	}
}
