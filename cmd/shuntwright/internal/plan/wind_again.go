package plan

import (
	"slices"

	"shuntwright/cmd/shuntwright/internal/asbuilt"
	"shuntwright/meter/wiring"
)

// Fitted is the wire that a position is made of already, alone or with one part
// beside it; false where there is none, or nobody can say what it must be. What
// the part's reading leaves unsure is not allowed for in its Cut.
func Fitted(s *asbuilt.Setup, position int) (Wound, bool) {
	if s.IsOpen(position) {
		return Wound{}, false
	}
	n := s.Networks[position]
	leaves := n.Leaves()
	at := slices.IndexFunc(leaves, wiring.Network.IsWire)
	if at < 0 || len(leaves) > 2 {
		return Wound{}, false
	}
	spool, known := s.Index[leaves[at].ID]
	w, err := toWind(s, position)
	if !known || err != nil {
		return Wound{}, false
	}
	w.Spool, w.Metres = s.Parts[spool], leaves[at].Length.Base
	w.Spool.Metres += w.Metres // it is off the spool
	if len(leaves) == 2 {
		w.Beside, w.Op = leaves[1-at].String(), n.Op
	}
	return w, true
}
