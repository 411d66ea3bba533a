package main

import (
	"context"
	"fmt"
	"math"
	"sync"
	"time"

	"github.com/jedib0t/go-pretty/v6/progress"

	"shuntwright/cmd/shuntwright/internal/plan"
	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/match"
	"shuntwright/match/solve"
)

// patience is how long a search may take before its progress is shown, and
// refresh how often that is written anew. Tests make them small.
var (
	patience = time.Second
	refresh  = 200 * time.Millisecond
)

// watch shows the progress of a long search on standard error, if a person
// looks at it; done ends that. On a pipe nothing is written. ctx is what ends
// the search.
func (c *call) watch(ctx context.Context) (step func(match.Progress), done func()) {
	if !c.env.watches {
		return nil, func() {}
	}
	var lock sync.Mutex
	last := match.Progress{Worst: math.NaN()}
	step = func(p match.Progress) {
		lock.Lock()
		defer lock.Unlock()
		last = p
	}
	words := func() string {
		lock.Lock()
		defer lock.Unlock()
		return progressWords(last, ctx)
	}
	stop, ended := make(chan struct{}), make(chan struct{})
	go func() {
		defer close(ended)
		select {
		case <-stop:
		case <-time.After(patience):
			c.show(words, stop)
		}
	}()
	return step, func() { close(stop); <-ended }
}

// show writes words over and over until it is to stop.
func (c *call) show(words func() string, stop chan struct{}) {
	writer, tracker := progress.NewWriter(), &progress.Tracker{Message: words()}
	writer.SetOutputWriter(c.err)
	writer.SetUpdateFrequency(refresh)
	writer.SetAutoStop(false)
	writer.Style().Visibility = progress.StyleVisibility{} // the words say it
	writer.AppendTracker(tracker)
	rendered := make(chan struct{})
	go func() { writer.Render(); close(rendered) }()
	for {
		select {
		case <-stop:
			tracker.MarkAsDone()
			writer.Stop()
			<-rendered
			return
		case <-time.After(refresh):
			tracker.UpdateMessage(words())
		}
	}
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
	return words + "; Ctrl-C ends it, and nothing is written"
}

// foresee tells on standard error, before the search begins, where it is likely
// to be cut short so that memory stays below 1 GiB; the answer will say so too.
func (c *call) foresee(ctx context.Context, p *plan.Planner, q *plan.Question) (warning string, err error) {
	f, err := solve.Foresee(ctx, q.Stock, q.Problem)
	if err != nil || !f.Exceeds() {
		return "", err
	}
	warning = fmt.Sprintf("some %.0e networks may matter for %s and %d are held so that memory stays below 1 GiB: "+
		"the plan may miss the best by a little; fewer --parts or a narrower --within make it sure",
		f.Networks, p.Positions[q.Open[f.Position]].Name, f.Held)
	_, err = fmt.Fprintf(c.err, "shuntwright %s: %s\n", c.command.name, warning)
	return warning, err
}
