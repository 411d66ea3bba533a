package safefile

import (
	"bytes"
	"fmt"
)

// delta is how one file changed: from offset At on, New stands in the place of
// Old. A part that is added costs its own row, however long the drawer.
type delta struct {
	// Path goes from the journal's folder, with slashes; it is absolute where
	// the file lies outside.
	Path string `json:"path"`
	Was  Stamp  `json:"was,omitempty"`
	Is   Stamp  `json:"is,omitempty"`
	At   int    `json:"at,omitempty"`
	Old  []byte `json:"old,omitempty"`
	New  []byte `json:"new,omitempty"`
}

// between returns the delta from one content to another.
func between(old, new []byte) delta {
	most := min(len(old), len(new))
	from := 0
	for from < most && old[from] == new[from] {
		from++
	}
	behind := 0
	for behind < most-from && old[len(old)-1-behind] == new[len(new)-1-behind] {
		behind++
	}
	return delta{At: from, Old: old[from : len(old)-behind], New: new[from : len(new)-behind]}
}

// applied is what a file that held old holds after the delta; an error where
// the delta is not of this content.
func (d delta) applied(old []byte) ([]byte, error) {
	to := d.At + len(d.Old)
	if d.At >= 0 && to <= len(old) && bytes.Equal(old[d.At:to], d.Old) {
		new := bytes.Join([][]byte{old[:d.At], d.New, old[to:]}, nil)
		if d.Is == Absent || StampOf(new) == d.Is {
			return new, nil
		}
	}
	return nil, fmt.Errorf("the journal does not fit %q", d.Path)
}

// reversed is the way back.
func (d delta) reversed() delta {
	d.Was, d.Is, d.Old, d.New = d.Is, d.Was, d.New, d.Old
	return d
}
