package main

import (
	"context"
	"fmt"
	"math"
	"time"

	"github.com/jedib0t/go-pretty/v6/progress"

	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/match"
)

// patience is how long a search may take before its progress is shown.
const patience = time.Second

// watch shows the progress of a long search on standard error, if a person
// looks at it; done ends that. On a pipe nothing is written. ctx is what ends
// the search.
func (c *call) watch(ctx context.Context) (step func(match.Progress), done func()) {
	if !c.env.watches {
		return nil, func() {}
	}
	begun := time.Now()
	var writer progress.Writer
	var tracker *progress.Tracker
	ended := make(chan struct{})
	step = func(p match.Progress) {
		if time.Since(begun) < patience {
			return
		}
		if writer == nil {
			writer, tracker = progress.NewWriter(), &progress.Tracker{}
			writer.SetOutputWriter(c.err)
			writer.SetUpdateFrequency(200 * time.Millisecond)
			writer.SetAutoStop(false)
			writer.Style().Visibility = progress.StyleVisibility{} // the words say it
			writer.AppendTracker(tracker)
			go func() { writer.Render(); close(ended) }()
		}
		tracker.UpdateMessage(progressWords(p, ctx))
	}
	done = func() {
		if writer != nil {
			tracker.MarkAsDone()
			writer.Stop()
			<-ended
		}
	}
	return step, done
}

// progressWords say how good the plan is by now, what is proven, and how long
// the search may still take.
func progressWords(p match.Progress, ctx context.Context) string {
	words := "looking for a plan"
	if !math.IsNaN(p.Worst) {
		words = fmt.Sprintf("worst error so far %.3g %%", p.Worst)
	}
	if p.Bound > 0 {
		words += fmt.Sprintf(", none below %.3g %%", report.Below(p.Bound))
	}
	if end, limited := ctx.Deadline(); limited {
		words += fmt.Sprintf(", %.0f s left", max(0, time.Until(end).Seconds()))
	}
	return words + "; Ctrl-C takes the best so far"
}
