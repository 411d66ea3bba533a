package inventory

import (
	"slices"
	"strings"

	"shuntwright/inventory/safefile"
	"shuntwright/inventory/table"
)

// List is the parts of a file that is no drawer yet: an id may be missing.
type List struct {
	Parts   []Part  // in the order of the file, without fewer or more: AddList adds them as they are now
	Refused []error // *table.Error of each row that is no part
	Guess   string  // where ReadList found no ohms, what may be: ohms="bei uns (kOhm)"
	file    *Drawer // with the same parts
	own     []int   // the columns that mean nothing here and hold something
	named   map[string]string
	kept    []string
}

// Taken is what a column of a list is taken for.
type Taken struct {
	Heading string // as it stands in the file
	Column  string // of the drawer; empty: it is the list's own
	Unit    string // of its numbers without one; empty: the column's own
	First   string // the first cell that holds something; empty: none does
}

// ReadList reads the parts of a file as Read does, but they need no ids, nor
// the file a column for them: ID is empty then, and AddList gives one. Columns
// may go by names that people give them. named says which is which where that
// does not tell, the heading in the file by the column's name here; kept are
// headings of columns that are the list's own, whatever they are called. A
// column that means nothing here and holds something needs a name of its own.
func ReadList(path string, named map[string]string, kept ...string) (*List, error) {
	data, _, err := safefile.Read(path)
	if err != nil {
		return nil, err
	}
	l := &List{named: named, kept: kept}
	if l.file, err = parse(path, data, l); err != nil {
		return l, err
	}
	if err := l.findOwn(); err != nil {
		return nil, err
	}
	l.refuseTwice()
	l.refuseTotals()
	return l, nil
}

// find returns where each of columns is in the list.
func (l *List) find(t *table.Table) ([]table.Found, error) {
	all := make([]table.Column, len(columns), len(columns)+len(l.kept))
	for i, c := range columns {
		all[i] = c.heading(true)
		all[i].Needed = c.name == "ohms"
		if heading, named := l.named[c.name]; named {
			all[i] = table.Column{Name: heading, Needed: true}
		}
	}
	for _, heading := range l.kept {
		all = append(all, table.Column{Name: heading, Needed: true})
	}
	if l.named["ohms"] == "" && l.named["nominal"] != "" { // what is marked is all there is
		all[columnOf("ohms")].Needed = false
	}
	found, err := t.Find(all...)
	if err != nil {
		l.Guess = guess(t.Header())
		return nil, err
	}
	for i, c := range columns {
		heading, named := l.named[c.name]
		if !named || c.text != nil {
			continue
		}
		if other, is := unitOfAnother(heading, c); is {
			return nil, t.ErrorAt(-1, found[i].At, "column %q is in %s, which %s are not; rename it where that is wrong", heading, other, c.name)
		}
		found[i].Unit = c.unitIn(heading)
	}
	return found[:len(columns)], nil
}

// Taken says what the columns of the list are taken for, in their order.
func (l *List) Taken() []Taken {
	t := l.file.table
	out := make([]Taken, len(t.Header()))
	for j, heading := range t.Header() {
		out[j].Heading = strings.TrimSpace(heading)
		for row := t.Len() - 1; row >= 0; row-- {
			if cell := t.Cell(row, table.Found{At: j}); cell != "" {
				out[j].First = cell
			}
		}
	}
	for i, f := range l.file.at {
		if f.There() {
			out[f.At].Column, out[f.At].Unit = columns[i].name, f.Unit
		}
	}
	return out
}

// Doubtful are columns of the list's own that may be ratings, by a word or the
// unit in their headings, where the list has no column of these: Column says
// which. Those that the list was said to keep are not among them.
func (l *List) Doubtful() []Taken {
	var out []Taken
	for j, taken := range l.Taken() {
		kept := slices.ContainsFunc(l.kept, func(heading string) bool { return plainName(heading) == plainName(taken.Heading) })
		if !slices.Contains(l.own, j) || kept {
			continue
		}
		for i, c := range columns {
			if !l.file.at[i].There() && c.sounds(taken.Heading) {
				taken.Column = c.name
				out = append(out, taken)
				break
			}
		}
	}
	return out
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
func plainName(name string) string { return strings.ToLower(table.Unguard(strings.TrimSpace(name))) }

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
		if own[k] >= 0 && cell != "" && table.Unguard(cell) != table.Unguard(d.table.Row(d.rows[at])[own[k]]) {
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
			heading := strings.TrimSpace(l.file.table.Header()[j])
			d.claim(heading)
			own[k] = d.table.AddColumn(table.Guard(table.Unguard(heading)))
		}
		for i := range added {
			d.table.Set(d.rows[first+i], own[k], table.Guard(table.Unguard(l.file.table.Row(l.file.rows[i])[j])))
		}
	}
	return added, nil
}

// claim gives the file every column of its own that it would take another one
// of that name for.
func (d *Drawer) claim(heading string) {
	for i, c := range columns {
		if !d.at[i].There() && c.heading(false).Is(heading) {
			d.at[i] = table.Found{At: d.table.AddColumn(c.name)}
		}
	}
}
