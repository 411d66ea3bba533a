package check

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"shuntwright/cmd/shuntwright/internal/asbuilt"
	"shuntwright/cmd/shuntwright/internal/check/repair"
	"shuntwright/cmd/shuntwright/internal/predict"
	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/meter/quantity"
)

// repairWords says in sentences what to do.
func (r *mending) repairWords(m repair.Remedy, done Repaired) []string {
	if m.Hopeless() {
		off := 0.0 // by the readings
		for _, j := range r.judged.Ranges {
			if slices.Contains(r.search.Served(m.Resistor), j.Range) {
				off = max(off, math.Abs(j.ErrorPercent))
			}
		}
		if m.Worst > off/2 {
			return []string{fmt.Sprintf("repair: nothing in the drawer helps, with at most %s: %s must be %s; allow more --parts, or unfit it and see shuntwright plan --buy",
				report.Counted(r.AtMost, "part"), m.Name, quantity.Format(m.From, quantity.Ohm, 4))}
		}
		return []string{fmt.Sprintf("repair: nothing in the drawer, with at most %s, brings every range of %s within the class; nearest, with %s left: %s; allow more --parts, or see shuntwright plan --buy",
			report.Counted(r.AtMost, "part"), m.Name, report.PercentError(r.left(m), math.NaN()).Text, r.todo(m, done))}
	}
	out := append([]string{"repair: " + r.todo(m, done)}, placeWords(done.Pieces)...)
	if far := r.search.Unsteady(m.Patient); len(far) > 0 {
		out = append(out, fmt.Sprintf("carbon that has drifted goes on: %s; %s", report.List(far),
			report.Either(m.Action == repair.Replace, "so it is replaced, though a trim may do today", "the drawer has nothing to replace it by, so look for a part")))
	}
	out = append(out, r.unsure(m)...)
	out = append(out, r.measureWords(m, done)...)
	if m.Position < 0 {
		return append(out, fmt.Sprintf("no position of the meter file: write the new value of %s into %s by hand", m.Name, r.Path))
	}
	if old := r.search.LeftBehind(m); len(old) > 0 && m.ByReadings() {
		out = append(out, fmt.Sprintf("the drawer then takes %s for free: measure again what is off, with shuntwright drawer remeasure", report.List(old)))
	}
	if done.Command == "" {
		return out
	}
	return append(out, "when it is done:\n  "+done.Command) // a line of its own, not to be broken
}

// placeWords say where the parts lie that a remedy takes, with what is written on
// them; nothing where none has a place.
func placeWords(pieces []report.Piece) []string {
	var out []string
	placed := false
	for _, piece := range pieces {
		out, placed = append(out, predict.SolderingWords(piece)), placed || piece.Place != ""
	}
	if !placed {
		return nil
	}
	return []string{"parts: " + strings.Join(out, "; ")}
}

// mixupWords say which parts may have been mixed up with those that the files have
// in place, and name those that may be there: nothing else can count on them.
func (k *Checkup) mixupWords(wrong *repair.Finding, one repair.Course) (said, taken []string) {
	for _, p := range one.Patients {
		for _, m := range wrong.Mixups(p) {
			taken = append(taken, m.In)
			said = append(said, fmt.Sprintf("%s in the stead of %s would make %s of %s: look whether it is in there",
				m.In, m.For, quantity.Format(m.Ohms, quantity.Ohm, 4), p.Name), fmt.Sprintf("if so, note it and check again:\n  shuntwright fit %s %s %s", report.InShell(k.Path), report.InShell(p.Name), report.InShell(m.Network.String())))
		}
	}
	return said, taken
}

// unratedVolts is from where on nobody should put in a part without knowing what
// it stands: small ones stand 150 to 350 V (common practice).
const unratedVolts = 50

// unratedWords warn of parts of which nobody knows the volts that they stand.
func unratedWords(pieces []report.Piece) []string {
	var out []string
	for _, p := range pieces {
		if p.Volts != nil && p.RatedVolts == nil && *p.Volts > unratedVolts {
			out = append(out, fmt.Sprintf("%s (%s)", p.Part, quantity.Format(*p.Volts, quantity.Volt, 2)))
		}
	}
	if out == nil {
		return nil
	}
	return []string{fmt.Sprintf("nobody knows what volts %s; --rated-only leaves %s out", report.List(out)+report.Either(len(out) == 1, " stands", " stand"), report.Either(len(out) == 1, "it", "them"))}
}

// left is the error that a remedy leaves on the range where it is largest, with
// its sign.
func (r *mending) left(m repair.Remedy) float64 {
	for _, at := range r.search.Served(m.Resistor) {
		if math.Abs(m.Errors[at]) == m.Worst {
			return m.Errors[at]
		}
	}
	return m.Worst
}

// todo says what is to be done, and what comes first where the lead may kill.
func (r *mending) todo(m repair.Remedy, done Repaired) string {
	is, first := m.Network.String()+", "+quantity.Format(m.Ohms, quantity.Ohm, 4), ""
	for _, at := range r.search.Served(m.Resistor) {
		if asbuilt.Live(r.Ranges[at]) {
			first = "; first unplug the set and discharge it"
		}
	}
	switch m.Action {
	case repair.Trim:
		return fmt.Sprintf("leave %s in and wire %s to it: %s%s", m.Name, report.List(done.Added), is, first)
	case repair.Leave:
		return fmt.Sprintf("leave %s as it is: with %s its ranges are within the class", m.Name, nowWords(m.Patient))
	}
	return fmt.Sprintf("replace %s by %s%s", m.Name, is, first)
}

// unsure says that the remedy is within the class only by its error.
func (r *mending) unsure(m repair.Remedy) []string {
	if m.Grade() != 1 {
		return nil
	}
	said := fmt.Sprintf("that may still be outside the class of %g %%: error and limit together come to %.2g %%", r.Class, m.Sure)
	if math.IsNaN(m.Sure) {
		said = fmt.Sprintf("that may still be outside the class of %g %%: how sure it is is not known", r.Class)
	}
	var marked []string
	for _, id := range m.Added() {
		if r.Measured[r.Index[id]].Marked {
			marked = append(marked, id)
		}
	}
	if len(marked) > 0 {
		said += fmt.Sprintf("; %s never measured: measure before it goes in, with shuntwright drawer remeasure", report.List(marked)+report.Either(len(marked) == 1, " was", " were"))
	}
	return []string{said}
}

// measureFirst are the commands that record what the readings alone say of the
// parts that stay.
func measureFirst(m repair.Remedy) []string {
	var out []string
	if m.ByReadings() {
		for _, id := range m.Stays() {
			out = append(out, "shuntwright drawer remeasure "+id)
		}
	}
	return out
}

// measureWords says that nobody has measured what stays, and what to do.
func (r *mending) measureWords(m repair.Remedy, done Repaired) []string {
	if m.Action == repair.Replace || !m.ByReadings() {
		return nil
	}
	about := fmt.Sprintf("%s (±%s)", nowWords(m.Patient), quantity.Format(m.Limit, quantity.Ohm, 2))
	if len(done.First) == 0 {
		return []string{fmt.Sprintf("%s is from the readings, and the meter file would take it for measured: measure %s with one end lifted, and write what it is in its place", about, m.Name)}
	}
	paper, err := r.search.OnPaper(m.Patient)
	if err != nil {
		paper = m.From
	}
	leaves := m.Staying().Leaves()
	measure := "measure " + report.Either(len(leaves) == 1, "it", "each") + " with one end lifted"
	if m.Action == repair.Trim {
		measure += " before anything is soldered to it"
	}
	if len(leaves) > len(done.First) { // resistances that are in no drawer
		measure += ", and write into the network what those are that are no parts of the drawer"
	}
	return []string{
		fmt.Sprintf("%s is about %s by the readings, and %s by the files: %s", m.Staying(), about, quantity.Format(paper, quantity.Ohm, 4), measure),
		"then type what it is:\n  " + strings.Join(done.First, "\n  ")}
}

// nowWords is what is there now, with the digits that its limit lets stand.
func nowWords(p repair.Patient) string {
	return quantity.Format(p.Now, quantity.Ohm, report.ByLimit(100*p.Limit/p.Now))
}
