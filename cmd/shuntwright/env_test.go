package main

import (
	"bytes"
	"errors"
	"os"
	"strings"
	"testing"
)

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
