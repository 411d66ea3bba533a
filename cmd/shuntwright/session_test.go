package main

import (
	"bytes"
	"context"
	"io"
	"io/fs"
	"maps"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"runtime/debug"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"

	"shuntwright/meter"
	"shuntwright/meter/quantity"
)

// TestMain lets the sessions call the program as a process of its own, with
// its exit code.
func TestMain(m *testing.M) {
	shuntwright := func(asks bool) {
		os.Exit(run(context.Background(), env{asks: asks, getenv: os.Getenv}, os.Args[1:], os.Stdin, os.Stdout, os.Stderr))
	}
	testscript.Main(together{m}, map[string]func(){
		"shuntwright":             func() { shuntwright(false) },
		"shuntwright-at-terminal": main,
		"with-desensitized": func() { // one circuit more, and asking where ASKS is set
			meter.Register(desensitizedKind)
			shuntwright(os.Getenv("ASKS") != "")
		},
	})
}

// together runs the tests of calls, some thousand in one process: what a call of
// its own would leave to its end is not collected at every few of them.
type together struct{ *testing.M }

func (m together) Run() int {
	debug.SetGCPercent(400)
	return m.M.Run()
}

// inTurn runs sessions one after the other: what they call runs in this process
// and there is one working folder.
type inTurn struct{ *testing.T }

func (t inTurn) Parallel()     {}
func (t inTurn) Verbose() bool { return testing.Verbose() }
func (t inTurn) Run(name string, session func(testscript.T)) {
	t.T.Run(name, func(t *testing.T) { session(inTurn{t}) })
}

// TestSessions runs what people type, from an empty folder on. Five commands
// come on top of testscript's own; those that call shuntwright do so without a
// process, which "exec shuntwright" starts:
//
//	exits CODE COMMAND…     runs a command that must end with this code
//	refused REGEXP COMMAND… runs a command that must be refused: one line that
//	                        matches on standard error, the way out in a second
//	                        where the call itself is wrong, nothing on standard
//	                        output, exit code 2, and every file as it was
//	piped FILE              what the next such call finds on standard input
//	dos FROM TO             writes a file with CRLF and a byte-order mark
//	ends FILE crlf|lf|bom   how the lines of a file end, what it begins with
func TestSessions(t *testing.T) {
	testscript.RunT(inTurn{t}, testscript.Params{
		Dir:                 "../../testdata/sessions",
		RequireExplicitExec: true,
		RequireUniqueNames:  true,
		ContinueOnError:     true,
		Cmds: map[string]func(*testscript.TestScript, bool, []string){
			"exits": exits, "refused": refused, "piped": piped, "ends": ends, "dos": dos,
		},
	})
}

func exits(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: exits CODE COMMAND…")
	}
	want, err := strconv.Atoi(args[0])
	ts.Check(err)
	if said := say(ts, args[1:]); said.code != want {
		ts.Fatalf("exit code %d, want %d", said.code, want)
	}
}

// say runs a command: shuntwright here, any other as a process.
func say(ts *testscript.TestScript, args []string) said {
	if args[0] != "shuntwright" {
		var code int
		err := ts.Exec(args[0], args[1:]...)
		if ended, is := err.(*exec.ExitError); is {
			code, err = ended.ExitCode(), nil
		}
		ts.Check(err)
		return said{ts.ReadFile("stdout"), ts.ReadFile("stderr"), code}
	}
	home, err := os.Getwd()
	ts.Check(err)
	ts.Check(os.Chdir(ts.MkAbs(".")))
	defer func() { ts.Check(os.Chdir(home)) }()
	var out, errs strings.Builder
	in := strings.NewReader(ts.Getenv(onInput))
	ts.Setenv(onInput, "")
	code := run(context.Background(), env{getenv: ts.Getenv}, args[1:], in, &out, &errs)
	if torn := tornCommand.FindString(out.String()); torn != "" {
		ts.Fatalf("half of a command does something else when it is pasted:\n%s", torn)
	}
	if next := nextCommand.FindStringSubmatch(out.String()); next != nil && sameWords(words(next[1]), args[1:]) {
		ts.Fatalf("what follows is the call itself: %s", next[1])
	}
	io.WriteString(ts.Stdout(), out.String())
	io.WriteString(ts.Stderr(), errs.String())
	return said{out.String(), errs.String(), code}
}

// tornCommand finds a command of ours that goes on in a further line.
var tornCommand = regexp.MustCompile(`(?m)^.*(?:: |^  )shuntwright [^\n]*\n  [^s ][^\n]*`)

// nextCommand finds the command that follows.
var nextCommand = regexp.MustCompile(`(?m)^next:\s+shuntwright (.*)\n\z`)

// sameWords tells that two calls differ at most in the order of their words.
func sameWords(a, b []string) bool {
	return slices.Equal(slices.Sorted(slices.Values(a)), slices.Sorted(slices.Values(b)))
}

// onInput is the variable of a session that holds what the next call reads.
const onInput = "PIPED"

func piped(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 1 {
		ts.Fatalf("usage: piped FILE")
	}
	ts.Setenv(onInput, ts.ReadFile(args[0]))
}

func refused(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: refused REGEXP COMMAND…")
	}
	want, err := regexp.Compile(args[0])
	ts.Check(err)
	before := filesIn(ts, ts.MkAbs("."))
	said := say(ts, args[1:])
	if said.code != exitWrong {
		ts.Fatalf("exit code %d, want %d", said.code, exitWrong)
	}
	if said.out != "" {
		ts.Fatalf("something on standard output:\n%s", said.out)
	}
	first, rest, _ := strings.Cut(said.err, "\n")
	if !want.MatchString(first) {
		ts.Fatalf("standard error:\n%sdoes not match %s", said.err, want)
	}
	if rest != "" && !regexp.MustCompile(`\Asee: shuntwright .*\n\z`).MatchString(rest) {
		ts.Fatalf("more than one line on standard error:\n%s", said.err)
	}
	if after := filesIn(ts, ts.MkAbs(".")); !maps.Equal(before, after) {
		ts.Fatalf("files have changed, from %d to %d:\n%s", len(before), len(after), differing(before, after))
	}
}

// filesIn holds every file below a folder, by path.
func filesIn(ts interface{ Check(error) }, dir string) map[string]string {
	files := map[string]string{}
	ts.Check(filepath.WalkDir(dir, func(path string, entry fs.DirEntry, err error) error {
		if err != nil || entry.IsDir() {
			files[path] += "/"
			return err
		}
		if strings.HasSuffix(path, ".lock") { // who looks whether there is something to undo leaves one, empty
			return nil
		}
		data, err := os.ReadFile(path)
		files[path] = string(data)
		return err
	}))
	return files
}

// differing lists the paths whose content is not the same in both.
func differing(a, b map[string]string) string {
	var paths []string
	for path := range a {
		if other, there := b[path]; !there || other != a[path] {
			paths = append(paths, path)
		}
	}
	for path := range b {
		if _, there := a[path]; !there {
			paths = append(paths, path)
		}
	}
	slices.Sort(paths)
	return strings.Join(paths, "\n")
}

func ends(ts *testscript.TestScript, neg bool, args []string) {
	if len(args) != 2 {
		ts.Fatalf("usage: ends FILE crlf|lf|bom")
	}
	data := []byte(ts.ReadFile(args[0]))
	feeds, pairs := bytes.Count(data, []byte("\n")), bytes.Count(data, []byte("\r\n"))
	is := map[string]bool{
		"crlf": feeds > 0 && feeds == pairs,
		"lf":   feeds > 0 && pairs == 0,
		"bom":  bytes.HasPrefix(data, []byte("\ufeff")),
	}[args[1]]
	if is == neg {
		ts.Fatalf("%s %s: %v", args[0], args[1], is)
	}
}

func dos(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 2 {
		ts.Fatalf("usage: dos FROM TO")
	}
	text := "\ufeff" + strings.ReplaceAll(ts.ReadFile(args[0]), "\n", "\r\n")
	ts.Check(os.WriteFile(ts.MkAbs(args[1]), []byte(text), 0o666))
}

// desensitizedKind is a circuit that the program does not have: a voltage range
// whose movement has a resistor across it, so that it takes half of the
// current. The session new-circuit.txtar drives it through the commands, none
// of which knows more of it than stands here.
var desensitizedKind = meter.Kind{Name: "desensitized", Units: []quantity.Unit{quantity.Volt}, Fields: []meter.Field{{Name: "contact", Unit: quantity.Ohm, Sign: quantity.NotNegative}},
	Does: "with a resistor across the movement", Example: "30 V",
	New: func(s meter.Spec) (meter.Circuit, error) { return desensitized{s.Ranges, s.Given["contact"]}, nil }}

type desensitized struct {
	ranges  []meter.Range
	contact float64
}

func (desensitized) Kind() string            { return "desensitized" }
func (c desensitized) Ranges() []meter.Range { return c.ranges }
func (desensitized) Path(int) meter.Path     { return meter.Path{Lead: []int{0}, Across: []int{1, 2}} }

func (c desensitized) Resistors() []meter.Resistor {
	name := c.ranges[0].Name
	return []meter.Resistor{{Name: "before " + name, Use: meter.Fitted, Ohms: math.NaN(), Key: "before"}, {Name: "beside " + name, Use: meter.Fitted, Ohms: math.NaN(), Key: "beside"},
		{Name: "contact of beside " + name, Use: meter.Contact, Ohms: c.contact}}
}

func (c desensitized) Targets(mv meter.Movement) ([]float64, error) {
	return []float64{c.ranges[0].FullScale/(2*mv.FullScaleAmperes) - mv.Ohms()/2, mv.Ohms() - c.contact}, nil
}
