package check

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strings"

	"shuntwright/cmd/shuntwright/internal/asbuilt"
	"shuntwright/cmd/shuntwright/internal/predict"
	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/meter/budget"
	"shuntwright/meter/quantity"
)

// Repaired is one remedy in JSON.
type Repaired struct {
	Position  string           `json:"position"`
	Action    string           `json:"action"`
	Network   string           `json:"network"`
	Parts     []string         `json:"parts"`
	Added     []string         `json:"added"`            // those of them that are not there yet
	Pieces    []predict.Piece  `json:"pieces,omitempty"` // these, with what is written on them and where they lie
	Ohms      float64          `json:"ohms"`
	Worst     float64          `json:"worst_full_scale_error_percent"`
	Limit     report.Maybe     `json:"limit_percent,omitempty"` // of the range that is worst
	Within    *bool            `json:"within_class,omitempty"`
	Ranges    []repairedRange  `json:"ranges"`
	Predicted []predictedPoint `json:"predicted"`
	First     []string         `json:"measure_first,omitempty"` // commands that record what nobody has measured
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
	Range     string       `json:"range"`
	Reference float64      `json:"reference"`
	Unit      string       `json:"unit"`
	Direction string       `json:"direction,omitempty"`
	Indicated float64      `json:"indicated"`
	Error     float64      `json:"error_percent"`
	Limit     report.Maybe `json:"limit_percent,omitempty"`
}

// repair adds what to do about it, where something is wrong.
func (k *Checkup) repair(ctx context.Context, doc *report.Document, answer *Answer) error {
	if k.good() {
		return nil
	}
	all := k.hypotheses()
	doc.BottomLine = append(doc.BottomLine, append(k.offTargetWords(all), k.restWords(all)...)...)
	if _, sound := k.likeliest(); sound {
		now, later := k.allCures()
		doc.BottomLine, doc.Details = append(doc.BottomLine, now...), append(doc.Details, later...)
	}
	if len(all) == 0 {
		return nil
	}
	if len(k.Parts) == 0 {
		doc.BottomLine = append(doc.BottomLine, fmt.Sprintf("repair: a drawer of measured parts is needed to say what to put there, and there is none at %s; start one with shuntwright drawer add", k.Drawer.Path()))
		return nil
	}
	mixed, taken := k.mixupWords(all[0], answer)
	doc.BottomLine = append(doc.BottomLine, mixed...)
	r := &search{Checkup: k, chosen: slices.DeleteFunc(k.spare(k.RatedOnly), func(i int) bool { return slices.Contains(taken, k.Parts[i].ID) })}
	table := repairTable(len(all) > 1)
	var steps []repairStep
	for n, one := range all {
		found, err := r.cure(ctx, one)
		if err != nil {
			return err
		}
		steps = append(steps, r.tell(one, found, n == 0, doc, answer, &table)...)
	}
	doc.Raised = append(doc.Raised, unratedWords(r.taken)...)
	doc.Tables = append(doc.Tables, table, r.predictedTable(steps))
	return nil
}

// repairStep is a remedy that is to be carried out, and how it is told.
type repairStep struct {
	remedy
	told Repaired
}

// tell puts the remedies of one hypothesis into the answer, each that another has
// not put there; those of the first hypothesis are said in words too, and are the
// steps to take.
func (r *search) tell(one hypothesis, found [][]remedy, likeliest bool, doc *report.Document, answer *Answer, table *report.Table) (steps []repairStep) {
	for i, p := range one.suspects {
		if len(found[i]) == 0 && likeliest {
			doc.BottomLine = append(doc.BottomLine, r.nothingWords(p))
			if ids := p.stays.IDs(); answer.Measure == "" && p.byReadings() && len(ids) > 1 {
				answer.Measure = "shuntwright drawer remeasure " + ids[0]
			}
		}
		for n, m := range found[i] {
			done := r.jsonRepaired(one, m)
			if slices.ContainsFunc(answer.Repair, func(other Repaired) bool {
				return other.Position == done.Position && other.Action == done.Action && other.Network == done.Network
			}) {
				continue
			}
			answer.Repair = append(answer.Repair, done)
			table.Rows = append(table.Rows, r.repairRow(m, done))
			for _, id := range done.Added {
				r.mended = append(r.mended, r.Measured[r.Index[id]])
				if n == 0 && likeliest || !table.Detail {
					r.named = append(r.named, r.Measured[r.Index[id]])
				}
			}
			if n > 0 || !likeliest {
				continue
			}
			r.taken = append(r.taken, done.Pieces...)
			words := r.repairWords(m, done)
			if r.tellApart() && r.oneOfSeveral(p.name) {
				words[0] = strings.Replace(words[0], "repair: ", "repair, if it is "+p.name+": ", 1)
				last := len(words)
				if m.position < 0 && !m.hopeless() { // once it is measured, the file takes it for what it is to be
					last--
				}
				doc.Details, words = append(doc.Details, words[1:last]...), append(words[:1:1], words[last:]...)
			}
			doc.BottomLine = slices.Concat(doc.BottomLine, r.openWords(m), words)
			if !m.hopeless() {
				steps = append(steps, repairStep{m, done})
			}
		}
	}
	return steps
}

// jsonRepaired puts a remedy into the words of the answer.
func (r *search) jsonRepaired(one hypothesis, m remedy) Repaired {
	out := Repaired{Position: m.name, Action: m.action, Network: m.network.String(), Parts: append([]string{}, m.network.IDs()...), Added: append([]string{}, m.added()...), Ohms: m.ohms, Worst: math.Abs(m.worst),
		Limit: report.Some(m.limit95), First: measureFirst(m), Ranges: []repairedRange{}, Predicted: []predictedPoint{}}
	prediction := r.Meter.PredictState(m.state)
	if m.position >= 0 {
		f := predict.Forecast{Setup: m.then}
		for _, piece := range f.Pieces(m.position, prediction.Positions[m.position]) {
			if slices.Contains(out.Added, piece.Part) {
				out.Pieces = append(out.Pieces, piece)
			}
		}
	} else {
		for _, id := range out.Added {
			out.Pieces = append(out.Pieces, predict.PieceOf(r.Bench, id, asbuilt.Leaf{Name: id, Measured: r.Measured[r.Index[id]]}))
		}
		out.Command = r.changeTo(m.resistor, report.Spelled(m.ohms, 4))
	}
	if !math.IsNaN(r.Class) {
		within := m.grade() < 2
		out.Within = &within
	}
	if m.position >= 0 && !(m.action == leave && len(out.Parts) > 0) {
		out.Command = fmt.Sprintf("shuntwright fit %s %s %s", report.InShell(r.Path), report.InShell(m.name), report.InShell(m.network.String()))
	}
	served := r.served(m.resistor)
	for _, at := range served {
		if !math.IsNaN(m.errors[at]) && !math.IsNaN(m.limits[at]) {
			out.Ranges = append(out.Ranges, repairedRange{Range: r.Ranges[at].Name, Error: m.errors[at], Limit: report.Some(m.limits[at]),
				Verdict: asbuilt.Verdict(prediction.Ranges[at], budget.Result{Limit: m.limits[at]}, r.Class)})
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
			Direction: one.Direction.String(), Indicated: shows, Error: 100 * (shows - one.Reference) / full.FullScale,
			Limit: report.Some(m.limits[one.Range] * one.Reference / full.FullScale)})
	}
	return out
}

// repairTable shows all remedies; several ways to see what is wrong make them
// depend on what is to blame.
func repairTable(several bool) report.Table {
	first := report.Either(several, "if it is", "repair")
	return report.Table{Name: "repair", Heading: "the ways to put it right", Detail: !several, Columns: []report.Column{
		{Title: first, Key: "position", Flexible: true},
		{Title: "do", Key: "action"},
		{Title: "network", Key: "network", Flexible: true},
		{Title: "value", Key: "ohms", Number: true},
		{Title: "parts", Key: "parts", Number: true},
		{Title: "worst error", Key: "worst_full_scale_error_percent", Number: true},
		{Title: "", Key: "limit_percent", Number: true, Bare: true},
		{Title: "", Key: "command", Bare: true},
	}}
}

func (r *search) repairRow(m remedy, done Repaired) []report.Cell {
	worst := report.PercentPair(math.Abs(m.worst), m.limit95)
	worst.Text = unsigned(worst.Text)
	if !math.IsNaN(r.Class) {
		worst.Mark = []report.Mark{report.Fine, report.Doubtful, report.Wrong}[m.grade()]
	}
	return []report.Cell{report.Words(m.name), report.Words(m.action), report.Words(m.network.String()),
		report.Quantity(m.ohms, quantity.Ohm, 4), report.Count(m.parts), worst, report.PercentLimit(m.limit95), report.Words(done.Command)}
}

// predictedTable shows the readings as they would be when all steps are done,
// each range once. Of several steps it names those that move a range.
func (r *search) predictedTable(steps []repairStep) report.Table {
	several := len(steps) > 1
	title := report.Either(several, "range", "after the repair")
	table := report.Table{Name: "predicted", Detail: true, Columns: []report.Column{
		{Title: "after the repair of", Key: "repair", Flexible: true, Bare: !several},
		{Title: title, Key: "range", Flexible: true},
		{Title: "reference", Key: "reference", Number: true},
		{Title: "", Key: "unit", Bare: true},
		{Title: "direction", Key: "direction"},
		{Title: "shows", Key: "indicated", Number: true},
		{Title: "error", Key: "error_percent", Number: true},
		{Title: "", Key: "limit_percent", Number: true, Bare: true},
	}}
	for n, one := range steps {
		for _, p := range one.told.Predicted {
			at, _ := r.Meter.FindRange(p.Range)
			moves := func(s repairStep) bool { return slices.Contains(r.served(s.resistor), at) }
			if slices.ContainsFunc(steps[n+1:], moves) {
				continue // a later step has the last word
			}
			var names []string
			for _, s := range steps[:n+1] {
				if moves(s) {
					names = append(names, s.name)
				}
			}
			table.Rows = append(table.Rows, append([]report.Cell{report.Words(strings.Join(names, " and "))}, r.predictedRow(at, p)...))
		}
	}
	return table
}

// predictedRow is one reading as it would be.
func (r *search) predictedRow(at int, p predictedPoint) []report.Cell {
	unit, limit := r.Ranges[at].Unit, math.NaN()
	if p.Limit != nil {
		limit = *p.Limit
	}
	return []report.Cell{report.Words(p.Range), report.Pair(report.Short(p.Reference, unit), report.Exact(p.Reference)),
		report.Words(p.Unit), report.Words(p.Direction), report.Pair(r.shownWithin(at, p.Indicated, limit), report.Exact(p.Indicated)),
		report.PercentPair(p.Error, limit), report.PercentLimit(limit)}
}

// shownWithin is what a pointer shows, as finely as it can be read and as its
// limit, in percent of full scale, lets stand; NaN: nothing limits it.
func (k *Checkup) shownWithin(at int, indicated, limit float64) string {
	one := k.Ranges[at]
	fine := one.FullScale / 1000
	if limit > 0 {
		fine = max(fine, one.FullScale*limit/100)
	}
	step := math.Pow(10, math.Floor(math.Log10(fine)))
	return quantity.Format(indicated, one.Unit, min(quantity.Digits(indicated, step), 4))
}
