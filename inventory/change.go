package inventory

import (
	"errors"
	"fmt"
	"io/fs"
	"strconv"
	"strings"

	"shuntwright/inventory/safefile"
	"shuntwright/inventory/table"
)

// Add adds a part at the end of the drawer and returns it as it stands there:
// one without an id gets the next of R001, R002, … after the largest in the
// drawer, a spool that of W001, W002, … A part whose id is there
// already, or that the file could not give back alike, is refused and the
// drawer left as it was.
func (d *Drawer) Add(p Part) (Part, error) {
	if p.ID == "" {
		p.ID = d.free("R")
		if p.IsSpool() {
			p.ID = d.free("W")
		}
	}
	if err := d.storable(p); err != nil {
		return Part{}, fmt.Errorf("add a part: %w", err)
	}
	if _, _, found := d.Find(p.ID); found {
		return Part{}, fmt.Errorf("add a part: the id %q is in the drawer already; leave it out to get the next free one, %s", p.ID, d.free("R"))
	}
	d.table.Append()
	row := d.table.Len() - 1
	d.take(d.writeRow(row, p), row)
	d.changed = true
	return d.parts[len(d.parts)-1], nil
}

// AddAll adds parts in their order as Add does, and returns them as they stand
// there; the ids it gives are after the largest of these parts too. Where one is
// refused the drawer holds those before it: do not save it.
func (d *Drawer) AddAll(parts []Part) ([]Part, error) {
	for _, p := range parts {
		d.count(p.ID)
	}
	var added []Part
	for _, p := range parts {
		p, err := d.Add(p)
		if err != nil {
			return nil, err
		}
		added = append(added, p)
	}
	return added, nil
}

// Spend keeps ids from being given to other parts: what is fitted in a meter, or
// stands on an envelope that was thrown away, goes by them.
func (d *Drawer) Spend(ids ...string) {
	d.spent = append(d.spent, ids...)
	for _, id := range ids {
		d.count(id)
	}
}

// free returns a letter and the number after the largest there is, with at
// least three digits.
func (d *Drawer) free(letter string) string {
	for n := d.largest[letter] + 1; ; n++ {
		id := fmt.Sprintf("%s%03d", letter, n)
		if _, _, found := d.Find(id); !found {
			return id
		}
	}
}

// count takes up the number of an id of R or W and digits; not of any other, nor of
// one of more digits than anybody counts to.
func (d *Drawer) count(id string) {
	const longest = 17
	if id == "" || len(id) > longest+1 || id[0] != 'R' && id[0] != 'W' {
		return
	}
	if n, err := strconv.ParseUint(id[1:], 10, 63); err == nil {
		d.largest[id[:1]] = max(d.largest[id[:1]], int64(n))
	}
}

// storable says why the file could not give a part back alike, or nil.
func (d *Drawer) storable(p Part) error {
	if err := p.sound(); err != nil {
		return err
	}
	again := NewPart(Part{}.Ohms)
	for _, c := range columns {
		if cell := c.cell(p, d.decimal); cell != "" {
			if err := c.read(&again, cell, d.decimal); err != nil {
				return fmt.Errorf("%s %w", c.name, err)
			}
		}
	}
	return nil
}

// writeRow writes those fields of a part that its row does not hold yet, and
// returns the part as the row has it now. A column that the file lacks is
// added where there is something to put in it.
func (d *Drawer) writeRow(row int, p Part) Part {
	was, _, _ := d.part(row) // it was read before, or is empty
	for i, c := range columns {
		text := c.cell(p, d.decimal)
		if text == c.cell(was, d.decimal) {
			continue
		}
		if !d.at[i].There() {
			d.at[i] = table.Found{At: d.table.AddColumn(c.name)}
		}
		d.table.Set(row, d.at[i].At, d.decimal.outOfUnit(text, d.at[i].Unit, c.unit))
	}
	now, _, _ := d.part(row) // storable has read these texts
	return now
}

// Replace puts p in the place of the part with its id. In the file only the
// cells change whose fields differ. A part that the file could not give back
// alike is refused and the drawer left as it was.
func (d *Drawer) Replace(p Part) error {
	_, at, found := d.Find(p.ID)
	if !found {
		return fmt.Errorf("change a part: %w", d.noPart(p.ID))
	}
	if err := d.storable(p); err != nil {
		return fmt.Errorf("change a part: %w", err)
	}
	d.keep()
	d.parts[at] = d.writeRow(d.rows[at], p)
	d.changed = true
	return nil
}

// Remove takes a part out of the drawer.
func (d *Drawer) Remove(id string) error {
	_, at, found := d.Find(id)
	if !found {
		return fmt.Errorf("remove a part: %w", d.noPart(id))
	}
	d.keep()
	d.table.Remove(d.rows[at])
	d.parts = append(d.parts[:at], d.parts[at+1:]...)
	d.rows = append(d.rows[:at], d.rows[at+1:]...)
	delete(d.index, id)
	d.largest = map[string]int64{}
	for _, id := range d.spent {
		d.count(id)
	}
	for i, p := range d.parts {
		if i >= at {
			d.rows[i]--
			d.index[p.ID] = i
		}
		d.count(p.ID)
	}
	d.changed = true
	return nil
}

// noPart says that an id is not in the drawer, and the id that differs in case
// alone, or the first and last there are.
func (d *Drawer) noPart(id string) error {
	for _, p := range d.parts {
		if strings.EqualFold(p.ID, id) {
			return fmt.Errorf("no part %q in the drawer; there is %q", id, p.ID)
		}
	}
	if len(d.parts) == 0 {
		return fmt.Errorf("no part %q: the drawer is empty", id)
	}
	return fmt.Errorf("no part %q in the drawer; its ids go from %q to %q", id, d.parts[0].ID, d.parts[len(d.parts)-1].ID)
}

// Save has the drawer written to the file it came from, with the other files of
// a change. If the file has changed since it was read, the error wraps
// safefile.ErrChanged. A drawer that has not changed is not written. Where the
// change is not committed in the end, the drawer is not as its file: read it
// again.
func (d *Drawer) Save(in *safefile.Change) error {
	if d.path == "" {
		return fmt.Errorf("save the drawer: it was not read from a file of its own")
	}
	if !d.changed {
		return nil
	}
	data := d.bytes()
	if err := in.Write(d.path, data, d.stamp); err != nil {
		return fmt.Errorf("save the drawer: %w", err)
	}
	d.stamp, d.changed = safefile.StampOf(data), false
	return nil
}

// Fresh returns the drawer as its file is now: d itself where nobody has written
// to it since, which costs no more than to read it. What was changed in d and
// not saved is lost otherwise. A file that is not there is an empty drawer.
func (d *Drawer) Fresh() (*Drawer, error) {
	data, stamp, err := safefile.Read(d.path)
	switch {
	case errors.Is(err, fs.ErrNotExist) && d.stamp == safefile.Absent:
		return d, nil
	case errors.Is(err, fs.ErrNotExist):
		fresh := New(d.path)
		fresh.Spend(d.spent...)
		return fresh, nil
	case err != nil:
		return nil, err
	case stamp == d.stamp:
		return d, nil
	}
	fresh, err := readAs(d.path, data, stamp)
	if err == nil {
		fresh.Spend(d.spent...)
	}
	return fresh, err
}
