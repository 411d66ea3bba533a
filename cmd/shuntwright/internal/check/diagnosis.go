package check

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/meter/quantity"
	"shuntwright/meter/reading"
)

// Diagnosed is one explanation of the readings in JSON. Its size stands in
// the field of its unit.
type Diagnosed struct {
	Cause            string       `json:"cause"`
	ImpliedOhms      report.Maybe `json:"implied_ohms,omitempty"`
	LimitOhms        report.Maybe `json:"implied_limit_ohms,omitempty"`
	FromOhms         report.Maybe `json:"from_ohms,omitempty"`
	ImpliedAmperes   report.Maybe `json:"implied_amperes,omitempty"`
	LimitAmperes     report.Maybe `json:"implied_limit_amperes,omitempty"`
	FromAmperes      report.Maybe `json:"from_amperes,omitempty"`
	ImpliedDivisions report.Maybe `json:"implied_divisions,omitempty"`
	LimitDivisions   report.Maybe `json:"implied_limit_divisions,omitempty"`
	ImpliedPercent   report.Maybe `json:"implied_percent_of_full_scale,omitempty"` // where no divisions are known
	LimitPercent     report.Maybe `json:"implied_limit_percent_of_full_scale,omitempty"`
	Open             bool         `json:"open,omitempty"`
	Difference       report.Maybe `json:"difference_percent,omitempty"`
	Celsius          report.Maybe `json:"implied_celsius,omitempty"` // at which the coil's copper is that
	SameAs           []string     `json:"same_as"`
	Score            float64      `json:"score"`
	Explains         bool         `json:"explains"`
	Unexplained      []string     `json:"unexplained,omitempty"` // ranges whose readings nothing explains: the rest agrees
	With             []Diagnosed  `json:"with,omitempty"`        // the other causes, where it takes several together
}

// Contradiction is two readings that nothing gives both, counted from 1.
type Contradiction struct {
	First  int `json:"first"`
	Second int `json:"second"`
}

// NextReading is the further reading that separates best what is left.
type NextReading struct {
	Range       string  `json:"range"`
	Reference   float64 `json:"reference"`
	Unit        string  `json:"unit"`
	Predictions []Shows `json:"predictions"`
}

// Shows is what the pointer would show if a cause were right.
type Shows struct {
	Cause     string  `json:"cause"`
	Indicated float64 `json:"indicated"`
}

// unitOf is the unit in which a cause is told.
func (k *Checkup) unitOf(kind reading.Kind) quantity.Unit {
	switch {
	case kind == reading.Resistance:
		return quantity.Ohm
	case kind == reading.FullScale:
		return quantity.Ampere
	case !math.IsNaN(k.Meter.Movement.Divisions):
		return quantity.Division
	}
	return quantity.Percent
}

// jsonDiagnosed puts an explanation into the words of the answer.
func (k *Checkup) jsonDiagnosed(e reading.Explanation) Diagnosed {
	out := k.jsonAmount(e, 0)
	for i := range e.Amounts[1:] {
		out.With = append(out.With, k.jsonAmount(e, i+1))
	}
	out.Unexplained = k.rangeNames(e.Unexplained)
	return out
}

func (k *Checkup) jsonAmount(e reading.Explanation, i int) Diagnosed {
	a := e.Amounts[i]
	out := Diagnosed{Cause: a.Cause.Name, SameAs: append([]string{}, a.SameAs...), Score: e.Score, Explains: e.Explains, Open: a.Cause.Kind == reading.Resistance && math.IsInf(a.Implied, 1)}
	implied, limit, from := report.Some(a.Implied), report.Some(a.Limit), report.Some(a.From)
	switch k.unitOf(a.Cause.Kind) {
	case quantity.Ohm:
		out.ImpliedOhms, out.LimitOhms, out.FromOhms = implied, limit, from
	case quantity.Ampere:
		out.ImpliedAmperes, out.LimitAmperes, out.FromAmperes = implied, limit, from
	case quantity.Division:
		out.ImpliedDivisions, out.LimitDivisions = implied, limit
	default:
		out.ImpliedPercent, out.LimitPercent = implied, limit
	}
	if a.From > 0 {
		out.Difference = report.Some(100 * (a.Implied/a.From - 1))
	}
	if celsius, is := k.coilAt(a); is {
		out.Celsius = report.Some(celsius)
	}
	return out
}

// rangeNames names ranges of the meter.
func (k *Checkup) rangeNames(ranges []int) []string {
	var out []string
	for _, r := range ranges {
		out = append(out, k.Ranges[r].Name)
	}
	return out
}

// causeOf names an explanation.
func causeOf(e reading.Explanation) string { return strings.Join(causesOf(e.Amounts), " and ") }

func causesOf(amounts []reading.Amount) []string {
	var names []string
	for _, a := range amounts {
		names = append(names, a.Cause.Name)
	}
	return names
}

// instead is what an explanation blames and another does not.
func instead(e, other reading.Explanation) []reading.Amount {
	return slices.DeleteFunc(slices.Clone(e.Amounts), func(a reading.Amount) bool {
		return slices.ContainsFunc(other.Amounts, func(b reading.Amount) bool { return a.Cause == b.Cause })
	})
}

// amount is how large a cause is, in words: "25.8 Ω (±0.3 Ω)".
func (k *Checkup) amount(a reading.Amount) string {
	unit := k.unitOf(a.Cause.Kind)
	if math.IsInf(a.Implied, 1) {
		return report.Either(a.Cause.Kind == reading.FullScale, "stuck", "open")
	}
	if a.Cause.Kind == reading.Zero || a.Cause.Kind == reading.Friction {
		return report.Signed(a.Implied, unit, 2)
	}
	return quantity.Format(a.Implied, unit, impliedDigits(a))
}

// impliedDigits are the digits of an implied value that its limit lets stand.
func impliedDigits(a reading.Amount) int { return report.ByLimit(100 * a.Limit / math.Abs(a.Implied)) }

// diagnosis adds what the readings say about the cause, best first, as many
// as top says.
func (k *Checkup) diagnosis(doc *report.Document, answer *Answer) {
	answer.AsPredicted = k.found.AsPredicted
	if !k.found.Wrong || k.found.AsPredicted {
		return
	}
	table := report.Table{Name: "diagnosis", Heading: "what could be to blame", Detail: true, Columns: []report.Column{
		{Title: "cause", Key: "cause", Flexible: true},
		{Title: "implied", Key: "implied", Number: true},
		{Title: "limit", Key: "implied_limit", Number: true},
		{Title: "from", Key: "from", Number: true},
		{Title: "", Key: "unit", Bare: true},
		{Title: "off by", Key: "difference_percent", Number: true},
		{Title: "explains", Key: "score", Number: true},
		{Title: "agrees", Key: "explains"},
		{Title: "", Key: "same_as", Bare: true},
	}}
	// Where several causes are found, what single ones come nearest is no news.
	several := len(k.found.Explanations) > 0 && len(k.found.Explanations[0].Amounts) > 1 && k.found.Explanations[0].Sound()
	for i, e := range k.found.Explanations {
		if i == k.Top || several && !e.Sound() {
			break
		}
		answer.Diagnosis = append(answer.Diagnosis, k.jsonDiagnosed(e))
		for n := range e.Amounts {
			table.Rows = append(table.Rows, k.diagnosisRow(e, n))
		}
	}
	doc.Tables = append(doc.Tables, table)
	doc.BottomLine = append(doc.BottomLine, append(k.diagnosisWords(), k.warmthWords()...)...)
	if a, celsius, is := k.warmth(); is && math.IsNaN(k.celsius) && k.found.Explanations[0].Amounts[0].Cause == a.Cause {
		answer.Celsius = report.Some(celsius)
	}
	answer.Next = k.jsonNext()
	for _, c := range k.found.Contradictions {
		answer.Contradictions = append(answer.Contradictions, Contradiction{c.First + 1, c.Second + 1})
	}
	doc.BottomLine = append(doc.BottomLine, k.nextWords(k.Top)...)
}

// diagnosisRow is one cause of an explanation; that of a second cause says so.
func (k *Checkup) diagnosisRow(e reading.Explanation, n int) []report.Cell {
	a, unit := e.Amounts[n], k.unitOf(e.Amounts[n].Cause.Kind)
	name, share, same := a.Cause.Name, fmt.Sprintf("%.0f %%", math.Floor(100*e.Score+1e-9)), strings.Join(a.SameAs, ", ")
	agree := report.Either(e.Explains, "yes", "no")
	if len(e.Unexplained) > 0 {
		agree = "not " + strings.Join(k.rangeNames(e.Unexplained), ", ")
	}
	if n > 0 {
		name, share, agree = report.Unbroken+report.Unbroken+"and "+name, "", ""
	}
	limit, from := report.None(), report.None()
	if !math.IsNaN(a.Limit) && !math.IsInf(a.Limit, 0) {
		limit = report.Pair("±"+quantity.Format(a.Limit, unit, 2), report.Exact(a.Limit))
	}
	off := report.None()
	if a.From > 0 {
		from = report.Quantity(a.From, unit, 4)
	}
	if a.From > 0 && !math.IsInf(a.Implied, 1) {
		off = report.PercentError(100*(a.Implied/a.From-1), 100*a.Limit/a.From)
	}
	implied := report.Pair(k.amount(a), report.Exact(a.Implied))
	return []report.Cell{report.Words(name), implied, limit, from, report.Words(string(unit)), off,
		report.Pair(share, report.Exact(e.Score)), report.Words(agree), report.Words(same)}
}

// jsonNext is the further reading in the words of the answer.
func (k *Checkup) jsonNext() *NextReading {
	next := k.found.Next
	if next == nil {
		return nil
	}
	out := &NextReading{Range: k.Ranges[next.Range].Name, Reference: next.Reference, Unit: string(k.Ranges[next.Range].Unit), Predictions: []Shows{}}
	for _, p := range next.Predicted {
		out.Predictions = append(out.Predictions, Shows{causeOf(k.found.Explanations[p.Explanation]), p.Indicated})
	}
	return out
}
