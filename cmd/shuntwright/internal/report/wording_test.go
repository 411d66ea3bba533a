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
