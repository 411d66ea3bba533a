package asbuilt

import (
	"fmt"
	"slices"

	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/inventory"
)

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
