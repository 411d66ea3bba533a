// Package check says what readings tell of a meter: the verdict, the cause, and
// what in the drawer puts it right.
package check

import (
	"context"
	"fmt"
	"math"
	"slices"

	"shuntwright/cmd/shuntwright/internal/asbuilt"
	"shuntwright/cmd/shuntwright/internal/predict"
	"shuntwright/cmd/shuntwright/internal/readings"
	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/inventory"
	"shuntwright/meter"
	"shuntwright/meter/reading"
)

// Checkup is a meter held against readings.
type Checkup struct {
	*asbuilt.Setup
	asbuilt.Asked
	Since Refitted // what went into the meter since the readings were written down

	set     *readings.Set
	celsius float64 // of the readings; NaN: that for which resistances are stated
	judged  reading.Judgement
	state   meter.State              // by the file
	left    []reading.RangeJudgement // as they were left in order, and not refitted since, at the temperature of the readings
	leftOn  Left
	found   reading.Diagnosis
	mended  []inventory.Measured // parts that the repairs take
	named   []inventory.Measured // those of them that people see without --full
}

// Left is how a meter was left, and which of its positions other parts went into
// since; no Visit: nobody wrote that down.
type Left struct {
	Visit    *readings.Visit
	Refitted []string
}

// Judge holds the readings, of which there must be one, against the class and
// looks for the cause: for what moved since the meter was left in order, as far as
// that is known. celsius is the temperature of coil and resistors at the readings,
// in °C; NaN: that for which they are stated.
func Judge(s *asbuilt.Setup, set *readings.Set, asked asbuilt.Asked, celsius float64, left Left) *Checkup {
	k := &Checkup{Setup: s, Asked: asked, set: set, celsius: celsius, state: s.Meter.State(s.Ohms())}
	k.judged = reading.Judge(s.Ranges, set.Readings, k.Class, k.Simple)
	warm := s.AtTemperature(k.state, celsius)
	k.left, k.leftOn = k.inOrder(left, warm), left
	k.found = reading.Diagnose(reading.Case{Meter: s.Meter, State: warm, Readings: set.Readings, Doubts: s.Doubts(warm), Left: k.stillSo(warm),
		Divisions: s.Meter.Movement.Divisions, Verdict: k.judged.Verdict, Foretold: k.foretold(warm)})
	k.stateCold(warm)
	for _, p := range set.Pegged {
		k.judged.Verdict = k.judged.Verdict.Worse(k.peggedVerdict(p))
	}
	return k
}

// inOrder are the ranges that were left within the class and that no other part
// serves since, as they would have read in the state given.
func (k *Checkup) inOrder(left Left, state meter.State) []reading.RangeJudgement {
	if left.Visit == nil {
		return nil
	}
	then, now := k.Meter.PredictState(k.state).Ranges, k.Meter.PredictState(state).Ranges
	var out []reading.RangeJudgement
	for _, j := range left.Visit.Ranges {
		refitted := slices.ContainsFunc(k.Positions, func(p meter.Position) bool {
			return slices.Contains(left.Refitted, p.Name) && slices.Contains(k.served(p.Resistor), j.Range)
		})
		if j.Verdict == reading.Pass && !refitted {
			warmer := (100 + now[j.Range].ErrorPercent) / (100 + then[j.Range].ErrorPercent)
			j.FullPercent = (100+j.FullPercent)*warmer - 100
			out = append(out, j)
		}
	}
	return out
}

// stillSo are those of the ranges left in order by which the file may be judged: not
// those of which it says what is read rather than how they were left, for it was put
// right since.
func (k *Checkup) stillSo(state meter.State) []reading.RangeJudgement {
	file := k.Meter.PredictState(state).Ranges
	return slices.DeleteFunc(slices.Clone(k.left), func(was reading.RangeJudgement) bool {
		return slices.ContainsFunc(k.judged.Ranges, func(now reading.RangeJudgement) bool {
			says := file[was.Range].ErrorPercent
			moved := math.Abs(says - was.FullPercent)
			return now.Range == was.Range && moved > math.Hypot(now.FullLimit, was.FullLimit) && math.Abs(now.FullPercent-says) < moved/2
		})
	})
}

// leftWords say which ranges have moved since they were left in order, and, of a meter
// that is not good, which have not; nothing where none has.
func (k *Checkup) leftWords() []string {
	var moved, stood []string
	for _, j := range k.judged.Ranges {
		at := slices.IndexFunc(k.left, func(was reading.RangeJudgement) bool { return was.Range == j.Range })
		if at < 0 {
			continue
		}
		by, limit := j.FullPercent-k.left[at].FullPercent, math.Hypot(j.FullLimit, k.left[at].FullLimit)
		if name := k.Ranges[j.Range].Name; math.Abs(by) > limit {
			moved = append(moved, name+" "+report.PercentError(by, limit).Text)
		} else {
			stood = append(stood, name)
		}
	}
	if moved == nil {
		return nil
	}
	said := fmt.Sprintf("since it was left on %s: %s", k.leftOn.Visit.Date, report.List(moved))
	if stood != nil && !k.good() {
		said += "; as it was: " + report.List(stood)
	}
	return []string{said}
}

// foretold tells whether by the files every range that fails is outside the class,
// and on the side on which it reads.
func (k *Checkup) foretold(state meter.State) bool {
	errors, any := make([]float64, len(k.Ranges)), false
	k.Meter.Errors(errors, state)
	for _, j := range k.judged.Ranges {
		if j.Verdict != reading.Fail {
			continue
		}
		if by := errors[j.Range]; !(math.Abs(by) > k.Class && by*j.ErrorPercent > 0) {
			return false
		}
		any = true
	}
	return any
}

// good tells whether the meter passes; one without a class, whether nothing
// is wrong with it.
func (k *Checkup) good() bool {
	if !math.IsNaN(k.Class) {
		return k.judged.Verdict == reading.Pass
	}
	return !k.found.Wrong && len(k.set.Pegged) == 0
}

// Answer is the JSON of check.
type Answer struct {
	Meter          string          `json:"meter"`
	Class          report.Maybe    `json:"class,omitempty"`
	Rule           string          `json:"rule,omitempty"`
	Ranges         []checkedRange  `json:"ranges"`
	all            int             // ranges of the meter, read or not
	Verdict        string          `json:"verdict,omitempty"`
	Readings       []checkedPoint  `json:"readings"`
	Pegged         []pegged        `json:"pegged,omitempty"`
	Diagnosis      []Diagnosed     `json:"diagnosis,omitempty"`
	AsPredicted    bool            `json:"as_predicted,omitempty"`
	Contradictions []Contradiction `json:"contradictions,omitempty"`
	Next           *NextReading    `json:"next_reading,omitempty"`
	Repair         []Repaired      `json:"repair,omitempty"`
	CannotTell     []string        `json:"notes,omitempty"`
	Saved          string          `json:"saved,omitempty"`
	report.Notes

	// Measure is the command that notes what a part measures of which the drawer has
	// nothing to put in the place of all; empty: none is to be measured for that.
	Measure string `json:"-"`
	// Partly tells that the meter passes, if it does, for a part of some scale alone.
	Partly bool `json:"-"`
	// Mixup is the command that notes that another part is in there than the files have,
	// where that would do it; empty: none would.
	Mixup string `json:"-"`
	// Celsius is the temperature, in °C, that would do what a coil is blamed for, to be
	// tried before that is believed; nil: none would, or what it was is known.
	Celsius report.Maybe `json:"-"`
}

// Part says of how much of the meter the answer is: of how many of its ranges,
// and whether one of them passes for a part of its scale; nothing where it is of
// all.
func (a *Answer) Part() string {
	var out string
	if len(a.Ranges) < a.all {
		out = fmt.Sprintf(" on %d of %s", len(a.Ranges), report.Counted(a.all, "range"))
	}
	if a.Partly {
		out += ", not up to full scale"
	}
	return out
}

// The rules of decision, as the answer states them.
const (
	GuardedRule = "pass where error and limit together stay within the class, fail where the error less its limit is outside, else undecided " +
		"(the limit as guard band on both sides: JCGM 106, ILAC-G8)"
	SimpleRule = "the error alone decides, whatever its limit (simple acceptance: ILAC-G8)"
)

// Document shows what was found, and searches the drawer for the repair where
// something is wrong; that search ends where ctx does.
func (k *Checkup) Document(ctx context.Context) (report.Document, *Answer, error) {
	answer := &Answer{Meter: k.Meter.Name, all: len(k.Ranges), Partly: len(k.partly()) > 0, Class: report.Some(k.Class), Verdict: k.judged.Verdict.String(),
		CannotTell: slices.Concat(k.undecidedWords(), k.found.Notes)}
	doc := report.Document{Heading: k.heading(), BottomLine: slices.Concat(k.offWords(), k.leftWords(), k.againWords(), k.peggedWords(answer)), Raised: k.partlyWords(), Good: k.good()}
	doc.Tables = append(doc.Tables, k.rangesTable(answer), k.lineTable(), k.pointsTable(answer))
	said, tables := len(doc.BottomLine), len(doc.Tables)
	k.diagnosis(&doc, answer)
	if err := k.repair(ctx, &doc, answer); err != nil {
		return doc, nil, err
	}
	if old := k.outOfDateWords(); old != nil {
		doc.BottomLine, doc.Details = doc.BottomLine[:said:said], append(doc.BottomLine[said:], doc.Details...)
		for i := range doc.Tables[tables:] {
			doc.Tables[tables+i].Detail = true
		}
		doc.Raised = append(doc.Raised, old...)
	}
	doc.Raised = append(doc.Raised, k.visitWords()...)
	if k.judged.Verdict == reading.Undecided { // the number of digits may be all that leaves it open
		doc.Raised = append(doc.Raised, k.set.Coarse(k.Ranges)...)
	}
	for _, note := range answer.CannotTell {
		doc.Closing = append(doc.Closing, "note: "+note)
	}
	if !math.IsNaN(k.Class) {
		answer.Rule = report.Either(k.Simple, SimpleRule, GuardedRule)
		doc.Details = append(doc.Details, "verdict: "+answer.Rule)
	}
	k.notes(&doc, answer)
	doc.Answer = answer
	return doc, answer, nil
}

// notes puts what is taken for granted, and warned of, into an answer: of what is
// fitted and of all parts that repairs take; people see it without --full of those
// that are named.
func (k *Checkup) notes(doc *report.Document, answer *Answer) {
	of := func(mended []inventory.Measured) report.Notes {
		return report.Notes{Cautions: asbuilt.Cautions(k.Meter), Assumptions: append(k.readingAssumptions(), asbuilt.Assumed(k.Setup, mended...)...),
			Warnings: report.Unique(slices.Concat(doc.Raised, k.readingWarnings(), asbuilt.Warnings(append(k.Used(), mended...))))}
	}
	answer.Notes, doc.Notes = of(k.mended), of(k.named)
	if len(answer.Diagnosis) == 0 && len(answer.Repair) == 0 { // what the parts are trusted to bears on no number shown
		doc.Notes.Assumptions, doc.Notes.Warnings = k.readingAssumptions(), k.readingWarnings()
	}
	for _, a := range answer.Assumptions {
		if !slices.Contains(doc.Notes.Assumptions, a) {
			doc.Details = append(doc.Details, "assumed: "+a)
		}
	}
}

// readingAssumptions says what was taken for granted about the readings.
func (k *Checkup) readingAssumptions() []string {
	var out []string
	if !math.IsNaN(k.celsius) {
		out = append(out, fmt.Sprintf("read at %g °C; causes and repairs are stated at %g °C", k.celsius, k.Meter.Movement.ReferenceCelsius))
	}
	if k.set.Exact {
		out = append(out, "the reference is exact (no reference_limit, no --reference-limit)")
	}
	switch {
	case !k.set.AssumedPointer:
	case !math.IsNaN(k.Meter.Movement.Divisions):
		out = append(out, fmt.Sprintf("the pointer is read to ±%g division (common practice)", readings.ReadDivisions))
	default:
		out = append(out, "the pointer is read to half its last digit (the file has no divisions)")
	}
	return out
}

// readingWarnings are what the readings themselves, and the files, warn of.
func (k *Checkup) readingWarnings() []string {
	return slices.Concat(k.outOfDateWords(), k.visitWords(), k.partlyWords(), k.contradictionWarnings(), k.set.Beyond(k.Ranges), k.set.Coarse(k.Ranges), k.rangeWarnings(), predict.UnratedWords(k.Setup), k.LeadsTaken(), k.Warnings)
}

// visitWords say which visit of a history was judged.
func (k *Checkup) visitWords() []string {
	if k.set.Left == "" {
		return nil
	}
	return []string{k.set.Left}
}

// Visit is the check as the history keeps it; date is YYYY-MM-DD, as one of
// readings.AsFound and readings.AsLeft, or nothing.
func (k *Checkup) Visit(number int, date, as string) *readings.Visit {
	return &readings.Visit{Number: number, Date: date, As: as, Class: k.Class, Verdict: k.judged.Verdict.String(), Set: *k.set}
}
