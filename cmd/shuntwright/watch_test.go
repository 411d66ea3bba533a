package main

import (
	"bytes"
	"context"
	"math"
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
	for _, words := range []string{"looking for a plan, ", "worst error so far 1.23 %, none below 0.5 %, ", " s left; Ctrl-C takes the best so far"} {
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
	if words := progressWords(match.Progress{Worst: math.NaN()}, t.Context()); words != "looking for a plan; Ctrl-C takes the best so far" {
		t.Error(words)
	}
}
