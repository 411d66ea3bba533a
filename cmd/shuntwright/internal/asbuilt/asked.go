package asbuilt

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/inventory"
	"shuntwright/match"
)

// Asked is what the flags ask, of a search as of a judgement. The zero value
// asks for nothing that can be found: each field says what it must be.
type Asked struct {
	Wanted
	AtMost         int     // parts in one place, 1 to 4
	Within         float64 // how far off a network is looked at, as a fraction of its target, above 0
	Reach          bool    // in a ring or chain the nearest network is looked at where none is within
	Derate         float64 // the share of its rated watts that a part may carry, above 0 and up to 1
	Class          float64 // percent; NaN: none
	Resolution     float64 // what counts as one step, in percent of full scale; 0: exact
	Enough         float64 // percent within which an error counts as none; 0: not given
	EnoughMeasured bool    // what measurements cannot tell counts as none
	Sure           bool    // error and limit together count, not the error alone
	Trim           bool    // what is fitted stays, and as few parts as can be are added; needs a class
	Simple         bool    // readings are judged by the error alone, whatever its limit
	Top            int     // rows or causes to be named, at least 1
}

// GivesEnough tells whether errors within something count as none.
func (a Asked) GivesEnough() bool { return a.EnoughMeasured || a.Enough > 0 }

// SearchClass is the class that plans are ordered by: the meter's, or the
// largest of IEC 60051.
func (a Asked) SearchClass() float64 {
	if math.IsNaN(a.Class) {
		return match.DefaultClass
	}
	return a.Class
}

// Wanted says which of the free parts may be taken; the zero Wanted all of them.
type Wanted struct {
	RatedOnly bool                  // only parts of which watts or volts are known
	Only      []inventory.Selection // only parts that all of these have
	Exclude   []inventory.Selection // no part that one of these has
}

// Has tells whether the part of that index may be taken.
func (w Wanted) Has(b *Bench, i int) bool {
	in := func(s inventory.Selection) bool { return s.Has(b.Parts[i], b.Measured[i].Ohms) }
	out := func(s inventory.Selection) bool { return !in(s) }
	return (rated(b.Parts[i]) || !w.RatedOnly) && !slices.ContainsFunc(w.Only, out) && !slices.ContainsFunc(w.Exclude, in)
}

// Free are the indexes of the resistors that nobody has fitted, taken by id or in
// the drawer's own words, and that are wanted.
func (b *Bench) Free(taken map[string]string, w Wanted) []int {
	var out []int
	for i, p := range b.Parts {
		if !p.IsSpool() && p.Fitted == "" && taken[p.ID] == "" && w.Has(b, i) {
			out = append(out, i)
		}
	}
	return out
}

// Choose is Free, but an id that the drawer does not have and a choice that
// leaves nothing are errors, which name the flag.
func (b *Bench) Choose(taken map[string]string, w Wanted) ([]int, error) {
	for _, flag := range w.flags() {
		if id, unknown := flag.Unknown(b.Parts); unknown {
			return nil, fmt.Errorf("%s %s: part %q is not in the drawer %s%s", flag.name, flag, id, b.Drawer.Path(), report.Meant(id, IDs(b.Parts)))
		}
		if err := b.mistyped(flag); err != nil {
			return nil, err
		}
	}
	chosen := b.Free(taken, w)
	if len(chosen) > 0 {
		return chosen, nil
	}
	free := len(b.Free(taken, Wanted{}))
	if free == 0 {
		return nil, nil
	}
	var said []string
	for _, flag := range w.flags() {
		said = append(said, flag.name+" "+flag.String())
	}
	if w.RatedOnly {
		said = append(said, "--rated-only")
	}
	return nil, fmt.Errorf("%s leaves none of the %s of %s; allow more of them", report.List(said), report.Counted(free, "free part"), b.Drawer.Path())
}

// mistyped refuses to leave out what no part is: what was meant would go in.
func (b *Bench) mistyped(flag flagged) error {
	if flag.name != "--exclude" || strings.HasPrefix(flag.String(), "drifted") {
		return nil
	}
	var kinds []string
	for i, p := range b.Parts {
		if flag.Has(p, b.Measured[i].Ohms) {
			return nil
		}
		if p.Kind != "" {
			kinds = append(kinds, "kind="+p.Kind)
		}
	}
	return fmt.Errorf("--exclude %s: no part of %s is that; there is %s", flag, b.Drawer.Path(), cmp.Or(report.Few(report.Unique(kinds), 4), "no kind"))
}

// flagged is a selection with the name of its flag.
type flagged struct {
	name string
	inventory.Selection
}

// flags are all selections, in the order of the fields.
func (w Wanted) flags() []flagged {
	var out []flagged
	for _, s := range w.Only {
		out = append(out, flagged{"--only", s})
	}
	for _, s := range w.Exclude {
		out = append(out, flagged{"--exclude", s})
	}
	return out
}
