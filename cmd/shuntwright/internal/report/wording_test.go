package report

import (
	"slices"
	"testing"
)

func TestWords(t *testing.T) {
	for _, test := range []struct{ got, want string }{
		{List([]string{"R001", "R002"}), "R001, R002"},
		{List(nil), ""},
		{List(Quoted([]string{"10 mA", "5 V"})), `"10 mA", "5 V"`},
		{Counted(1, "part"), "1 part"},
		{Counted(0, "part"), "0 parts"},
		{Counted(12, "reading"), "12 readings"},
		{Plural(1, "part"), "part"},
		{Plural(2, "part"), "parts"},
		{InShell("bench.json"), "bench.json"},
		{InShell("my bench.json"), `"my bench.json"`},
		{InShell("R003 + R041"), `"R003 + R041"`},
		{InShell(`a$b`), `'a$b'`},
		{InShell(`the "old" one's`), `'the "old" one'\''s'`},
		{InShell("W001[43.3"), `"W001[43.3"`},
		{InShell("a\x1b[2Jb.json"), `"a\x1b[2Jb.json"`},
		{InShell(""), `""`},
	} {
		if test.got != test.want {
			t.Errorf("%q, want %q", test.got, test.want)
		}
	}
}

func TestUnique(t *testing.T) {
	given := []string{"b", "a", "b", "c", "a"}
	if got := Unique(given); !slices.Equal(got, []string{"b", "a", "c"}) {
		t.Errorf("%q", got)
	}
	if !slices.Equal(given, []string{"b", "a", "b", "c", "a"}) {
		t.Errorf("the caller's list was changed to %q", given)
	}
}

func TestMeant(t *testing.T) {
	words := []string{"plan", "pick", "drawer list", "R001", "R010", "bag-2", "shunt 10 mA", "shunt 100 mA", "multiplier 10 V"}
	for typed, want := range map[string]string{
		"plann":          "plan",
		"paln":           "plan",
		"PLAN":           "plan",
		"pikc":           "pick",
		"drawr lst":      "drawer list",
		"r001":           "R001",
		"R1":             "R001",
		"R10":            "R010",
		"bag 2":          "bag-2",
		"shnt 10 mA":     "shunt 10 mA",
		"Shunt 100ma":    "shunt 100 mA",
		"multplier 10 V": "multiplier 10 V",
		"R002":           "", // another number is another part
		"shunt 20 mA":    "",
		"bag-20":         "",
		"plow":           "",
		"planetarium":    "",
		"":               "",
		"x":              "",
	} {
		if want != "" {
			want = ` (did you mean "` + want + `"?)`
		}
		if got := Meant(typed, words); got != want {
			t.Errorf("%q: %q, want %q", typed, got, want)
		}
	}
	if got := Meant("plan", nil); got != "" {
		t.Errorf("of no words: %q", got)
	}
}

// The distance of names is one of a metric: nothing between equal ones, alike
// both ways, and a slip of each kind counts one.
func TestDistance(t *testing.T) {
	for _, test := range []struct {
		a, b string
		want int
	}{
		{"", "", 0}, {"plan", "plan", 0}, {"", "abc", 3}, {"plan", "plans", 1}, {"plan", "pla", 1}, {"plan", "pLan", 1},
		{"plan", "paln", 1}, {"plan", "lpna", 2}, {"kitten", "sitting", 3}, {"Ωm", "mΩ", 1},
	} {
		if got, back := distance([]rune(test.a), []rune(test.b)), distance([]rune(test.b), []rune(test.a)); got != test.want || back != test.want {
			t.Errorf("%q, %q: %d and back %d, want %d", test.a, test.b, got, back, test.want)
		}
	}
}
