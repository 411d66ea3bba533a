package check

import (
	"encoding/json"
	"strings"
	"testing"

	"shuntwright/cmd/shuntwright/internal/asbuilt/asbuilttest"
	"shuntwright/cmd/shuntwright/internal/readings"
)

// TestDocument: an invented voltmeter reads 0.25 V high at 10 V where it read
// true two years before: a drift of 2.5 % of full scale.
func TestDocument(t *testing.T) {
	s := asbuilttest.Open(t, `{"name": "bench", "movement": {"full_scale": "1 mA", "coil": "100 ohm"},
		"circuits": [{"circuit": "multiplier", "range": "10 V"}]}`, "id,ohms\n", "{}")
	h, err := readings.ParseHistory("bench.history.csv", []byte("visit,date,as,class,verdict,range,reference,indicated,direction,reference_limit,reading_limit\n"+
		"1,2024-05-31,left,1,pass,10 V,10 V,10 V,,0.01 V,0.02 V\n2,2026-06-01,found,1,fail,10 V,10 V,10.25 V,,0.01 V,0.02 V\n"))
	if err != nil {
		t.Fatal(err)
	}
	visits, err := h.Visits(s.Meter)
	if err != nil {
		t.Fatal(err)
	}
	doc := Document(s.Meter, "bench.history.csv", visits)
	if doc.Heading != "bench: 2 visits in bench.history.csv" || len(doc.Tables[0].Rows) != 2 || len(doc.Closing) != 1 {
		t.Errorf("%s: %d rows, %q", doc.Heading, len(doc.Tables[0].Rows), doc.Closing)
	}
	text, err := json.Marshal(doc.Answer)
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{`"date":"2024-05-31","as":"left"`, `"verdict":"fail"`, `"drift_percent":2.5,`, `"drift_limit_percent":0.`, `"since":"2024-05-31 left"`} {
		if !strings.Contains(string(text), want) {
			t.Errorf("no %s in %s", want, text)
		}
	}
	if got := strings.Count(string(text), "drift_percent"); got != 1 {
		t.Errorf("%d drifts", got)
	}
}

// TestDriftThroughASparseVisit: what a meter gained stands in the answer as sure as
// the surest visits have it, though the one between was of two points only. It is
// invented: a gain of 8 %, read up to three quarters of the scale.
func TestDriftThroughASparseVisit(t *testing.T) {
	s := asbuilttest.Open(t, `{"name": "bench", "movement": {"full_scale": "1 mA", "coil": "100 ohm"},
		"circuits": [{"circuit": "multiplier", "range": "10 V"}]}`, "id,ohms\n", "{}")
	h, err := readings.ParseHistory("bench.history.csv", []byte("visit,date,as,class,verdict,range,reference,indicated,direction,reference_limit,reading_limit\n"+
		"1,2024-05-31,left,2.5,pass,10 V,0 V,0 V,,0 V,0.04 V\n1,2024-05-31,left,2.5,pass,10 V,10 V,10 V,,0 V,0.04 V\n"+
		"2,2025-05-31,,2.5,pass,10 V,0 V,0 V,,0 V,0.04 V\n2,2025-05-31,,2.5,pass,10 V,2.5 V,2.5 V,,0 V,0.04 V\n"+
		"3,2026-05-31,found,2.5,fail,10 V,0 V,0 V,,0 V,0.04 V\n3,2026-05-31,found,2.5,fail,10 V,7.5 V,8.1 V,,0 V,0.04 V\n"))
	if err != nil {
		t.Fatal(err)
	}
	visits, err := h.Visits(s.Meter)
	if err != nil {
		t.Fatal(err)
	}
	said := strings.Join(Document(s.Meter, "bench.history.csv", visits).BottomLine, "\n")
	if want := "moved most: 10 V, +8.00 ±0.65 % from 2024-05-31 left to 2026-05-31 found"; !strings.Contains(said, want) {
		t.Errorf("%s; want %s", said, want)
	}
}
