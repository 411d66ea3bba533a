package main

import (
	"fmt"
	"time"

	"github.com/jedib0t/go-pretty/v6/progress"

	"shuntwright/match"
)

// patience is how long a search may take before its progress is shown.
const patience = time.Second

// watch shows the progress of a long search on standard error, if a person
// looks at it; done ends that. On a pipe nothing is written.
func (c *call) watch() (step func(match.Progress), done func()) {
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
			writer, tracker = progress.NewWriter(), &progress.Tracker{Message: "searching"}
			writer.SetOutputWriter(c.err)
			writer.SetUpdateFrequency(200 * time.Millisecond)
			writer.SetAutoStop(false)
			writer.AppendTracker(tracker)
			go func() { writer.Render(); close(ended) }()
		}
		tracker.UpdateMessage(fmt.Sprintf("searching: worst %.4g %%, none below %.4g %%", p.Worst, p.Bound))
		tracker.SetValue(int64(p.Steps))
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
