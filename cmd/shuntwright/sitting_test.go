package main

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"shuntwright/inventory"
	"shuntwright/inventory/safefile"
)

// sitting is somebody at a terminal with the program.
type sitting struct {
	t      *testing.T
	shell  *exec.Cmd // what the program is called from, and outlives it
	leave  *os.File  // ends the shell when it is closed
	pid    int       // the program's
	person *os.File
	keys   int // typed so far

	lock sync.Mutex
	said strings.Builder
	seen int // how much of it has been waited for
}

// atShell calls a program and says its process and its exit code. Where the one
// that a terminal belongs to ends, what was not read from it yet is lost: that is
// the shell, which stays until what its third file leads to is closed.
const atShell = `trap : INT; sh -c 'echo "process $$"; exec "$0" "$@" 3<&-' "$0" "$@"; echo "ended with $?"; read -r _ <&3`

// sitDown starts the program at a terminal, in a folder.
func sitDown(t *testing.T, dir string, args ...string) *sitting {
	t.Helper()
	person, terminal := openTerminal(t)
	staying, leave, err := os.Pipe()
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { leave.Close() })
	shell := exec.Command("sh", append([]string{"-c", atShell, "shuntwright-at-terminal"}, args...)...)
	shell.Dir, shell.Stdin, shell.Stdout, shell.Stderr, shell.ExtraFiles = dir, terminal, terminal, terminal, []*os.File{staying}
	shell.Env = append(os.Environ(), "TERM=dumb")
	atTerminal(shell)
	if err := shell.Start(); err != nil {
		t.Fatal(err)
	}
	terminal.Close() // so that reading ends with the shell
	staying.Close()
	s := &sitting{t: t, shell: shell, leave: leave, person: person}
	go s.listen()
	s.pid = s.number("process ")
	return s
}

// number waits for a number behind a text.
func (s *sitting) number(text string) int {
	s.t.Helper()
	s.waits(text)
	from := s.seen
	s.waits("\n")
	n, err := strconv.Atoi(s.heard()[from : s.seen-1])
	if err != nil {
		s.t.Fatal(err)
	}
	return n
}

// kill kills the program, whether it is still there or not.
func (s *sitting) kill() {
	if program, err := os.FindProcess(s.pid); err == nil {
		_ = program.Kill()
	}
}

func (s *sitting) listen() {
	buffer := make([]byte, 4096)
	for {
		n, err := s.person.Read(buffer)
		s.lock.Lock()
		s.said.Write(buffer[:n])
		s.lock.Unlock()
		if err != nil {
			return
		}
	}
}

// heard is all that was said so far, with line feeds alone.
func (s *sitting) heard() string {
	s.lock.Lock()
	defer s.lock.Unlock()
	return strings.ReplaceAll(s.said.String(), "\r\n", "\n")
}

// types types keys as they are.
func (s *sitting) types(keys string) {
	s.t.Helper()
	s.keys += len(keys)
	if _, err := s.person.WriteString(keys); err != nil {
		s.t.Fatal(err)
	}
}

// waits waits until a text is said that was not waited for before.
func (s *sitting) waits(text string) {
	s.t.Helper()
	for end := time.Now().Add(30 * time.Second); time.Now().Before(end); time.Sleep(time.Millisecond) {
		if heard := s.heard()[s.seen:]; strings.Contains(heard, text) {
			s.seen += strings.Index(heard, text) + len(text)
			return
		}
	}
	s.kill()
	s.t.Fatalf("nobody said %q, but\n%s", text, s.heard()[s.seen:])
}

// ends waits for the program to end, when all that it said has been heard, and
// returns its exit code.
func (s *sitting) ends() int {
	s.t.Helper()
	code := s.number("ended with ")
	s.leave.Close()
	_ = s.shell.Wait()
	return code
}

// drawerIn reads the drawer of a folder as the program would.
func drawerIn(t *testing.T, dir string) []inventory.Part {
	t.Helper()
	path := filepath.Join(dir, "drawer.csv")
	if s := program("drawer", "list", "--drawer", path, "--format", "json"); s.code == exitWrong { // completes what was interrupted
		t.Fatal(s.err)
	}
	d, err := inventory.Read(safefile.Files{}, path)
	if err != nil {
		t.Fatal(err)
	}
	return d.Parts()
}

// TestFiftyParts: fifty parts take no more keys than the readings and Enter, and
// each is on disk when its id is said.
func TestFiftyParts(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	s := sitDown(t, dir, "drawer", "add")
	s.waits("reading: ")
	needed := 0
	for i := range 50 {
		reading := fmt.Sprintf("%.3fk", 0.9*float64(i+1)) // invented
		needed += len(reading) + len("\n")
		s.types(reading + "\n")
		s.waits(fmt.Sprintf("R%03d %s: nearest ", i+1, reading))
		if data, err := os.ReadFile(filepath.Join(dir, "drawer.csv")); err != nil || !strings.Contains(string(data), fmt.Sprintf("\nR%03d,%s,", i+1, reading)) {
			t.Fatalf("part %d is said and not on disk: %v\n%s", i+1, err, data)
		}
	}
	s.waits("reading: ")
	if s.keys != needed {
		t.Errorf("%d keys for fifty parts, want %d", s.keys, needed)
	}
	s.types("\n")
	s.waits("drawer.csv: added 50, now 50 parts")
	if code := s.ends(); code != exitGood || len(drawerIn(t, dir)) != 50 {
		t.Errorf("exit code %d, %d parts", code, len(drawerIn(t, dir)))
	}
}

// TestSitting: settings, slips, taking back, and Ctrl-C, as a person meets them.
func TestSitting(t *testing.T) {
	dir := t.TempDir()
	put(t, dir, "instruments.json", `{"hand meter": {"gain_percent": 0.8, "counts": 1}}`)
	s := sitDown(t, dir, "drawer", "add", "--kind", "carbon")
	for _, step := range []struct{ types, waits string }{
		{"11.3\n", "R001 11.3: nearest 11 Ω (E24), +2.7 %\n"},
		{"nominal 4k7 5%\n", "from here on: nominal 4k7, tolerance 5, kind carbon\n"},
		{"4.71k\n", "R002 4.71k: +0.2 % of the marked 4k7, within its 5 %\n"},
		{"5.2k 0.5W tin C\n", "R003 5.2k: +10.6 % of the marked 4k7, out of its 5 %, nearest 5.1 kΩ (E24), +2.0 %, watts 0.5, place tin C\n"},
		{"4.72\n", "marked 4k7 and read 4.72 Ω? y, or the same once more, takes it;\n  Enter drops it: "},
		{"4.72k\n", "R004 4.72k: "}, // typed anew
		{"47\n", "drops it: "},
		{"\n", "reading: "},
		{"47\n", "drops it: "},
		{"47\n", "R005 47: "}, // the same once more
		{"47\n", "marked 4k7 and read 47 Ω; the same reading as the last part, 47 Ω?"},
		{"y\n", "R006 47: "},
		{"u\n", "taken back: R006 47\n"},
		{"u\n", "taken back: R005 47\n"},
		{"12 watts\n", "drops it: "},
		{"nominal\n", "from here on: tolerance 5, kind carbon\n"},
		{"instrument bridge\n", "the instrument \"bridge\" is not defined; those that are: \"hand meter\"\n"},
		{"instrument hand meter\n", "from here on: instrument hand meter, tolerance 5, kind carbon\n"},
		{"R001\n", "\"R001\" is the id of a part, and is 1 mΩ in letter code; write 0.001 ohm"},
		{"?\n", "an empty line            ends; every part is in the drawer already\n"},
		{"98.6 ohm\n", "R005 98.6 ohm: nearest 100 Ω (E24), -1.4 %\n"},
		{"\x03", "drawer.csv: added 5, now 5 parts"},
	} {
		s.types(step.types)
		s.waits(step.waits)
	}
	if code := s.ends(); code != exitGood {
		t.Errorf("exit code %d", code)
	}
}

// cellOf is what a part has in a column, as a text.
func cellOf(p inventory.Part, column string) string {
	for _, f := range p.Fields() {
		if f.Column == column && f.Text == "" {
			return fmt.Sprint(f.Number)
		} else if f.Column == column {
			return f.Text
		}
	}
	return ""
}
