package main

import (
	"bytes"
	"context"
	"errors"
	"os"
	"strings"
	"testing"
	"time"
)

// TestKeptBeforeARepair: who goes on with readings that were kept before other
// parts went in is told so.
func TestKeptBeforeARepair(t *testing.T) {
	t.Chdir(t.TempDir())
	for _, args := range [][]string{{"demo", "--write", "."}, {"fit", "meter.json"}} {
		if s := program(args...); s.code != exitGood {
			t.Fatal(s.err)
		}
	}
	typed := time.Now()
	if err := errors.Join(os.Rename("readings.csv", "meter.readings.csv"), os.Chtimes("meter.readings.csv", typed, typed)); err != nil {
		t.Fatal(err)
	}
	time.Sleep(2 * clockTick)
	const told = "multiplier 10 V was changed ("
	resumed := func() string {
		var out, errs bytes.Buffer
		run(context.Background(), env{getenv: func(string) string { return "" }, asks: true}, []string{"check", "meter.json"}, strings.NewReader(""), &out, &errs)
		return errs.String()
	}
	if said := resumed(); strings.Contains(said, told) || !strings.Contains(said, "keeps 15 readings") {
		t.Error(said)
	}
	if s := program("fit", "meter.json", "multiplier 10 V", "(R034 + R039) || R056"); s.code != exitGood {
		t.Fatal(s.err)
	}
	if said := resumed(); !strings.Contains(said, told) || !strings.Contains(said, ") since then:\nwhat was read before does not count there\ngo on with them") {
		t.Error(said)
	}
}
