package main

import (
	"bytes"
	"context"
	"io/fs"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"

	"shuntwright/meter"
)

// TestMain lets the sessions call the program as a process of its own, with
// its exit code.
func TestMain(m *testing.M) {
	shuntwright := func(asks bool) {
		os.Exit(run(context.Background(), env{asks: asks, getenv: os.Getenv}, os.Args[1:], os.Stdin, os.Stdout, os.Stderr))
	}
	testscript.Main(m, map[string]func(){
		"shuntwright":             func() { shuntwright(false) },
		"shuntwright-at-terminal": main,
		"with-desensitized": func() { // one circuit more, and asking where ASKS is set
			meter.Register(desensitizedKind)
			shuntwright(os.Getenv("ASKS") != "")
		},
	})
}

// TestSessions runs what people type, from an empty folder on. Four commands
// come on top of testscript's own:
//
//	exits CODE COMMAND…     runs a command that must end with this code
//	refused REGEXP COMMAND… runs a command that must be refused: one line that
//	                        matches on standard error, the way out in a second
//	                        where the call itself is wrong, nothing on standard
//	                        output, exit code 2, and every file as it was
//	dos FROM TO             writes a file with CRLF and a byte-order mark
//	ends FILE crlf|lf|bom   how the lines of a file end, what it begins with
func TestSessions(t *testing.T) {
	testscript.Run(t, testscript.Params{
		Dir:                 "../../testdata/sessions",
		RequireExplicitExec: true,
		RequireUniqueNames:  true,
		ContinueOnError:     true,
		Cmds: map[string]func(*testscript.TestScript, bool, []string){
			"exits": exits, "refused": refused, "ends": ends, "dos": dos,
		},
	})
}

func exits(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: exits CODE COMMAND…")
	}
	want, err := strconv.Atoi(args[0])
	ts.Check(err)
	if code := codeOf(ts, args[1:]); code != want {
		ts.Fatalf("exit code %d, want %d", code, want)
	}
}

// codeOf runs a command and returns its exit code.
func codeOf(ts *testscript.TestScript, args []string) int {
	err := ts.Exec(args[0], args[1:]...)
	if ended, is := err.(*exec.ExitError); is {
		return ended.ExitCode()
	}
	ts.Check(err)
	return 0
}

func refused(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: refused REGEXP COMMAND…")
	}
	want, err := regexp.Compile(args[0])
	ts.Check(err)
	before := filesIn(ts, ts.MkAbs("."))
	code := codeOf(ts, args[1:])
	if code != exitWrong {
		ts.Fatalf("exit code %d, want %d", code, exitWrong)
	}
	if out := ts.ReadFile("stdout"); out != "" {
		ts.Fatalf("something on standard output:\n%s", out)
	}
	said := ts.ReadFile("stderr")
	first, rest, _ := strings.Cut(said, "\n")
	if !want.MatchString(first) {
		ts.Fatalf("standard error:\n%sdoes not match %s", said, want)
	}
	if rest != "" && !regexp.MustCompile(`\Asee: shuntwright .*\n\z`).MatchString(rest) {
		ts.Fatalf("more than one line on standard error:\n%s", said)
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
