package main

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"path"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"
	"unicode/utf8"
)

// source is one Go file of the module.
type source struct {
	path string // from the root of the module, with slashes
	file *ast.File
	set  *token.FileSet
}

func (s source) isTest() bool { return strings.HasSuffix(s.path, "_test.go") }

// room is the first folder: inventory, match, meter or cmd.
func (s source) room() string { first, _, _ := strings.Cut(s.path, "/"); return first }

// lines counts from the first line of a node to its last.
func (s source) lines(from, to token.Pos) int {
	return s.set.Position(to).Line - s.set.Position(from).Line + 1
}

// sources parses the whole module, once for all tests.
func sources(t *testing.T) []source {
	t.Helper()
	all, err := parseAll()
	if err != nil {
		t.Fatal(err)
	}
	if len(all) < 50 {
		t.Fatalf("only %d Go files found", len(all))
	}
	return all
}

var parseAll = sync.OnceValues(func() ([]source, error) {
	const root = "../.."
	var all []source
	err := filepath.WalkDir(root, func(name string, entry fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if entry.IsDir() && (entry.Name() == "testdata" || strings.HasPrefix(entry.Name(), ".") && name != root) {
			return filepath.SkipDir
		}
		if entry.IsDir() || !strings.HasSuffix(name, ".go") {
			return nil
		}
		within, err := filepath.Rel(root, name)
		if err != nil {
			return err
		}
		s := source{path: filepath.ToSlash(within), set: token.NewFileSet()}
		s.file, err = parser.ParseFile(s.set, name, nil, parser.ParseComments|parser.SkipObjectResolution)
		all = append(all, s)
		return err
	})
	return all, err
})

// TestWhoKnowsWhom: the three libraries never see one another; units and the
// text of networks are what inventory and meter share. match knows numbers
// only: no units, no files, no clock. Of the rooms of the command report alone
// draws tables, and it knows none of the others.
func TestWhoKnowsWhom(t *testing.T) {
	for _, s := range sources(t) {
		for _, spec := range s.file.Imports {
			name, err := strconv.Unquote(spec.Path.Value)
			if err != nil {
				t.Fatal(err)
			}
			if !mayImport(s, name) {
				t.Errorf("%s imports %q", s.set.Position(spec.Pos()), name)
			}
		}
	}
}

// mayImport holds one import against the house rules.
func mayImport(s source, name string) bool {
	below := func(parents ...string) bool {
		return slices.ContainsFunc(parents, func(parent string) bool { return name == parent || strings.HasPrefix(name, parent+"/") })
	}
	const shared, wiring = "shuntwright/meter/quantity", "shuntwright/meter/wiring"
	const within = "cmd/shuntwright/internal/"
	inner, inReport := strings.HasPrefix(s.path, within), strings.HasPrefix(s.path, within+"report/")
	switch {
	case below("github.com/spf13/pflag"):
		return s.room() == "cmd" && !inner
	case below("github.com/jedib0t/go-pretty/v6"):
		return s.room() == "cmd" && (inReport || !inner)
	case below("gonum.org/v1/gonum"):
		return true
	case below("github.com/rogpeppe/go-internal"):
		return s.isTest() || name == "github.com/rogpeppe/go-internal/lockedfile" // file locks, by the design
	case below("shuntwright"):
		return s.room() != "cmd" && below("shuntwright/"+s.room()) || s.room() == "inventory" && (name == shared || name == wiring) ||
			inReport && (name == shared || below("shuntwright/"+within+"report")) || s.room() == "cmd" && !inReport
	case strings.Contains(strings.SplitN(name, "/", 2)[0], "."):
		return false // a module that is not one of ours
	case s.room() == "match" && !s.isTest() && !strings.HasPrefix(s.path, "match/matchtest/"): // which reads for tests
		return !below("os", "time", "net", "io/fs", "syscall", "flag", "log")
	}
	return name != "unsafe" && name != "C"
}

// TestMayImport: the rule refuses what it is there to refuse.
func TestMayImport(t *testing.T) {
	for _, test := range []struct {
		path, name string
		want       bool
	}{
		{"match/plan.go", "shuntwright/match/network", true},
		{"match/plan.go", "shuntwright/meter/quantity", false},
		{"match/plan.go", "shuntwright/meter", false},
		{"match/plan_test.go", "shuntwright/meter", false},
		{"match/plan.go", "time", false},
		{"match/plan.go", "os", false},
		{"match/matchtest/instance.go", "os", true},
		{"match/matchtest/instance.go", "shuntwright/meter", false},
		{"match/plan_test.go", "time", true},
		{"meter/ring.go", "shuntwright/match", false},
		{"meter/ring.go", "shuntwright/meter/wiring", true},
		{"meter/ring.go", "shuntwright/inventory/table", false},
		{"meter/ring.go", "github.com/spf13/pflag", false},
		{"meter/ring.go", "github.com/jedib0t/go-pretty/v6/text", false},
		{"meter/ring.go", "gonum.org/v1/gonum/mat", true},
		{"meter/ring.go", "golang.org/x/term", false},
		{"meter/ring.go", "unsafe", false},
		{"inventory/part.go", "shuntwright/meter/quantity", true},
		{"inventory/part.go", "shuntwright/meter", false},
		{"inventory/part.go", "shuntwright/meter/meterfile", false},
		{"inventory/part.go", "shuntwright/cmd/shuntwright/internal/report", false},
		{"cmd/shuntwright/run.go", "shuntwright/match", true},
		{"cmd/shuntwright/run.go", "github.com/spf13/pflag", true},
		{"cmd/shuntwright/run.go", "github.com/rogpeppe/go-internal/testscript", false},
		{"cmd/shuntwright/run_test.go", "github.com/rogpeppe/go-internal/testscript", true},
		{"cmd/shuntwright/internal/report/text.go", "shuntwright/meter", false},
		{"cmd/shuntwright/internal/report/text.go", "shuntwright/meter/quantity", true},
		{"cmd/shuntwright/internal/report/text.go", "github.com/spf13/pflag", false},
		{"cmd/shuntwright/internal/report/text.go", "github.com/jedib0t/go-pretty/v6/text", true},
		{"cmd/shuntwright/internal/report/text.go", "shuntwright/cmd/shuntwright/internal/asbuilt", false},
		{"cmd/shuntwright/internal/report/sheet/page.go", "shuntwright/cmd/shuntwright/internal/report", true},
		{"cmd/shuntwright/internal/report/sheet/page.go", "shuntwright/meter/wiring", false},
		{"cmd/shuntwright/internal/asbuilt/asbuilt.go", "shuntwright/match", true},
		{"cmd/shuntwright/internal/asbuilt/asbuilt.go", "shuntwright/cmd/shuntwright/internal/report", true},
		{"cmd/shuntwright/internal/asbuilt/asbuilt.go", "github.com/spf13/pflag", false},
		{"cmd/shuntwright/internal/asbuilt/asbuilt.go", "github.com/jedib0t/go-pretty/v6/text", false},
		{"cmd/shuntwright/internal/check/check.go", "shuntwright/cmd/shuntwright/internal/report", true},
		{"cmd/shuntwright/internal/check/check.go", "github.com/spf13/pflag", false},
	} {
		if got := mayImport(source{path: test.path}, test.name); got != test.want {
			t.Errorf("%s imports %q: %v, want %v", test.path, test.name, got, test.want)
		}
	}
}

// TestImportDepth: a chain of imports is short enough to be followed.
func TestImportDepth(t *testing.T) {
	const deepest = 9
	imports := map[string][]string{}
	for _, s := range sources(t) {
		for _, spec := range s.file.Imports {
			if name, ours := strings.CutPrefix(strings.Trim(spec.Path.Value, `"`), "shuntwright/"); ours && !s.isTest() {
				imports[path.Dir(s.path)] = append(imports[path.Dir(s.path)], name)
			}
		}
	}
	var depth func(dir string) int
	depth = func(dir string) (most int) {
		for _, name := range imports[dir] {
			most = max(most, depth(name))
		}
		return most + 1
	}
	if d := depth("cmd/shuntwright"); d > deepest || d < 5 {
		t.Errorf("imports are %d deep, want at most %d", d, deepest)
	}
}

// TestSizes: a file is about one thing and a function fits a screen. The house
// aims at 300 and 45 lines; here is where it ends.
func TestSizes(t *testing.T) {
	const mostLines, mostOfFunction = 300, 70
	for _, s := range sources(t) {
		if n := s.lines(s.file.FileStart, s.file.FileEnd); n > mostLines {
			t.Errorf("%s has %d lines, more than %d", s.path, n, mostLines)
		}
		if !s.isTest() {
			s.checkComments(t)
		}
		ast.Inspect(s.file, func(node ast.Node) bool {
			f, is := node.(*ast.FuncDecl)
			if is && s.lines(f.Pos(), f.End()) > mostOfFunction {
				t.Errorf("%s: %s has %d lines, more than %d", s.path, f.Name.Name, s.lines(f.Pos(), f.End()), mostOfFunction)
			}
			return !is
		})
	}
}

// checkComments: lines that hold nothing but a comment are eighty columns wide,
// and somewhat more where words do not part well.
func (s source) checkComments(t *testing.T) {
	t.Helper()
	const mostColumns, tab = 96, 4
	for _, group := range s.file.Comments {
		for _, c := range group.List {
			at := s.set.Position(c.Pos())
			if n := utf8.RuneCountInString(c.Text) + (at.Column-1)*tab; n > mostColumns && at.Column < 6 && strings.HasPrefix(c.Text, "// ") {
				t.Errorf("%s: a comment of %d columns, more than %d", at, n, mostColumns)
			}
		}
	}
}
