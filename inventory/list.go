package inventory

import (
	"slices"
	"strings"

	"shuntwright/inventory/safefile"
)

// List is the parts of a file that is no drawer yet: an id may be missing.
type List struct {
	Parts []Part  // in the order of the file, without fewer or more: AddList adds them as they are now
	file  *Drawer // with the same parts
	own   []int   // the columns that mean nothing here and hold something
}

// ReadList reads the parts of a file as Read does, but they need no ids, nor
// the file a column for them: ID is empty then, and AddList gives one. A column
// that means nothing here and holds something needs a name of its own.
func ReadList(path string) (*List, error) {
	data, _, err := safefile.Read(path)
	if err != nil {
		return nil, err
	}
	d, err := parse(path, data, true)
	if err != nil {
		return nil, err
	}
	l := &List{Parts: d.Parts(), file: d}
	return l, l.findOwn()
}

// findOwn finds the columns that are the list's own.
func (l *List) findOwn() error {
	t := l.file.table
	names := map[string]int{}
	for _, j := range l.file.own() {
		name := t.Header()[j]
		if !slices.ContainsFunc(l.file.rows, func(row int) bool { return strings.TrimSpace(t.Row(row)[j]) != "" }) {
			continue
		}
		key := plainName(name)
		other, twice := names[key]
		switch {
		case key == "":
			return t.ErrorAt(-1, j, "column %d has no name and is not empty; name it, or empty it", j+1)
		case twice:
			return t.ErrorAt(-1, j, "columns %d and %d are both called %q; rename one", other+1, j+1, name)
		}
		names[key] = j
		l.own = append(l.own, j)
	}
	return nil
}

// plainName is the name of a column as names are compared.
func plainName(name string) string { return strings.ToLower(strings.TrimSpace(name)) }

// Own returns the names of the list's columns that mean nothing here and hold
// something, as they stand in the file: AddList takes them over.
func (l *List) Own() []string {
	var out []string
	for _, j := range l.own {
		out = append(out, strings.TrimSpace(l.file.table.Header()[j]))
	}
	return out
}

// In returns for each part of the file without an id the id of a part of the
// drawer that is as the list says in all that it says, columns of its own
// included where the drawer has them; empty where there is none. No id is
// returned twice.
func (l *List) In(d *Drawer) []string {
	likely := map[float64][]int{}
	for at, p := range d.parts {
		likely[p.Ohms.Base] = append(likely[p.Ohms.Base], at)
	}
	out := make([]string, len(l.file.parts))
	own := l.ownIn(d)
	for i, p := range l.file.parts {
		left := likely[p.Ohms.Base]
		k := slices.IndexFunc(left, func(at int) bool { return agrees(p, d.parts[at]) && l.ownAgree(i, d, at, own) })
		if p.ID != "" || k < 0 {
			continue
		}
		out[i] = d.parts[left[k]].ID
		likely[p.Ohms.Base] = slices.Delete(left, k, k+1)
	}
	return out
}

// agrees tells whether a part is as another is said to be, where anything is
// said; which one it is and where it is now do not count.
func agrees(said, is Part) bool {
	return !slices.ContainsFunc(columns, func(c column) bool {
		return c.name != "id" && c.name != "fitted" && c.cell(said, decimals{}) != "" && !c.same(said, is)
	})
}

// ownIn is where the list's own columns are in a drawer; -1 where it has none
// of that name.
func (l *List) ownIn(d *Drawer) []int {
	header := d.table.Header()
	var out []int
	for _, name := range l.Own() {
		out = append(out, slices.IndexFunc(header, func(h string) bool { return plainName(h) == plainName(name) }))
	}
	return out
}

// ownAgree tells whether the part at an index of the drawer has what a part of
// the list has in the list's own columns, which stand at own in the drawer.
func (l *List) ownAgree(part int, d *Drawer, at int, own []int) bool {
	for k, j := range l.own {
		cell := l.file.table.Row(l.file.rows[part])[j]
		if own[k] >= 0 && cell != "" && cell != d.table.Row(d.rows[at])[own[k]] {
			return false
		}
	}
	return true
}

// AddList adds the parts of a list in their order as AddAll does, with what
// its own columns hold; columns that the drawer lacks are added. Where a part
// is refused the drawer holds those before it: do not save it.
func (d *Drawer) AddList(l *List) ([]Part, error) {
	first := len(d.parts)
	added, err := d.AddAll(l.Parts)
	if err != nil {
		return nil, err
	}
	own := l.ownIn(d)
	for k, j := range l.own {
		if own[k] < 0 {
			own[k] = d.table.AddColumn(strings.TrimSpace(l.file.table.Header()[j]))
		}
		for i := range added {
			d.table.Set(d.rows[first+i], own[k], l.file.table.Row(l.file.rows[i])[j])
		}
	}
	return added, nil
}
