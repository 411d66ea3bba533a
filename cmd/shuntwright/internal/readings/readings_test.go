package readings

import (
	"bytes"
	"math"
	"strings"
	"testing"

	"shuntwright/cmd/shuntwright/internal/entry"
	"shuntwright/meter/meterfile"
	"shuntwright/meter/reading"
)

// dial is an invented meter with ranges that want telling apart.
const dial = `{"name": "bench", "class": 2.5, "movement": {"full_scale": "1 mA", "coil": "98.6 ohm", "divisions": 50},
 "circuits": [
  {"circuit": "shunt", "range": "5 mA"}, {"circuit": "shunt", "range": "grid 50 mA"}, {"circuit": "multiplier", "range": "300 V"}]}`

// reader is a reader of readings of that meter, or of one without divisions.
func reader(t testing.TB, referenceLimit, readingLimit string, divisions bool) *Reader {
	t.Helper()
	text := dial
	if !divisions {
		text = strings.Replace(dial, `, "divisions": 50`, "", 1)
	}
	file, err := meterfile.Parse("bench.json", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	return NewReader(file.Meter, referenceLimit, readingLimit)
}

// TestParseReadings: what stands in a file of readings, and what it means.
func TestParseReadings(t *testing.T) {
	for _, test := range []struct {
		name, file                   string
		referenceLimit, readingLimit string
		noDivisions                  bool
		want                         reading.Reading
	}{
		{name: "the range's unit, prefix included", file: "range,reference,indicated\n5 mA,2.5,2.4\n",
			want: reading.Reading{Range: 0, Reference: 2.5e-3, Indicated: 2.4e-3, IndicatedLimit: 0.2 * 5e-3 / 50}},
		{name: "a unit of its own", file: "range,reference,indicated\n5 mA,2500 uA,0.0024 A\n",
			want: reading.Reading{Range: 0, Reference: 2.5e-3, Indicated: 2.4e-3, IndicatedLimit: 0.2 * 5e-3 / 50}},
		{name: "a prefix counts without its unit", file: "range,reference,indicated\n5 mA,2.5m,2.4m\n",
			want: reading.Reading{Range: 0, Reference: 2.5e-3, Indicated: 2.4e-3, IndicatedLimit: 0.2 * 5e-3 / 50}},
		{name: "divisions", file: "range,reference,indicated\ngrid 50 mA,30,30.0 div\n",
			want: reading.Reading{Range: 1, Reference: 30e-3, Indicated: 30e-3, IndicatedLimit: 0.2 * 50e-3 / 50}},
		{name: "half of the last digit without divisions", file: "range,reference,indicated\n300 V,150,148.5\n", noDivisions: true,
			want: reading.Reading{Range: 2, Reference: 150, Indicated: 148.5, IndicatedLimit: 0.05}},
		{name: "any order, other columns, mark, spaces in names", noDivisions: true,
			file: "\ufeffwho,Indicated , range,DIRECTION,reference\nme,148,300V,down,150\n",
			want: reading.Reading{Range: 2, Reference: 150, Indicated: 148, IndicatedLimit: 0.5, Direction: reading.Down}},
		{name: "limits in the columns", file: "range,reference,indicated,direction,reference_limit,reading_limit\n300 V,150,148,up,0.5%,0.1 div\n",
			referenceLimit: "2%", readingLimit: "1 div",
			want: reading.Reading{Range: 2, Reference: 150, ReferenceLimit: 0.75, Indicated: 148, IndicatedLimit: 0.6, Direction: reading.Up}},
		{name: "limits of the flags", file: "range,reference,indicated\n300 V,150.0,148\n", referenceLimit: "0.5 % + 2 counts", readingLimit: "1 div",
			want: reading.Reading{Range: 2, Reference: 150, ReferenceLimit: 0.95, Indicated: 148, IndicatedLimit: 6}},
		{name: "limits as quantities", file: "range,reference,indicated,reference_limit,reading_limit\n5 mA,5,5,0.02,40 uA\n",
			want: reading.Reading{Range: 0, Reference: 5e-3, ReferenceLimit: 20e-6, Indicated: 5e-3, IndicatedLimit: 40e-6}},
		{name: "semicolons and decimal commas", file: "range;reference;indicated;reference_limit\n5 mA;2,500;2,4;0,5%\n",
			want: reading.Reading{Range: 0, Reference: 2.5e-3, ReferenceLimit: 12.5e-6, Indicated: 2.4e-3, IndicatedLimit: 20e-6}},
		{name: "semicolons and points", file: "range;reference;indicated\n5 mA;2.5;2.4\n",
			want: reading.Reading{Range: 0, Reference: 2.5e-3, Indicated: 2.4e-3, IndicatedLimit: 20e-6}},
		{name: "below zero", file: "range,reference,indicated\n5 mA,0,-0.5 div\n5 mA,5,5\n",
			want: reading.Reading{Range: 0, Indicated: -50e-6, IndicatedLimit: 20e-6}},
		{name: "at the end of the pointer's way", file: "range,reference,indicated\n5 mA,5,60 div\n",
			want: reading.Reading{Range: 0, Reference: 5e-3, Indicated: 6e-3, IndicatedLimit: 20e-6}},
		{name: "the finest last digit of the range tells", noDivisions: true, referenceLimit: "0 % + 2 counts",
			file: "range,reference,indicated\n300 V,150,148\n5 mA,1.234,1.23\n300 V,200.0,197.5\n",
			want: reading.Reading{Range: 2, Reference: 150, ReferenceLimit: 0.2, Indicated: 148, IndicatedLimit: 0.05}},
		{name: "and only that of the range", noDivisions: true,
			file: "range,reference,indicated\n300 V,150,148.5\n5 mA,1.234,1.234\n300 V,200.0,197\n",
			want: reading.Reading{Range: 2, Reference: 150, Indicated: 148.5, IndicatedLimit: 0.05}},
		{name: "blank rows", file: "range,reference,indicated\n,,\n\n5 mA,5,5\n ,,\n",
			want: reading.Reading{Range: 0, Reference: 5e-3, Indicated: 5e-3, IndicatedLimit: 20e-6}},
	} {
		set, err := reader(t, test.referenceLimit, test.readingLimit, !test.noDivisions).Parse("r.csv", []byte(test.file))
		if err != nil {
			t.Errorf("%s: %v", test.name, err)
			continue
		}
		got := set.Readings[0]
		same := func(a, b float64) bool { return math.Abs(a-b) <= 1e-15*math.Abs(b) }
		if got.Range != test.want.Range || got.Direction != test.want.Direction || !same(got.Reference, test.want.Reference) || !same(got.Indicated, test.want.Indicated) ||
			!same(got.ReferenceLimit, test.want.ReferenceLimit) || !same(got.IndicatedLimit, test.want.IndicatedLimit) {
			t.Errorf("%s: %+v, want %+v", test.name, got, test.want)
		}
		if exact := got.ReferenceLimit == 0; set.Exact != exact {
			t.Errorf("%s: taken as exact: %v, want %v", test.name, set.Exact, exact)
		}
	}
}

// TestRangeWithDecimalComma: the name of a range says nothing about how the
// numbers of a file are written.
func TestRangeWithDecimalComma(t *testing.T) {
	file, err := meterfile.Parse("m.json", []byte(`{"movement": {"full_scale": "1 mA", "coil": "98.6 ohm"}, "circuits": [{"circuit": "multiplier", "range": "2,5 V"}]}`))
	if err != nil {
		t.Fatal(err)
	}
	set, err := NewReader(file.Meter, "", "").Parse("r.csv", []byte("range;reference;indicated\n2,5 V;1.250;1.25\n"))
	if err != nil || set.Readings[0].Reference != 1.25 || set.Readings[0].Indicated != 1.25 {
		t.Errorf("%+v, %v", set, err)
	}
}

// TestRefusedReadings: one line with its place, and a hint of what is right.
func TestRefusedReadings(t *testing.T) {
	const head = "range,reference,indicated,direction,reference_limit,reading_limit\n"
	for _, test := range []struct{ file, says string }{
		{head + "7 mA,1,1,,,\n", `r.csv:2:1: the meter has no range "7 mA"; there are "5 mA", "grid 50 mA", "300 V"`},
		{head + "5 mA,5,6.01,,,\n", `r.csv:2:8: indicated "6.01" is above 120 % of the full scale of "5 mA"`},
		{head + "5 mA,5,60.1 div,,,\n", `r.csv:2:8: indicated "60.1 div" is above 120 %`},
		{head + "5 mA,5,-1.1,,,\n", `r.csv:2:8: indicated "-1.1" is more than 20 % of the scale of "5 mA" below zero`},
		{head + "5 mA,0,0,,,\n300 V,0,0,,,\n", `r.csv:2:6: every reference is zero`},
		{head + "\n5 mA,0,0,,,\n", `r.csv:3:6: every reference is zero`},
		{head + "5 mA,x,1,,,\n", `r.csv:2:6: "x" does not begin with a number`},
		{head + "5 mA,1,one,,,\n", `r.csv:2:8: "one" does not begin with a number`},
		{head + "5 mA,1,NaN,,,\n", `r.csv:2:8: "NaN" does not begin with a number`},
		{head + "5 mA,-1,1,,,\n", `r.csv:2:6: "-1 mA" is negative`},
		{head + "5 mA,1 V,1,,,\n", `r.csv:2:6: "1 V" is a voltage; a current of zero or more belongs here`},
		{head + "300 V,1,1 mA,,,\n", `r.csv:2:9: "1 mA" is a current; a voltage belongs here`},
		{head + "5 mA,5000,5,,,\n", `r.csv:2:6: reference "5000" is more than 10 times the full scale of "5 mA"; a value without a unit is in mA`},
		{head + "5 mA,5 div,5,,,\n", `r.csv:2:6: "5 div" is in divisions; the reference is what another instrument showed, in mA`},
		{head + ",5,5,,,\n", `r.csv:2:1: range is empty; the name of a range belongs here`},
		{head + "5 mA,,5,,,\n", `r.csv:2:6: reference is empty; what was really applied belongs here`},
		{head + "5 mA,5,,,,\n", `r.csv:2:8: indicated is empty; what the pointer showed belongs here`},
		{head + "5 mA,5,5,left,,\n", `r.csv:2:10: direction "left"; up or down belongs here, or nothing`},
		{head + "5 mA,5,5,,1 V,\n", `r.csv:2:11: "1 V" is a voltage`},
		{head + "5 mA,5,5,,100%,\n", `r.csv:2:11: accuracy "100%" leaves nothing of the reference`},
		{head + "5 mA,5,5,,0.5% + 1 ohm,\n", `r.csv:2:11: accuracy "0.5% + 1 ohm" is that of an ohmmeter; write such as 0.5%`},
		{head + "5 mA,5,5,,1 div,\n", `r.csv:2:11: reference limit "1 div" is in divisions; percent`},
		{head + "5 mA,5,5,,,0\n", `r.csv:2:12: "0 mA" is zero`},
		{head + "5 mA,5,5,,,1%\n", `r.csv:2:12: reading limit "1%" is a percentage; divisions such as 0.2 div`},
		{"range,reference\n5 mA,1\n", `r.csv:1:1: there is no column "indicated"; the columns are ["range" "reference"], and range, reference, indicated must be there`},
		{"range,reference,indicated,Reference\n5 mA,1,1,1\n", `r.csv:1:27: columns 2 and 4 are both called "Reference"`},
		{head, `r.csv:1:1: no reading stands below the names of the columns; write one a line, such as "5 mA,2.5 mA,2.5 mA"`},
		{"", `r.csv:1:1: the file is empty`},
		{head + "5 mA,\"4,700\",5,,,\n", `r.csv:2:6: "4,700" can be`},
	} {
		set, err := reader(t, "", "", true).Parse("r.csv", []byte(test.file))
		if err == nil || !strings.HasPrefix(err.Error(), test.says) || strings.Contains(err.Error(), "\n") {
			t.Errorf("%q: %+v, %v; want %q", test.file, set, err, test.says)
		}
	}
	for indicated, limits := range map[string][2]string{">": {"1 V", ""}, "3": {"1 V", ""}, "3.0": {"", "1 V"}} { // in the flag, and no column is wrong but the range
		_, err := reader(t, limits[0], limits[1], true).Parse("r.csv", []byte("range,reference,indicated\n5 mA,4,"+indicated+"\n"))
		if err == nil || !strings.HasPrefix(err.Error(), "r.csv:2:1: --re") || !strings.Contains(err.Error(), `-limit on "5 mA": "1 V" is a voltage`) {
			t.Errorf("%s: %v", indicated, err)
		}
	}
	_, err := reader(t, "", "", false).Parse("r.csv", []byte("range,reference,indicated\n5 mA,3,30.0 div\n"))
	if want := `r.csv:2:8: "30.0 div" is in divisions, and the meter file does not say how many the scale has; give the movement its divisions, or write it in mA`; err == nil || err.Error() != want {
		t.Errorf("no divisions: %v, want %s", err, want)
	}
}

// FuzzReadings: whatever stands in a file of readings is read or refused in
// one line with a place, and what is read is within what a dial can show.
func FuzzReadings(f *testing.F) {
	f.Add([]byte("range,reference,indicated,direction,reference_limit,reading_limit\n5 mA,2.5,2.4,up,0.5%,0.1 div\ngrid 50 mA,0,30.0 div,,1 mA,\n"))
	f.Add([]byte("\ufeffrange;reference;indicated\r\n300 V;2,5;-1,25\r\n"))
	f.Add([]byte("range\treference\tindicated\n5mA\t1e-3 A\t1k\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		rr := reader(t, "", "", true)
		set, err := rr.Parse("r.csv", data)
		if err != nil {
			if strings.Contains(err.Error(), "\n") || !strings.HasPrefix(err.Error(), "r.csv:") {
				t.Fatalf("%q: %q", data, err)
			}
			return
		}
		for i, one := range set.Readings {
			full := rr.ranges[one.Range].FullScale
			if !(one.Reference >= 0 && one.Reference <= 10*full && math.Abs(one.Indicated) <= 1.21*full && one.ReferenceLimit >= 0 && one.IndicatedLimit > 0) {
				t.Fatalf("%q: reading %d is %+v", data, i, one)
			}
		}
		reading.Judge(rr.ranges, set.Readings, 2.5, false)
	})
}

// FuzzTypedReadings: whatever is typed, at a prompt or through a pipe, is read
// or refused in one line.
func FuzzTypedReadings(f *testing.F) {
	f.Add("5 mA 2.5 2.4 up\ngrid 50 mA: 25 div 24.6\n.\n", false)
	f.Add("0\n1.25 1.3\n\n5 mA 5 4.9 down\n: \n::\n300V 1 2", true)
	f.Add("up\ndown up\nmA mA mA\n5 mA 1\x00\n", true)
	f.Fuzz(func(t *testing.T, typed string, asks bool) {
		var errs bytes.Buffer
		set, err := reader(t, "", "", true).ReadTyped(entry.NewReader(t.Context(), strings.NewReader(typed), &errs, asks), Asking{})
		if err != nil {
			if strings.Contains(err.Error(), "\n") || !asks && errs.Len() > 0 {
				t.Fatalf("%q: %v\n%s", typed, err, errs.String())
			}
			return
		}
		if len(set.Readings) == 0 || len(set.Readings) != len(set.Typed) {
			t.Fatalf("%q: %d readings", typed, len(set.Readings))
		}
	})
}
