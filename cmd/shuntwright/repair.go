package main

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"shuntwright/cmd/shuntwright/internal/bench"
	"shuntwright/cmd/shuntwright/internal/calibration"
	"shuntwright/cmd/shuntwright/internal/figures"
	"shuntwright/cmd/shuntwright/internal/repair"
	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/cmd/shuntwright/internal/wording"
	"shuntwright/meter/budget"
	"shuntwright/meter/quantity"
)

// repaired is one remedy in JSON.
type repaired struct {
	Position  string           `json:"position"`
	Action    string           `json:"action"`
	Network   string           `json:"network"`
	Parts     []string         `json:"parts"`
	Ohms      float64          `json:"ohms"`
	Worst     float64          `json:"worst_full_scale_error_percent"`
	Within    *bool            `json:"within_class,omitempty"`
	Ranges    []repairedRange  `json:"ranges"`
	Predicted []predictedPoint `json:"predicted"`
	Command   string           `json:"command,omitempty"`
}

// repairedRange is a range that the remedy moves, as it is then.
type repairedRange struct {
	Range   string       `json:"range"`
	Error   float64      `json:"full_scale_error_percent"`
	Limit   report.Maybe `json:"limit_percent,omitempty"`
	Verdict string       `json:"verdict,omitempty"`
}

// predictedPoint is one reading as it would be with the remedy in place.
type predictedPoint struct {
	Range     string  `json:"range"`
	Reference float64 `json:"reference"`
	Unit      string  `json:"unit"`
	Direction string  `json:"direction,omitempty"`
	Indicated float64 `json:"indicated"`
	Error     float64 `json:"error_percent"`
}

// mending is the search for remedies, and what they are said with.
type mending struct {
	*checked
	call   *call
	search *repair.Search
}

// finding is what the search for remedies needs to know.
func (k *checked) finding() *repair.Finding {
	return &repair.Finding{Setup: k.Setup, Class: k.class, State: k.state, Judged: k.judged, Found: k.found}
}

// repair adds what to do about it, where something is wrong.
func (c *call) repair(k *checked, doc *report.Document, answer *checkAnswer) error {
	if k.good() {
		return nil
	}
	wrong := k.finding()
	all := wrong.Courses()
	if k.found.AsPredicted {
		doc.Closing = append(doc.Closing, k.offTargetWords(all)...)
	} else if k.found.Wrong && len(k.found.Explanations) > 0 && k.found.Explanations[0].Explains {
		doc.Closing = append(doc.Closing, k.allCures()...)
	}
	if len(all) == 0 {
		return nil
	}
	if len(k.Parts) == 0 {
		doc.Closing = append(doc.Closing, fmt.Sprintf("repair: a drawer of measured parts is needed to say what to put there, and there is none at %s; start one with shuntwright drawer add", c.drawerPath()))
		return nil
	}
	ctx, stop := c.limited()
	defer stop()
	r := &mending{checked: k, call: c, search: &repair.Search{Finding: wrong, AtMost: c.options.parts, Within: float64(c.options.within) / 100,
		Derate: c.options.derate, Chosen: wrong.Spare(c.options.ratedOnly)}}
	table, after := repairTable(len(all) > 1), predictedTable()
	for n, one := range all {
		found, err := r.search.Cure(ctx, one)
		if err != nil {
			return err
		}
		r.tell(one, found, n == 0, doc, answer, &table, &after)
	}
	doc.Tables = append(doc.Tables, table, after)
	return nil
}

// tell puts the remedies of one course into the answer; those of the first
// course are said in words too.
func (r *mending) tell(one repair.Course, found [][]repair.Remedy, likeliest bool, doc *report.Document, answer *checkAnswer, table, after *report.Table) {
	for i, p := range one.Patients {
		if len(found[i]) == 0 && likeliest {
			doc.Closing = append(doc.Closing, fmt.Sprintf("repair: the drawer has nothing for %s within %g %% of what it must be, with at most %s", p.Name,
				float64(r.call.options.within), wording.Counted(r.call.options.parts, "part")))
		}
		for n, m := range found[i] {
			done := r.jsonRepaired(one, m)
			answer.Repair = append(answer.Repair, done)
			table.Rows = append(table.Rows, r.repairRow(m))
			if n > 0 || !likeliest {
				continue
			}
			doc.Closing = append(doc.Closing, r.repairWords(m, done)...)
			if !m.Hopeless() {
				r.predictedRows(done, after)
			}
		}
	}
}

// jsonRepaired puts a remedy into the words of the answer.
func (r *mending) jsonRepaired(one repair.Course, m repair.Remedy) repaired {
	out := repaired{Position: m.Name, Action: m.Action, Network: m.Network.String(), Parts: m.Network.IDs(), Ohms: m.Ohms, Worst: m.Worst,
		Ranges: []repairedRange{}, Predicted: []predictedPoint{}}
	if isNumber(r.class) {
		within := m.Grade() < 2
		out.Within = &within
	}
	if m.Position >= 0 {
		out.Command = fmt.Sprintf("shuntwright fit %s %q %q", wording.InShell(r.Path), m.Name, m.Network.String())
	}
	served := r.search.Served(m.Resistor)
	prediction := r.Meter.PredictState(m.State)
	for _, at := range served {
		if isNumber(m.Errors[at]) && isNumber(m.Limits[at]) {
			out.Ranges = append(out.Ranges, repairedRange{Range: r.Ranges[at].Name, Error: m.Errors[at], Limit: report.Some(m.Limits[at]),
				Verdict: bench.Verdict(prediction.Ranges[at], budget.Result{Limit: m.Limits[at]}, r.class)})
		}
	}
	mended := one.Explanation
	mended.State, mended.ZeroFraction, mended.FrictionFraction = m.State, 0, 0
	for _, one := range r.set.Readings {
		if !slices.Contains(served, one.Range) {
			continue
		}
		full := r.Ranges[one.Range]
		shows := mended.Indicated(r.Meter, one.Range, one.Reference, one.Direction)
		if math.IsNaN(shows) || math.IsInf(shows, 0) {
			continue
		}
		out.Predicted = append(out.Predicted, predictedPoint{Range: full.Name, Reference: one.Reference, Unit: string(full.Unit),
			Direction: calibration.DirectionWord(one.Direction), Indicated: shows, Error: 100 * (shows - one.Reference) / full.FullScale})
	}
	return out
}

// repairWords says in sentences what to do.
func (r *mending) repairWords(m repair.Remedy, done repaired) []string {
	todo := fmt.Sprintf("replace %s by %s, %s", m.Name, m.Network, quantity.Format(m.Ohms, quantity.Ohm, 4))
	if m.Action == repair.Trim {
		todo = fmt.Sprintf("leave %s in and wire %s to it: %s, %s", m.Name, strings.Join(m.Network.IDs(), ", "), m.Network, quantity.Format(m.Ohms, quantity.Ohm, 4))
	}
	if m.Hopeless() {
		return []string{fmt.Sprintf("repair: nothing in the drawer, with at most %s, brings every range of %s within the class; nearest, with %s left: %s; allow more --parts, or see shuntwright plan --buy",
			wording.Counted(r.call.options.parts, "part"), m.Name, report.PercentError(m.Worst, math.NaN()).Text, todo)}
	}
	out := []string{"repair: " + todo}
	if m.Action == repair.Trim && isNumber(m.Limit) {
		out = append(out, fmt.Sprintf("%s is what the readings imply: measure it with one end free before trimming it", quantity.Format(m.Now, quantity.Ohm, 4)))
	}
	if done.Command == "" {
		return append(out, fmt.Sprintf("no position of the meter file: write the new value of %s into %s by hand", m.Name, r.Path))
	}
	if old := r.search.LeftBehind(m); len(old) > 0 {
		out = append(out, fmt.Sprintf("the drawer then takes %s for free: measure again what is off, with shuntwright drawer remeasure", wording.List(old)))
	}
	return append(out, "when it is done:\n  "+done.Command) // a line of its own, not to be broken
}

// repairTable shows all remedies; several ways to see what is wrong make them
// depend on what is to blame.
func repairTable(several bool) report.Table {
	first := map[bool]string{true: "if it is", false: "repair"}[several]
	return report.Table{Name: "repair", Columns: []report.Column{
		{Title: first, Key: "position", Flexible: true},
		{Title: "do", Key: "action"},
		{Title: "network", Key: "network", Flexible: true},
		{Title: "value", Key: "ohms", Number: true},
		{Title: "parts", Key: "parts", Number: true},
		{Title: "worst error", Key: "worst_full_scale_error_percent", Number: true},
		{Title: "", Key: "command", Bare: true},
	}}
}

func (r *mending) repairRow(m repair.Remedy) []report.Cell {
	limit := 0.0
	for _, at := range r.search.Served(m.Resistor) {
		limit = max(limit, m.Limits[at])
	}
	worst := report.PercentPair(m.Worst, limit)
	worst.Text = strings.TrimLeft(worst.Text, "+")
	if isNumber(r.class) {
		worst.Mark = []report.Mark{report.Fine, report.Doubtful, report.Wrong}[m.Grade()]
	}
	command := ""
	if m.Position >= 0 {
		command = fmt.Sprintf("shuntwright fit %s %q %q", wording.InShell(r.Path), m.Name, m.Network.String())
	}
	return []report.Cell{report.Words(m.Name), report.Words(m.Action), report.Words(m.Network.String()),
		report.Quantity(m.Ohms, quantity.Ohm, 4), report.Count(m.Parts), worst, report.Words(command)}
}

func predictedTable() report.Table {
	return report.Table{Name: "predicted", Columns: []report.Column{
		{Title: "after the repair", Key: "range", Flexible: true},
		{Title: "reference", Key: "reference", Number: true},
		{Title: "", Key: "unit", Bare: true},
		{Title: "direction", Key: "direction"},
		{Title: "shows", Key: "indicated", Number: true},
		{Title: "error", Key: "error_percent", Number: true},
	}}
}

// predictedRows shows the readings as they would be.
func (r *mending) predictedRows(done repaired, table *report.Table) {
	for _, p := range done.Predicted {
		at, _ := r.Meter.FindRange(p.Range)
		unit := r.Ranges[at].Unit
		table.Rows = append(table.Rows, []report.Cell{report.Words(p.Range), report.Pair(figures.Short(p.Reference, unit), report.Exact(p.Reference)),
			report.Words(p.Unit), report.Words(p.Direction), report.Pair(r.shown(at, p.Indicated), report.Exact(p.Indicated)),
			report.PercentError(p.Error, math.NaN())})
	}
}
