package main

import (
	"fmt"
	"math"
	"strings"

	"shuntwright/cmd/shuntwright/internal/figures"
	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/cmd/shuntwright/internal/wording"
	"shuntwright/meter/quantity"
	"shuntwright/meter/reading"
)

// diagnosed is one explanation of the readings in JSON. Its size stands in
// the field of its unit.
type diagnosed struct {
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
	SameAs           []string     `json:"same_as"`
	Score            float64      `json:"score"`
	Explains         bool         `json:"explains"`
	With             *diagnosed   `json:"with,omitempty"`
}

// contradiction is two readings that nothing gives both, counted from 1.
type contradiction struct {
	First  int `json:"first"`
	Second int `json:"second"`
}

// nextReading is the further reading that separates best what is left.
type nextReading struct {
	Range       string              `json:"range"`
	Reference   float64             `json:"reference"`
	Unit        string              `json:"unit"`
	Predictions []predictedByAnyone `json:"predictions"`
}

// predictedByAnyone is what the pointer would show if a cause were right.
type predictedByAnyone struct {
	Cause     string  `json:"cause"`
	Indicated float64 `json:"indicated"`
}

// unitOf is the unit in which a cause is told.
func (k *checked) unitOf(kind reading.Kind) quantity.Unit {
	switch {
	case kind == reading.Resistance:
		return quantity.Ohm
	case kind == reading.FullScale:
		return quantity.Ampere
	case isNumber(k.Meter.Movement.Divisions):
		return quantity.Division
	}
	return quantity.Percent
}

// jsonDiagnosed puts an explanation into the words of the answer.
func (k *checked) jsonDiagnosed(e reading.Explanation) diagnosed {
	out := k.jsonAmount(e, 0)
	if len(e.SameAs) > 0 {
		out.SameAs = e.SameAs
	}
	if len(e.Amounts) > 1 {
		second := k.jsonAmount(e, 1)
		out.With = &second
	}
	return out
}

func (k *checked) jsonAmount(e reading.Explanation, i int) diagnosed {
	a := e.Amounts[i]
	out := diagnosed{Cause: a.Cause.Name, SameAs: []string{}, Score: e.Score, Explains: e.Explains, Open: math.IsInf(a.Implied, 1)}
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
	return out
}

// causeOf names an explanation.
func causeOf(e reading.Explanation) string {
	var names []string
	for _, a := range e.Amounts {
		names = append(names, a.Cause.Name)
	}
	return strings.Join(names, " and ")
}

// amount is how large a cause is, in words: "25.8 Ω (±0.3 Ω)".
func (k *checked) amount(a reading.Amount) string {
	unit := k.unitOf(a.Cause.Kind)
	if math.IsInf(a.Implied, 1) {
		return "open"
	}
	if a.Cause.Kind == reading.Zero || a.Cause.Kind == reading.Friction {
		return figures.Signed(a.Implied, unit, 2)
	}
	return quantity.Format(a.Implied, unit, impliedDigits(a))
}

// impliedDigits are the digits of an implied value that its limit lets stand.
func impliedDigits(a reading.Amount) int { return figures.ByLimit(100 * a.Limit / math.Abs(a.Implied)) }

// diagnosis adds what the readings say about the cause, best first, as many
// as top says.
func (k *checked) diagnosis(top int, doc *report.Document, answer *checkAnswer) {
	answer.AsPredicted = k.found.AsPredicted
	if !k.found.Wrong || k.found.AsPredicted {
		return
	}
	table := report.Table{Name: "diagnosis", Columns: []report.Column{
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
	for i, e := range k.found.Explanations {
		if i == top {
			break
		}
		answer.Diagnosis = append(answer.Diagnosis, k.jsonDiagnosed(e))
		for n := range e.Amounts {
			table.Rows = append(table.Rows, k.diagnosisRow(e, n))
		}
	}
	doc.Tables = append(doc.Tables, table)
	doc.Closing = append(doc.Closing, k.diagnosisWords()...)
	answer.Next = k.jsonNext()
	for _, c := range k.found.Contradictions {
		answer.Contradictions = append(answer.Contradictions, contradiction{c.First + 1, c.Second + 1})
	}
	doc.Closing = append(doc.Closing, k.nextWords(top)...)
}

// diagnosisRow is one cause of an explanation; that of a second cause says so.
func (k *checked) diagnosisRow(e reading.Explanation, n int) []report.Cell {
	a, unit := e.Amounts[n], k.unitOf(e.Amounts[n].Cause.Kind)
	name, share, same := a.Cause.Name, fmt.Sprintf("%.0f %%", math.Floor(100*e.Score+1e-9)), strings.Join(e.SameAs, ", ")
	agree := map[bool]string{true: "yes", false: "no"}[e.Explains]
	if n > 0 {
		name, share, same, agree = unbroken+unbroken+"and "+name, "", "", ""
	}
	limit, from := report.None(), report.None()
	if isNumber(a.Limit) && !math.IsInf(a.Limit, 0) {
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

// diagnosisWords says in sentences what is to blame.
func (k *checked) diagnosisWords() []string {
	if len(k.found.Explanations) == 0 {
		return []string{"no single cause and no two causes together explain these readings"}
	}
	e := k.found.Explanations[0]
	if !e.Explains {
		return []string{fmt.Sprintf("no single cause and no two causes together explain these readings; %s comes nearest", causeOf(e))}
	}
	var said []string
	for _, a := range e.Amounts {
		said = append(said, k.blame(a))
	}
	begins := "to blame: "
	if k.judged.Verdict == reading.Pass {
		begins = "within the class; what is off all the same: "
	}
	out := []string{begins + strings.Join(said, ", and ")}
	if len(e.SameAs) > 0 {
		out = append(out, fmt.Sprintf("these readings cannot tell it from %s", wording.List(e.SameAs)))
	}
	return out
}

// blame is what is wrong with one thing.
func (k *checked) blame(a reading.Amount) string {
	unit := k.unitOf(a.Cause.Kind)
	switch {
	case math.IsInf(a.Implied, 1):
		return a.Cause.Name + " is open, or its leads are"
	case a.Cause.Kind == reading.Zero:
		return fmt.Sprintf("the pointer does not rest on zero: %s off", k.amount(a))
	case a.Cause.Kind == reading.Friction:
		return fmt.Sprintf("friction: the pointer stays behind by %s", quantity.Format(math.Abs(a.Implied), unit, 2))
	case a.From == 0:
		return fmt.Sprintf("%s is %s and should be nothing", a.Cause.Name, k.amount(a))
	}
	return fmt.Sprintf("%s is %s and should be %s", a.Cause.Name, k.amount(a), quantity.Format(a.From, unit, 4))
}

// jsonNext is the further reading in the words of the answer.
func (k *checked) jsonNext() *nextReading {
	next := k.found.Next
	if next == nil {
		return nil
	}
	out := &nextReading{Range: k.Ranges[next.Range].Name, Reference: next.Reference, Unit: string(k.Ranges[next.Range].Unit), Predictions: []predictedByAnyone{}}
	for _, p := range next.Predicted {
		out.Predictions = append(out.Predictions, predictedByAnyone{causeOf(k.found.Explanations[p.Explanation]), p.Indicated})
	}
	return out
}

// nextWords names the further reading, and what each cause predicts for it.
func (k *checked) nextWords(most int) []string {
	next := k.found.Next
	if next == nil {
		return nil
	}
	r := k.Ranges[next.Range]
	var shows []string
	for i, p := range next.Predicted {
		if i == most {
			break
		}
		shows = append(shows, fmt.Sprintf("%s if %s", k.shown(next.Range, p.Indicated), causeOf(k.found.Explanations[p.Explanation])))
	}
	return []string{fmt.Sprintf("to tell them apart, read %s with %s applied: the pointer shows %s", r.Name,
		quantity.Format(next.Reference, r.Unit, 3), strings.Join(shows, ", "))}
}

// shown is what a pointer shows, as finely as it can be read.
func (k *checked) shown(r int, indicated float64) string {
	one := k.Ranges[r]
	fine := one.FullScale / 1000
	digits := quantity.Digits(indicated, math.Pow(10, math.Floor(math.Log10(fine))))
	return quantity.Format(indicated, one.Unit, min(digits, 4))
}

// contradictionWarnings names the readings that nothing gives both.
func (k *checked) contradictionWarnings(answer *checkAnswer) []string {
	var out []string
	for _, c := range k.found.Contradictions {
		out = append(out, fmt.Sprintf("%s and %s contradict each other: no cause and no two causes give both; they are not averaged, take them again",
			k.spelled(c.First), k.spelled(c.Second)))
	}
	return out
}

// spelled is one reading in words.
func (k *checked) spelled(i int) string {
	one := k.set.Typed[i]
	return fmt.Sprintf("reading %d (%s, %s shown at %s)", i+1, k.Ranges[k.set.Readings[i].Range].Name, one.Indicated.Text, one.Reference.Text)
}
