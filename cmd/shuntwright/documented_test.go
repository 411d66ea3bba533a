package main

import (
	"go/ast"
	"path"
	"testing"
)

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
