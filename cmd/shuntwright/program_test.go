package main

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// said is what one call of the program gave.
type said struct {
	out, err string
	code     int
}

// program runs one call in this process, with nothing on standard input and
// none of the machine's environment.
func program(args ...string) said { return programIn(env{}, "", args...) }

// asked is program where a person types.
func asked(typed string, args ...string) said { return programIn(env{asks: true}, typed, args...) }

// programIn is program in some surroundings, without variables where these have
// none.
func programIn(at env, typed string, args ...string) said {
	if at.getenv == nil {
		at.getenv = variables(nil)
	}
	var out, errs bytes.Buffer
	code := run(context.Background(), at, args, strings.NewReader(typed), &out, &errs)
	return said{out.String(), errs.String(), code}
}

// variables are those of an environment.
func variables(set map[string]string) func(string) string {
	return func(name string) string { return set[name] }
}

// do runs calls that must not be refused.
func do(t *testing.T, calls ...string) {
	t.Helper()
	for _, call := range calls {
		if s := program(words(call)...); s.code == exitWrong {
			t.Fatalf("%s: %s", call, s.err)
		}
	}
}

// words splits a command line as a shell does, as far as quotation marks go.
func words(line string) []string {
	var out []string
	word, within, begun := "", ' ', false
	for _, r := range line + " " {
		switch {
		case r == within && r != ' ':
			within = ' '
		case within == ' ' && (r == '"' || r == '\''):
			within, begun = r, true
		case within == ' ' && r == ' ':
			if begun {
				out = append(out, word)
			}
			word, begun = "", false
		default:
			word, begun = word+string(r), true
		}
	}
	return out
}

// plainText is a program's output without its line breaks.
func plainText(out string) string { return strings.Join(strings.Fields(out), " ") }

// answered runs a call that must not be refused and reads its JSON into to.
func answered(t *testing.T, to any, args ...string) said {
	t.Helper()
	s := program(append(args, "--format", "json")...)
	if s.code == exitWrong {
		t.Fatalf("shuntwright %s: %s", strings.Join(args, " "), s.err)
	}
	if s.err != "" {
		t.Errorf("shuntwright %s: beside the JSON on standard error: %s", strings.Join(args, " "), s.err)
	}
	if err := json.Unmarshal([]byte(s.out), to); err != nil {
		t.Fatalf("shuntwright %s: %v in\n%s", strings.Join(args, " "), err, s.out)
	}
	return s
}

// readJSON reads a file of testdata.
func readJSON(t *testing.T, path string, to any) {
	t.Helper()
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(data, to); err != nil {
		t.Fatalf("%s: %v", path, err)
	}
}

// put writes a file into a folder and returns its path.
func put(t testing.TB, dir, name, text string) string {
	t.Helper()
	path := filepath.Join(dir, name)
	if err := os.WriteFile(path, []byte(text), 0o666); err != nil {
		t.Fatal(err)
	}
	return path
}

// near tells whether two numbers, or two absent ones, agree within a relative
// and an absolute tolerance.
func near(got, want *float64, relative, absolute float64) bool {
	if got == nil || want == nil {
		return got == want
	}
	return math.Abs(*got-*want) <= relative*math.Abs(*want)+absolute
}

// number shows a number that may be absent.
func number(x *float64) any {
	if x == nil {
		return "absent"
	}
	return *x
}

// TestDemoReadsItsOwnFiles: the demo is the same in a folder whose files are of the
// same names and cannot be read, and with another drawer in the environment.
func TestDemoReadsItsOwnFiles(t *testing.T) {
	dir := t.TempDir()
	t.Chdir(dir)
	want := program("demo", "--format", "json")
	if want.code == exitWrong {
		t.Fatal(want.err)
	}
	for _, name := range demoNames {
		put(t, dir, name, "\x00 nothing")
	}
	elsewhere := env{getenv: variables(map[string]string{"SHUNTWRIGHT_DRAWER": "instruments.json"})}
	if s := programIn(elsewhere, "", "demo", "--format", "json"); s.code != want.code || s.out != want.out {
		t.Errorf("%+v\nwant %d: %s", s, want.code, want.out)
	}
}

// TestNullDeviceIsNoTerminal: nobody types at the null device, by whatever name
// it is open: standard input is called so where it is redirected too.
func TestNullDeviceIsNoTerminal(t *testing.T) {
	stdin := t.TempDir() + "/stdin"
	if err := os.Symlink(os.DevNull, stdin); err != nil {
		t.Skipf("no symbolic links here: %v", err)
	}
	for _, name := range []string{os.DevNull, stdin} {
		null, err := os.Open(name)
		if err != nil {
			t.Fatal(err)
		}
		defer null.Close()
		if isTerminal(null) {
			t.Errorf("%s is taken for a terminal", name)
		}
	}
	plain, err := os.Create(t.TempDir() + "/file")
	if err != nil {
		t.Fatal(err)
	}
	defer plain.Close()
	if isTerminal(plain) {
		t.Error("a file is taken for a terminal")
	}
}

// TestPlain: the first of the locale's variables that is set says whether there
// is UTF-8; where none is, nothing speaks against it.
func TestPlain(t *testing.T) {
	for _, test := range []struct {
		set  map[string]string
		want bool
	}{
		{nil, false},
		{map[string]string{"LANG": "C"}, true},
		{map[string]string{"LANG": "de_DE.ISO-8859-1"}, true},
		{map[string]string{"LANG": "de_DE.UTF-8"}, false},
		{map[string]string{"LANG": "C.utf8"}, false},
		{map[string]string{"LANG": "de_DE.UTF-8", "LC_CTYPE": "POSIX"}, true},
		{map[string]string{"LC_ALL": "en_GB.UTF-8", "LC_CTYPE": "C"}, false},
	} {
		e := env{getenv: variables(test.set)}
		if got := e.plain(); got != test.want {
			t.Errorf("%v: %v", test.set, got)
		}
	}
}

// full is where nothing more can be written.
type full struct{}

func (full) Write([]byte) (int, error) { return 0, errors.New("no space left") }

// TestAnswerThatCannotBeWritten: exit code 2 says that nothing was changed, which
// is not so where only the answer is lost.
func TestAnswerThatCannotBeWritten(t *testing.T) {
	drawer := put(t, t.TempDir(), "drawer.csv", "id,ohms\nR001,10\n")
	var errs bytes.Buffer
	code := run(t.Context(), env{getenv: variables(nil)}, []string{"drawer", "add", "47", "--drawer", drawer}, strings.NewReader(""), full{}, &errs)
	data, err := os.ReadFile(drawer)
	if err != nil || !strings.Contains(string(data), "R002,47") || code != exitPoor || errs.String() != "shuntwright drawer add: writing the answer: no space left\n" {
		t.Errorf("exit code %d, %s, %v, %q", code, data, err, errs.String())
	}
}
