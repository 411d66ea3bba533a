package quantity

import "testing"

func TestCommaBefore(t *testing.T) {
	for _, test := range []struct {
		text   string
		at     int
		from   int
		number string
	}{
		{`{"a": 2,5}`, 8, 6, "2,5"},
		{`{"a": -12,50}`, 10, 6, "-12,50"},
		{"2,5", 2, 0, "2,5"},
		{`{"a": 2, "b": 5}`, 9, 0, ""},
		{`{"a": 2, 5}`, 9, 0, ""},
		{`{"a": 2.5}`, 8, 0, ""},
		{`{"a": x,5}`, 8, 0, ""},
		{"2,5", 0, 0, ""},
		{"2,5", 1, 0, ""},
		{"2,5", 3, 0, ""},
		{"2,5", -1, 0, ""},
		{",5", 1, 0, ""},
	} {
		from, number, found := CommaBefore(test.text, test.at)
		if from != test.from || number != test.number || found != (test.number != "") {
			t.Errorf("%q at %d: %d, %q, %v", test.text, test.at, from, number, found)
		}
	}
}
