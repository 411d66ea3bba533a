package check

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"shuntwright/cmd/shuntwright/internal/asbuilt"
	"shuntwright/cmd/shuntwright/internal/predict"
	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/meter/quantity"
	"shuntwright/meter/reading"
)

// openWords say what comes before a part is replaced that the readings have open:
// more often than a part it is a joint (common practice).
func (r *search) openWords(m remedy) []string {
	if !m.isOpen() {
		return nil
	}
	what, first := m.name, ""
	if m.position >= 0 && len(r.Networks[m.position].IDs()) > 0 {
		what = report.List(r.Networks[m.position].IDs())
	}
	if r.live(m.suspect) {
		first = "unplug the set, discharge it, verify that it is dead, and "
	}
	return []string{fmt.Sprintf("a dry joint is likelier than an open part: %smeasure %s and the joints first; where a joint is open, solder it and read again", first, what)}
}

// live tells whether a suspect sits in a lead that may kill.
func (r *search) live(p suspect) bool {
	return slices.ContainsFunc(r.served(p.resistor), func(at int) bool { return asbuilt.Live(r.Ranges[at]) })
}

// nothingWords say that no part puts a suspect right.
func (r *search) nothingWords(p suspect) string {
	back, more, alone := "", "", ""
	for _, x := range r.mixups(p) {
		back += fmt.Sprintf("if %s is in there, put %s back; ", x.comes, x.goes)
	}
	if r.AtMost < 4 {
		more = "more --parts or "
	}
	if ids := p.stays.IDs(); p.byReadings() && len(ids) > 1 {
		alone = fmt.Sprintf("measure %s with one end lifted, for the one that is off may be replaced by itself; ", report.List(ids))
	}
	return fmt.Sprintf("repair: %snothing in the drawer helps, with at most %s: %s must be %s; %sallow %sa wider --within, or unfit it and see shuntwright plan --buy",
		back, report.Counted(r.AtMost, "part"), p.name, quantity.Format(p.from, quantity.Ohm, 4), alone, more)
}

// repairWords says in sentences what to do.
func (r *search) repairWords(m remedy, done Repaired) []string {
	if m.hopeless() {
		return []string{fmt.Sprintf("repair: nothing in the drawer, with at most %s, brings every range of %s within the class; nearest, with %s left: %s; allow more --parts, or see shuntwright plan --buy",
			report.Counted(r.AtMost, "part"), m.name, report.PercentError(m.worst, math.NaN()).Text, r.todo(m, done))}
	}
	out := append([]string{"repair: " + r.todo(m, done)}, placeWords(done.Pieces)...)
	ids, far := r.unsteady(m.suspect)
	for _, stays := range []bool{false, true} {
		var said []string
		for i, id := range ids {
			if slices.Contains(m.network.IDs(), id) == stays {
				said = append(said, far[i])
			}
		}
		if said != nil {
			out = append(out, fmt.Sprintf("carbon that has drifted goes on: %s; %s", report.List(said),
				report.Either(stays, "the drawer has nothing to replace it by, so look for a part", "so it is replaced, though a trim may do today")))
		}
	}
	out = append(out, r.unsure(m)...)
	out = append(out, r.measureWords(m, done)...)
	if m.position < 0 {
		return append(out, "when it is done:\n  "+done.Command)
	}
	if old := r.leftBehind(m); len(old) > 0 && m.byReadings() {
		out = append(out, fmt.Sprintf("the drawer then takes %s for free: measure again what is off, with shuntwright drawer remeasure", report.List(old)))
	}
	if done.Command == "" {
		return out
	}
	return append(out, "when it is done:\n  "+done.Command) // a line of its own, not to be broken
}

// placeWords say where the parts lie that a remedy takes, with what is written on
// them; nothing where none has a place.
func placeWords(pieces []predict.Piece) []string {
	var out []string
	placed := false
	for _, piece := range pieces {
		out, placed = append(out, piece.Words()), placed || piece.Place != ""
	}
	if !placed {
		return nil
	}
	return []string{"parts: " + strings.Join(out, "; ")}
}

// mixupWords say which parts may have been mixed up with those that the files have
// in place, and name those that may be there: nothing else can count on them. The
// command that notes the first of them goes into the answer.
func (k *Checkup) mixupWords(one hypothesis, answer *Answer) (said, taken []string) {
	for _, p := range one.suspects {
		for _, x := range k.mixups(p) {
			taken = append(taken, x.comes)
			note := fmt.Sprintf("shuntwright fit %s %s %s", report.InShell(k.Path), report.InShell(p.name), report.InShell(x.network.String()))
			answer.Mixup = cmp.Or(answer.Mixup, note)
			said = append(said, fmt.Sprintf("%s in the stead of %s would make %s of %s: look whether it is in there",
				x.comes, x.goes, quantity.Format(x.ohms, quantity.Ohm, 4), p.name), "if so, note it and check again:\n  "+note)
		}
	}
	return said, taken
}

// unratedWords warn of parts of which nobody knows the volts that they stand.
func unratedWords(pieces []predict.Piece) []string {
	var out []string
	for _, p := range pieces {
		if p.VoltsUnknown() {
			out = append(out, fmt.Sprintf("%s (%s)", p.Part, quantity.Format(*p.Volts, quantity.Volt, 2)))
		}
	}
	if out == nil {
		return nil
	}
	return []string{fmt.Sprintf("nobody knows what volts %s; --rated-only leaves %s out", report.List(out)+report.Either(len(out) == 1, " stands", " stand"), report.Either(len(out) == 1, "it", "them"))}
}

// todo says what is to be done, how the worst of its ranges then reads, and what
// comes first where the lead may kill.
func (r *search) todo(m remedy, done Repaired) string {
	is, first := m.network.String()+", "+quantity.Format(m.ohms, quantity.Ohm, 4), ""
	if !m.hopeless() {
		is += fmt.Sprintf(" (then %s)", report.PercentPair(m.worst, m.limit95).Text)
	}
	if r.live(m.suspect) {
		first = "; first unplug the set, discharge it and verify that it is dead"
	}
	switch m.action {
	case trim:
		return fmt.Sprintf("leave %s in and wire %s to it: %s%s", m.name, report.List(done.Added), is, first)
	case leave:
		return fmt.Sprintf("leave %s as it is: with %s its ranges are within the class", m.name, nowWords(m.suspect))
	}
	if len(m.leaves()) > 0 {
		return fmt.Sprintf("replace %s in %s by %s: %s%s", report.List(r.leftBehind(m)), m.name, report.List(done.Added), is, first)
	}
	return fmt.Sprintf("replace %s by %s%s", m.name, is, first)
}

// unsure says that the remedy is within the class only by its error.
func (r *search) unsure(m remedy) []string {
	if m.grade() != 1 {
		return nil
	}
	said := fmt.Sprintf("that may still be outside the class of %g %%: error and limit together come to %.2g %%", r.Class, m.sure)
	if math.IsNaN(m.sure) {
		said = fmt.Sprintf("that may still be outside the class of %g %%: how sure it is is not known", r.Class)
	}
	var marked []string
	for _, id := range m.added() {
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
func measureFirst(m remedy) []string {
	var out []string
	if m.byReadings() {
		for _, id := range m.leaves() {
			out = append(out, "shuntwright drawer remeasure "+id)
		}
	}
	return out
}

// measureWords says that nobody has measured what stays, and what to do.
func (r *search) measureWords(m remedy, done Repaired) []string {
	if m.action == replace || !m.byReadings() {
		return nil
	}
	about := fmt.Sprintf("%s (±%s)", nowWords(m.suspect), quantity.Format(m.limit, quantity.Ohm, 2))
	if len(done.First) == 0 {
		return []string{fmt.Sprintf("%s is from the readings, and the meter file would take it for measured: measure %s with one end lifted%s, and write what it is in its place", about, m.name,
			report.Either(m.now < reading.LowOhms, ", by "+reading.ByVolts, ""))}
	}
	paper, err := r.onPaper(m.suspect)
	if err != nil {
		paper = m.from
	}
	leaves := m.stays.Leaves()
	measure := "measure " + report.Either(len(leaves) == 1, "it", "each") + " with one end lifted"
	if m.action == trim {
		measure += " before anything is soldered to it"
	}
	if len(leaves) > len(done.First) { // resistances that are in no drawer
		measure += ", and write into the network what those are that are no parts of the drawer"
	}
	return []string{
		fmt.Sprintf("%s is about %s by the readings, and %s by the files: %s", m.stays, about, quantity.Format(paper, quantity.Ohm, 4), measure),
		"then type what it is:\n  " + strings.Join(done.First, "\n  ")}
}

// nowWords is what is there now, with the digits that its limit lets stand.
func nowWords(p suspect) string {
	return quantity.Format(p.now, quantity.Ohm, report.ByLimit(100*p.limit/p.now))
}
