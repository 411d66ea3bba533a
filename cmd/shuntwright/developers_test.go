package main

import (
	"go/ast"
	"os"
	"path"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// page is DEVELOPERS.md, with what is in the module to hold it against.
type page struct {
	text   string
	lines  []string
	quoted []string            // what stands between backquotes
	rooms  map[string]bool     // folders with a package
	names  map[string]bool     // Package.Name, Package.Type.Member, and names by themselves
	tests  map[string][]string // by folder, the names of tests, benchmarks and fuzz targets
	env    map[string]bool     // variables that some Go file reads
}

var (
	backquoted = regexp.MustCompile("`([^`\n]+)`")
	variable   = regexp.MustCompile(`SHUNTWRIGHT_[A-Z_]*[A-Z]`)
	testFunc   = regexp.MustCompile(`(?m)^func ((?:Test|Benchmark|Fuzz)\w+)\(`)
)

func readPage(t *testing.T) *page {
	t.Helper()
	data, err := os.ReadFile("../../DEVELOPERS.md")
	if err != nil {
		t.Fatal(err)
	}
	p := &page{text: string(data), lines: strings.Split(strings.TrimSuffix(string(data), "\n"), "\n"),
		rooms: map[string]bool{}, names: map[string]bool{}, tests: map[string][]string{}, env: map[string]bool{}}
	for _, line := range p.lines {
		for _, m := range backquoted.FindAllStringSubmatch(line, -1) {
			p.quoted = append(p.quoted, m[1])
		}
	}
	for _, s := range sources(t) {
		data, err := os.ReadFile(filepath.Join("../..", s.path))
		if err != nil {
			t.Fatal(err)
		}
		for _, name := range variable.FindAllString(string(data), -1) {
			p.env[name] = true
		}
		if s.isTest() {
			for _, m := range testFunc.FindAllStringSubmatch(string(data), -1) {
				p.tests[path.Dir(s.path)] = append(p.tests[path.Dir(s.path)], m[1])
			}
			continue
		}
		p.rooms[path.Dir(s.path)] = true
		p.declare(s)
	}
	return p
}

// declare notes the names of a file.
func (p *page) declare(s source) {
	add := func(name string) { p.names[name], p.names[s.file.Name.Name+"."+name] = true, true }
	ast.Inspect(s.file, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.FuncDecl:
			if add(n.Name.Name); n.Recv != nil {
				add(receiver(n) + "." + n.Name.Name)
			}
			return false
		case *ast.TypeSpec:
			add(n.Name.Name)
		case *ast.Field:
			for _, name := range n.Names {
				add(name.Name)
			}
		case *ast.ValueSpec:
			for _, name := range n.Names {
				add(name.Name)
			}
		}
		return true
	})
}

// TestDevelopersPage: what DEVELOPERS.md says of the code is so: rooms, files,
// names, variables and tests are there, nothing is left out, and it is short.
func TestDevelopersPage(t *testing.T) {
	p := readPage(t)
	if len(p.lines) > 160 {
		t.Errorf("%d lines: a page of 160 can be read in ten minutes", len(p.lines))
	}
	for room := range p.rooms {
		if !slices.Contains(p.quoted, room) {
			t.Errorf("the package %s is not mentioned", room)
		}
	}
	for _, line := range p.lines {
		p.checkFiles(t, line)
	}
	for _, text := range p.quoted {
		if p.checkName(t, text); strings.Contains(text, "go test ") {
			p.checkCommand(t, text)
		}
	}
	for _, name := range variable.FindAllString(p.text, -1) {
		if !p.env[name] {
			t.Errorf("nothing reads %s", name)
		}
	}
	for name := range p.env {
		if name != "SHUNTWRIGHT_DRAWER" && !strings.HasPrefix(name, "SHUNTWRIGHT_TEST") && !strings.Contains(p.text, name) {
			t.Errorf("%s is not mentioned", name)
		}
	}
}

// checkFiles: a file that a line names is there: from the root, or in one of the
// rooms of the line.
func (p *page) checkFiles(t *testing.T, line string) {
	t.Helper()
	var rooms []string
	var files []string
	for _, m := range backquoted.FindAllStringSubmatch(line, -1) {
		switch {
		case p.rooms[m[1]]:
			rooms = append(rooms, m[1])
		case regexp.MustCompile(`^[\w./-]+\.(go|txtar|md|txt)$`).MatchString(m[1]) && !strings.Contains(m[1], "NAME"):
			files = append(files, m[1])
		case strings.HasPrefix(m[1], "cmd/") || strings.HasPrefix(m[1], "testdata") || strings.HasPrefix(m[1], "match/") || strings.HasPrefix(m[1], "meter/") ||
			strings.HasPrefix(m[1], "inventory/") || m[1] == ".ci/run":
			if !exists(filepath.Join("../..", m[1])) && !strings.Contains(m[1], "NAME") {
				t.Errorf("%s is not there", m[1])
			}
		}
	}
	for _, file := range files {
		at := func(room string) bool { return exists(filepath.Join("../..", room, file)) }
		if !at("") && !slices.ContainsFunc(rooms, at) {
			t.Errorf("there is no file %s: %s", file, line)
		}
	}
}

// checkName: what looks like a name of Go's is one.
func (p *page) checkName(t *testing.T, text string) {
	t.Helper()
	name := strings.TrimSuffix(strings.TrimPrefix(text, "*"), "()")
	switch {
	case regexp.MustCompile(`^Test\w+$`).MatchString(name):
		for _, tests := range p.tests {
			if slices.Contains(tests, name) {
				return
			}
		}
		t.Errorf("there is no test %s", name)
	case regexp.MustCompile(`^([a-z]+\.)?[A-Z]\w+(\.[A-Z]\w+)?$`).MatchString(name) && !strings.HasPrefix(name, "SHUNTWRIGHT") && name != "NAME":
		if !p.names[name] {
			t.Errorf("there is nothing called %s", name)
		}
	}
}

// checkCommand: a call of go test names folders that are there, and what it is to
// run is in one of them.
func (p *page) checkCommand(t *testing.T, command string) {
	t.Helper()
	var patterns, folders []string
	words := strings.Fields(strings.ReplaceAll(command, `\|`, "|"))
	for i, word := range words {
		switch {
		case i > 0 && slices.Contains([]string{"-run", "-bench", "-fuzz"}, words[i-1]):
			if pattern := strings.Trim(word, "'"); pattern != "^$" {
				patterns = append(patterns, pattern)
			}
		case strings.HasPrefix(word, "./"):
			folders = append(folders, strings.TrimPrefix(word, "./"))
		}
	}
	for _, folder := range folders {
		if base, all := strings.CutSuffix(folder, "..."); all {
			if !exists(filepath.Join("../..", base)) {
				t.Errorf("%s: no folder %s", command, base)
			}
			continue
		}
		if !p.rooms[folder] {
			t.Errorf("%s: no package %s", command, folder)
		}
		for _, pattern := range patterns {
			for _, one := range strings.Split(pattern, "|") {
				if !slices.ContainsFunc(p.tests[folder], regexp.MustCompile(one).MatchString) {
					t.Errorf("%s: nothing in %s is called %s", command, folder, one)
				}
			}
		}
	}
}

// TestDocumented: every package and every name that others can see says what
// it is.
func TestDocumented(t *testing.T) {
	said := map[string]bool{}
	for _, s := range sources(t) {
		dir := path.Dir(s.path)
		if s.isTest() {
			continue
		}
		said[dir] = said[dir] || s.file.Doc != nil
		for _, decl := range s.file.Decls {
			for _, name := range undocumented(decl) {
				t.Errorf("%s: %s has no doc comment", s.set.Position(decl.Pos()), name)
			}
		}
	}
	for dir, documented := range said {
		if !documented {
			t.Errorf("package %s has no comment", dir)
		}
	}
}

// undocumented lists the exported names of a declaration that have no comment;
// one above a group serves all of it.
func undocumented(decl ast.Decl) []string {
	if f, is := decl.(*ast.FuncDecl); is {
		if f.Doc == nil && f.Name.IsExported() && (f.Recv == nil || ast.IsExported(receiver(f))) && !obvious[f.Name.Name] {
			return []string{f.Name.Name}
		}
		return nil
	}
	var names []string
	group := decl.(*ast.GenDecl)
	for _, spec := range group.Specs {
		switch spec := spec.(type) {
		case *ast.TypeSpec:
			if spec.Name.IsExported() && group.Doc == nil && spec.Doc == nil {
				names = append(names, spec.Name.Name)
			}
		case *ast.ValueSpec:
			for _, name := range spec.Names {
				if name.IsExported() && group.Doc == nil && spec.Doc == nil && spec.Comment == nil {
					names = append(names, name.Name)
				}
			}
		}
	}
	return names
}

// obvious are the methods of the standard library's interfaces, which say what
// they do by their names.
var obvious = map[string]bool{"String": true, "Error": true, "Unwrap": true, "Set": true, "Type": true, "Len": true, "Less": true, "Swap": true}

// receiver is the name of a method's type.
func receiver(f *ast.FuncDecl) string {
	of := f.Recv.List[0].Type
	for {
		switch inner := of.(type) {
		case *ast.StarExpr:
			of = inner.X
		case *ast.IndexExpr:
			of = inner.X
		case *ast.IndexListExpr:
			of = inner.X
		case *ast.Ident:
			return inner.Name
		default:
			return ""
		}
	}
}
