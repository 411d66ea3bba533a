package readings

import (
	"math"
	"strings"
	"testing"

	"shuntwright/meter/meterfile"
	"shuntwright/meter/reading"
)

// TestVisits: what is appended is read again as it was, judged by the class of
// its day, and stands in the order of the days.
func TestVisits(t *testing.T) {
	file, err := meterfile.Parse("bench.json", []byte(dial))
	if err != nil {
		t.Fatal(err)
	}
	m := file.Meter
	var data []byte
	h := NewHistory("bench.history.csv")
	for _, one := range []struct {
		date, as string
		class    float64
		rows     string
	}{
		{"2024-05-31", AsFound, 2.5, "5 mA,2.500,2.4 mA,up,0.5%,\n300 V,150,148,,,\n"},
		{"2024-05-31", AsLeft, 2.5, "5 mA,2.500,2.500 mA,,,10 uA\n"},
		{"2023-04-30", "", math.NaN(), "grid 50 mA,30,30.5 div,down,1 mA,\n"},
	} {
		set, err := NewReader(m, "", "").Parse("r.csv", []byte("range,reference,indicated,direction,reference_limit,reading_limit\n"+one.rows))
		if err != nil {
			t.Fatal(err)
		}
		longer := h.Appended(&Visit{Number: h.Next(), Date: one.date, As: one.as, Class: one.class, Verdict: "undecided", Set: *set}, m.Ranges())
		if !strings.HasPrefix(string(longer), string(data)) {
			t.Fatalf("%q behind %q", longer, data)
		}
		data = longer
		if h, err = ParseHistory("bench.history.csv", data); err != nil {
			t.Fatal(err)
		}
	}
	visits, err := h.Visits(m)
	if err != nil || len(visits) != 3 || h.Next() != 4 {
		t.Fatalf("%d visits, the next is %d, %v", len(visits), h.Next(), err)
	}
	if first := visits[0]; first.Number != 3 || first.Date != "2023-04-30" || !math.IsNaN(first.Class) || first.Set.Readings[0].Direction != reading.Down {
		t.Errorf("the earliest visit is %+v", first)
	}
	found, left := visits[1], visits[2]
	if found.As != AsFound || left.As != AsLeft || found.Class != 2.5 || len(found.Set.Readings) != 2 || len(left.Set.Readings) != 1 {
		t.Errorf("%+v, %+v", found, left)
	}
	for _, v := range visits {
		if v.Verdict != "undecided" || len(v.Ranges) != len(v.Set.Readings) {
			t.Errorf("visit %d: verdict %q, %d ranges", v.Number, v.Verdict, len(v.Ranges))
		}
	}
	if one := left.Set.Readings[0]; one.Reference != 2.5e-3 || one.Indicated != 2.5e-3 || math.Abs(one.IndicatedLimit-10e-6) > 1e-15 {
		t.Errorf("%+v", one)
	}
}

// TestIsDate: a day that the calendar has.
func TestIsDate(t *testing.T) {
	for text, want := range map[string]bool{"2024-02-29": true, "2023-02-29": false, "2024-5-1": false, "31.5.2024": false, "": false} {
		if IsDate(text) != want {
			t.Errorf("%q: %v, want %v", text, !want, want)
		}
	}
}

// TestCheckLimits: a limit that no range could have is refused by its flag.
func TestCheckLimits(t *testing.T) {
	for _, test := range []struct{ reference, pointer, says string }{
		{"", "", ""},
		{"0.5%", "0.1 div", ""},
		{"0.5 % + 2 counts", "1 mA", ""},
		{"2 mV", "", ""},
		{"100%", "", `--reference-limit: accuracy "100%" leaves nothing`},
		{"0.5", "", "--reference-limit: "},
		{"", "0 div", "--reading-limit: "},
		{"", "5%", "--reading-limit: "},
	} {
		err := CheckLimits(test.reference, test.pointer)
		if (err == nil) != (test.says == "") || err != nil && !strings.HasPrefix(err.Error(), test.says) {
			t.Errorf("%q, %q: %v, want %q", test.reference, test.pointer, err, test.says)
		}
	}
}
