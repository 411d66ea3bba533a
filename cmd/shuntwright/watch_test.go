package main

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"maps"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"shuntwright/match"
)

// What a person sees while a search goes on speaks of the plan and the time,
// even where the search has nothing new to tell.
func TestProgressSpeaksOfThePlan(t *testing.T) {
	defer func(p, r time.Duration) { patience, refresh = p, r }(patience, refresh)
	patience, refresh = time.Millisecond, time.Millisecond
	var out bytes.Buffer
	c := &call{err: &out, env: env{watches: true}}
	ctx, stop := context.WithTimeout(t.Context(), time.Hour)
	defer stop()
	step, done := c.watch(ctx)
	time.Sleep(50 * time.Millisecond)
	step(match.Progress{Worst: 1.234, Bound: 0.5})
	time.Sleep(50 * time.Millisecond)
	done()
	for _, words := range []string{"looking for a plan, ", "worst error so far 1.23 %, none below 0.5 %, ", " s left; Ctrl-C ends it, and nothing is written"} {
		if !strings.Contains(out.String(), words) {
			t.Errorf("%q lacks %q", out.String(), words)
		}
	}
}

func TestProgressOnAPipe(t *testing.T) {
	c := &call{env: env{}}
	if step, done := c.watch(t.Context()); step != nil {
		done()
		t.Error("told of progress where nobody looks")
	}
	if words := progressWords(match.Progress{Worst: math.NaN()}, t.Context()); words != "looking for a plan; Ctrl-C ends it, and nothing is written" {
		t.Error(words)
	}
}

// manyParts is a drawer of invented parts over five decades.
func manyParts(n int) string {
	rng := rand.New(rand.NewPCG(5, 5))
	text := "id,ohms\n"
	for i := range n {
		text += fmt.Sprintf("R%03d,%.4g\n", i, math.Pow(10, 5*rng.Float64()))
	}
	return text
}

// Where memory cuts the search short, that is said before it, and in the answer.
func TestCutShortIsForeseen(t *testing.T) {
	t.Parallel()
	const meter = "../../testdata/joint/ring-chain-60-11/meter.json"
	drawer := put(t, t.TempDir(), "drawer.csv", manyParts(300))
	call := func(flags ...string) said {
		return program(append([]string{"plan", meter, "--drawer", drawer, "--format", "json", "--time-limit", "10ms", "--resolution", "0"}, flags...)...)
	}
	var answer struct{ Warnings []string }
	s := call("--parts", "4")
	if err := json.Unmarshal([]byte(s.out), &answer); err != nil {
		t.Fatal(err, s)
	}
	lines := strings.Split(strings.TrimSpace(s.err), "\n")
	said, found := strings.CutPrefix(lines[0], "shuntwright plan: ")
	if !found || !strings.Contains(said, "networks may matter for") || !strings.Contains(said, "1 GiB") {
		t.Errorf("standard error: %q", s.err)
	}
	if !slices.Contains(answer.Warnings, said) {
		t.Errorf("warnings %q lack %q", answer.Warnings, said)
	}
	if s := call("--parts", "1"); s.err != "" {
		t.Errorf("one part a position: %q", s.err)
	}
}

// TestInterrupted: Ctrl-C while a search goes on shows the best plan so far and writes
// nothing, neither into the files of fit nor a sheet.
func TestInterrupted(t *testing.T) {
	defer func(p, r time.Duration) { patience, refresh = p, r }(patience, refresh)
	patience, refresh = time.Millisecond, time.Millisecond
	dir := t.TempDir()
	if err := os.CopyFS(dir, os.DirFS("../../testdata/joint/ring-chain-60-11")); err != nil {
		t.Fatal(err)
	}
	put(t, dir, "drawer.csv", manyParts(300))
	before := filesIn(checking{t}, dir)
	for _, test := range []struct{ call, says, writes string }{
		{"plan", "interrupted: this is the best so far", ""},
		{"plan --sheet sheet.html", "", "shuntwright plan: interrupted; nothing was written\n"},
		{"fit", "", "shuntwright fit: interrupted; nothing was written\n"},
	} {
		ctx, stop := context.WithCancel(t.Context())
		looks := &ending{stop: stop}
		var out bytes.Buffer
		args := append(strings.Fields(test.call), filepath.Join(dir, "meter.json"), "--parts", "3", "--resolution", "0", "--time-limit", "1m")
		for i := range args {
			args[i] = strings.Replace(args[i], "sheet.html", filepath.Join(dir, "sheet.html"), 1)
		}
		code := run(ctx, env{watches: true, getenv: func(string) string { return "" }}, args, strings.NewReader(""), &out, looks)
		if code != exitEnded || !strings.Contains(plainText(out.String()), test.says) || (out.Len() > 0) != (test.says != "") || !strings.HasSuffix(looks.String(), test.writes) {
			t.Errorf("%s: exit %d\n%s%s", test.call, code, out.String(), looks.String())
		}
		if after := filesIn(checking{t}, dir); !maps.Equal(before, after) {
			t.Errorf("%s has changed %s", test.call, differing(before, after))
		}
	}
}

// ending is a terminal at which somebody types Ctrl-C when progress is shown.
type ending struct {
	bytes.Buffer
	stop func()
}

func (e *ending) Write(p []byte) (int, error) {
	e.stop()
	return e.Buffer.Write(p)
}

// TestNoTime: a search that ends before it has begun has a good plan all the same.
func TestNoTime(t *testing.T) {
	const folder = "../../testdata/joint/ring-chain-60-11/"
	for _, flag := range []string{"--resolution=0", "--resolution=0.05"} {
		s := program("plan", folder+"meter.json", "--drawer", folder+"drawer.csv", "--time-limit", "1ns", flag)
		const words = "not proven; the time was up (1ns), --time-limit 1m may find a better one or prove it"
		if s.code != exitGood || !strings.Contains(plainText(s.out), words) || strings.Contains(s.out, "NaN") {
			t.Errorf("%s: exit %d\n%s%s", flag, s.code, s.out, s.err)
		}
	}
}
