package main

import (
	"fmt"
	"slices"
	"strings"

	"shuntwright/cmd/shuntwright/internal/asbuilt"
	"shuntwright/cmd/shuntwright/internal/predict"
	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/meter/protect"
	"shuntwright/meter/quantity"
)

// headline says plainly whether the movement survives, and the worst that a
// single fault does to it.
func (w *wreck) headline() string {
	name := w.s.Meter.Name
	worst, found := w.worst(func(f fault) float64 { return f.single().last() })
	switch {
	case !found:
		return name + ": no part of this meter can fail towards more current in the movement"
	case w.survives():
		return fmt.Sprintf("%s: the movement survives any part failing, for a moment: at most %s times full scale (%s)", name,
			times(worst.single().last()).Text, worst.words())
	}
	return fmt.Sprintf("%s: the movement does not survive %s: %s times full scale", name, worst.words(), times(worst.single().last()).Text)
}

// worst is the fault of which something is most.
func (w *wreck) worst(of func(fault) float64) (worst fault, found bool) {
	for i, f := range w.faults {
		if i == 0 || of(f) > of(worst) {
			worst, found = f, true
		}
	}
	return worst, found
}

// words say what fails: of a string its worst part.
func (f fault) words() string {
	name := f.Position
	if f.Fault == "short" && f.WorstPart != "" {
		name = f.WorstPart + " of " + name
	}
	how := map[string]string{"open": "open", "short": "shorted"}[f.Fault]
	if strings.HasSuffix(f.Position, " "+f.Range) {
		return name + " " + how
	}
	return name + " " + how + " on " + f.Range
}

// further are the sentences of the bottom line: without the diodes, and what
// takes more than one fault.
func (w *wreck) further() []string {
	var out []string
	if worst, found := w.worst(func(f fault) float64 { return f.single().Times }); found {
		out = append(out, fmt.Sprintf("with %s; without diodes %s times (%s)", w.c.clampWords(), times(worst.single().Times).Text, worst.words()))
	}
	for _, f := range w.worstFirst() {
		if f.Fault == "short" && len(f.Parts) > 0 && f.single().Survives && !f.Survives {
			out = append(out, fmt.Sprintf("all %d parts of %s shorting at once would burn it: %s times", len(f.Parts), f.Position, times(f.last()).Text))
		}
	}
	return out
}

// advice is what helps against the parts that burn the movement, as the meter
// and its diodes are.
func (w *wreck) advice() []string {
	if len(w.faults) == 0 {
		return nil
	}
	var open, short, uneven []string
	var opened []fault
	for _, f := range w.worstFirst() {
		switch {
		case f.single().Survives:
		case f.Fault == "open":
			open, opened = append(open, f.Position), append(opened, f)
		case len(f.Parts) > 0:
			uneven = append(uneven, fmt.Sprintf("%s (%s is nearly all of it)", f.Position, f.WorstPart))
		default:
			short = append(short, f.Position)
		}
	}
	var out []string
	if helped := w.sharing(opened); len(helped) > 0 {
		out = append(out, "helps where "+report.Few(helped, 2)+" opens: diodes across the shunt as well, so that they share the fault")
	}
	if len(short) > 0 {
		out = append(out, "helps at "+report.Few(short, 3)+": two resistors in series, of which one is left when the other shorts")
	}
	if len(uneven) > 0 {
		out = append(out, "helps at "+report.Few(uneven, 2)+": parts of like value in series, so that the others hold when one shorts")
	}
	if w.opens() {
		out = append(out, "a fuse in the lead must end it: the diodes only hold it off")
	}
	if len(open) > 0 {
		out = append(out, w.helpsDiodes(opened)...)
	}
	return out
}

// clampsLower is what a germanium or Schottky diode may have across it in volts
// at full scale without taking much of it (common practice).
const clampsLower = 0.1

// sharing are the positions, of those that opened, that the movement survives
// with as many diodes again: beside the first or across the shunt, whichever is
// better, for two pairs do no worse than either.
func (w *wreck) sharing(opened []fault) []string {
	if w.clamp.Across == protect.AcrossShunt || w.clamp.Across == protect.AcrossTerminals || len(opened) == 0 {
		return nil
	}
	twice, moved := w.clamp, w.clamp
	twice.Diode.Model.SaturationAmperes *= 2 // two strings side by side are one of twice the area
	twice.Diode.Model.SeriesOhms /= 2
	moved.Across = protect.AcrossShunt
	var helped []string
	for _, clamp := range []protect.Clamp{twice, moved} {
		other := wreck{c: w.c, s: w.s, clamp: clamp}
		if other.fail(w.state, w.supply) != nil {
			continue // what could be solved with the first diodes and not with these is no advice
		}
		for _, f := range opened {
			survives := slices.ContainsFunc(other.faults, func(o fault) bool {
				return o.Position == f.Position && o.Range == f.Range && o.Fault == f.Fault && o.single().Survives
			})
			if survives && !slices.Contains(helped, f.Position) {
				helped = append(helped, f.Position)
			}
		}
	}
	return helped
}

// helpsDiodes is what lets the diodes take more of what a broken shunt leaves, as
// far as there is room for it.
func (w *wreck) helpsDiodes(opened []fault) []string {
	var out []string
	mv := w.s.Meter.Movement
	volts := mv.FullScaleAmperes * mv.Ohms()
	if volts <= clampsLower {
		out = append(out, fmt.Sprintf("helps: a rectifier that clamps lower (germanium or Schottky); full scale takes only %s", quantity.Format(volts, quantity.Volt, 3)))
	}
	if mv.SwampOhms == 0 && w.clamp.Across != protect.AcrossCoil {
		worst := 0.0
		for _, f := range opened {
			worst = max(worst, f.single().last())
		}
		out = append(out, fmt.Sprintf("helps: a swamping resistor of %s or more, which spreads the clamp voltage over more ohms; every target changes",
			quantity.Format(moreOhms*mv.Ohms()*(worst/momentary-1), quantity.Ohm, 2)))
	}
	return out
}

// moreOhms is how much more a swamping resistor must have than would do if the
// diodes clamped at the same voltage whatever they carry, and two digits of it.
const moreOhms = 1.1

// opens tells whether anything across the movement can open, or in a lead.
func (w *wreck) opens() bool {
	return slices.ContainsFunc(w.faults, func(f fault) bool { return f.Fault == "open" })
}

// warnings say what the figures are worth, and what diodes do not help against.
func (w *wreck) warnings() []string {
	out := []string{"leakage is an order of magnitude: published parameters of one diode differ by a factor of 20 to 127"}
	if w.opens() || slices.ContainsFunc(w.s.Ranges, asbuilt.Live) {
		out = append(out, "a shunt or a switch contact that opens puts the whole voltage of its lead or range across the terminals, diodes or not; so does a coil without diodes")
	}
	return append(out, predict.UnratedWords(w.s.Setup)...)
}
