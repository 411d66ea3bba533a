package main

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"shuntwright/cmd/shuntwright/internal/calibration"
	"shuntwright/cmd/shuntwright/internal/figures"
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

// repair adds what to do about it, where something is wrong.
func (c *call) repair(k *checked, doc *report.Document, answer *checkAnswer) error {
	if k.good() {
		return nil
	}
	all := k.courses()
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
	r := &repairer{checked: k, call: c, ctx: ctx, chosen: k.spare(c.options.ratedOnly)}
	table, after := repairTable(len(all) > 1), predictedTable()
	for n, one := range all {
		found, err := r.cure(one)
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
func (r *repairer) tell(one course, found [][]remedy, likeliest bool, doc *report.Document, answer *checkAnswer, table, after *report.Table) {
	for i, p := range one.patients {
		if len(found[i]) == 0 && likeliest {
			doc.Closing = append(doc.Closing, fmt.Sprintf("repair: the drawer has nothing for %s within %g %% of what it must be, with at most %s", p.name,
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
			if !r.hopeless(m) {
				r.predictedRows(done, after)
			}
		}
	}
}

// jsonRepaired puts a remedy into the words of the answer.
func (r *repairer) jsonRepaired(one course, m remedy) repaired {
	out := repaired{Position: m.name, Action: m.action, Network: m.network.String(), Parts: m.network.IDs(), Ohms: m.ohms, Worst: m.worst,
		Ranges: []repairedRange{}, Predicted: []predictedPoint{}}
	if isNumber(r.class) {
		within := m.grade() < 2
		out.Within = &within
	}
	if m.position >= 0 {
		out.Command = fmt.Sprintf("shuntwright fit %s %q %q", wording.InShell(r.Path), m.name, m.network.String())
	}
	served := r.served(m.resistor)
	prediction := r.Meter.PredictState(m.state)
	for _, at := range served {
		if isNumber(m.errors[at]) && isNumber(m.limits[at]) {
			out.Ranges = append(out.Ranges, repairedRange{Range: r.Ranges[at].Name, Error: m.errors[at], Limit: report.Some(m.limits[at]),
				Verdict: verdictOf(prediction.Ranges[at], budget.Result{Limit: m.limits[at]}, r.class)})
		}
	}
	mended := one.explanation
	mended.State, mended.ZeroFraction, mended.FrictionFraction = m.state, 0, 0
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
func (r *repairer) repairWords(m remedy, done repaired) []string {
	todo := fmt.Sprintf("replace %s by %s, %s", m.name, m.network, quantity.Format(m.ohms, quantity.Ohm, 4))
	if m.action == trimIt {
		todo = fmt.Sprintf("leave %s in and wire %s to it: %s, %s", m.name, strings.Join(m.network.IDs(), ", "), m.network, quantity.Format(m.ohms, quantity.Ohm, 4))
	}
	if r.hopeless(m) {
		return []string{fmt.Sprintf("repair: nothing in the drawer, with at most %s, brings every range of %s within the class; nearest, with %s left: %s; allow more --parts, or see shuntwright plan --buy",
			wording.Counted(r.call.options.parts, "part"), m.name, report.PercentError(m.worst, math.NaN()).Text, todo)}
	}
	out := []string{"repair: " + todo}
	if m.action == trimIt && isNumber(m.limit) {
		out = append(out, fmt.Sprintf("%s is what the readings imply: measure it with one end free before trimming it", quantity.Format(m.now, quantity.Ohm, 4)))
	}
	if done.Command == "" {
		return append(out, fmt.Sprintf("no position of the meter file: write the new value of %s into %s by hand", m.name, r.Path))
	}
	if old := r.leftBehind(m); len(old) > 0 {
		out = append(out, fmt.Sprintf("the drawer then takes %s for free: measure again what is off, with shuntwright drawer remeasure", wording.List(old)))
	}
	return append(out, "when it is done:\n  "+done.Command) // a line of its own, not to be broken
}

// hopeless tells that a remedy does not bring its ranges within the class.
func (r *repairer) hopeless(m remedy) bool { return isNumber(r.class) && m.grade() == 2 }

// leftBehind are the parts of the drawer that the meter file has in the
// position now and that the remedy's text does not name.
func (r *repairer) leftBehind(m remedy) []string {
	return slices.DeleteFunc(r.Networks[m.position].IDs(), func(id string) bool { return slices.Contains(m.network.IDs(), id) })
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

func (r *repairer) repairRow(m remedy) []report.Cell {
	limit := 0.0
	for _, at := range r.served(m.resistor) {
		limit = max(limit, m.limits[at])
	}
	worst := report.PercentPair(m.worst, limit)
	worst.Text = strings.TrimLeft(worst.Text, "+")
	if isNumber(r.class) {
		worst.Mark = []report.Mark{report.Fine, report.Doubtful, report.Wrong}[m.grade()]
	}
	command := ""
	if m.position >= 0 {
		command = fmt.Sprintf("shuntwright fit %s %q %q", wording.InShell(r.Path), m.name, m.network.String())
	}
	return []report.Cell{report.Words(m.name), report.Words(m.action), report.Words(m.network.String()),
		report.Quantity(m.ohms, quantity.Ohm, 4), count(m.parts), worst, report.Words(command)}
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
func (r *repairer) predictedRows(done repaired, table *report.Table) {
	for _, p := range done.Predicted {
		at, _ := r.Meter.FindRange(p.Range)
		unit := r.Ranges[at].Unit
		table.Rows = append(table.Rows, []report.Cell{report.Words(p.Range), report.Pair(figures.Short(p.Reference, unit), report.Exact(p.Reference)),
			report.Words(p.Unit), report.Words(p.Direction), report.Pair(r.shown(at, p.Indicated), report.Exact(p.Indicated)),
			report.PercentError(p.Error, math.NaN())})
	}
}
