package main

import (
	"bytes"
	"context"
	"strings"
	"testing"
)

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
	var out, errs bytes.Buffer
	elsewhere := env{getenv: func(name string) string { return map[string]string{"SHUNTWRIGHT_DRAWER": "instruments.json"}[name] }}
	if code := run(context.Background(), elsewhere, []string{"demo", "--format", "json"}, strings.NewReader(""), &out, &errs); code != want.code || out.String() != want.out {
		t.Errorf("%d: %s%s\nwant %d: %s", code, out.String(), errs.String(), want.code, want.out)
	}
}
