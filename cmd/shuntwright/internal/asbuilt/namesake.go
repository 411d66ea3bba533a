package asbuilt

import (
	"fmt"
	"slices"

	"shuntwright/meter"
	"shuntwright/meter/meterfile"
)

// Namesake is another meter file of this one's name. The drawer says by that
// name alone where a part is, so what the two hold is told apart by looking.
type Namesake struct {
	Path string
	File *meterfile.File
}

// holds is the position in which the file has a part; not found where none.
func (n Namesake) holds(id string) (position string, found bool) {
	for i, f := range n.File.Fitted {
		if slices.Contains(f.Network.IDs(), id) {
			return n.File.Meter.Positions()[i].Name, true
		}
	}
	return "", false
}

// Meet lets the setup know the other meter files of its name, and warns of those
// that hold parts: by the drawer alone nobody could tell whose they are.
func (s *Setup) Meet(namesakes []Namesake) {
	s.Namesakes = namesakes
	for _, n := range namesakes {
		for _, p := range s.Parts {
			if _, has := n.holds(p.ID); has && p.Fitted != "" {
				s.Warnings = append(s.Warnings, fmt.Sprintf("%s is called %q as well; %s", n.Path, s.Meter.Name, s.tellApart()))
				break
			}
		}
	}
}

// tellApart is the way out of two meters of one name.
func (s *Setup) tellApart() string {
	return fmt.Sprintf("shuntwright meter change %s --name NAME tells the two apart", s.Path)
}

// elsewhere is the other file of this meter's name that has a part in the
// position that the drawer says, and the name of that position.
func (s *Setup) elsewhere(id string) (n Namesake, position string, found bool) {
	i, known := s.Index[id]
	for _, n := range s.Namesakes {
		if position, has := n.holds(id); has && known && meter.SameName(s.Parts[i].Fitted, s.Meter.Name+": "+position) {
			return n, position, true
		}
	}
	return Namesake{}, "", false
}

// notHere refuses a part that a namesake has.
func (s *Setup) notHere(id, position string, n Namesake) error {
	return fmt.Errorf("part %q is fitted in %q of %s, which is called %q as %s is; %s", id, position, n.Path, s.Meter.Name, s.Path, s.tellApart())
}

// free refuses a part that is fitted where the position does not have it.
func (s *Setup) free(position int, id string) error {
	said := s.Parts[s.Index[id]].Fitted
	if s.Taken[id] == s.Where(position) {
		return nil
	}
	if s.Taken[id] != "" {
		return fmt.Errorf("part %q is fitted in %q; take it out there first with shuntwright unfit", id, s.Taken[id])
	}
	if n, there, other := s.elsewhere(id); other {
		return s.notHere(id, there, n)
	}
	if at := s.saidIn(said); at >= 0 {
		return fmt.Errorf("part %q is fitted in %q by the drawer, and %s does not have it there; shuntwright unfit %s %q puts it back where it is out",
			id, said, s.Path, s.Path, s.Positions[at].Name)
	}
	if said != "" {
		return fmt.Errorf("part %q is fitted in %q; take it out there first with shuntwright unfit", id, said)
	}
	return nil
}

// LeftBehind are the parts that the drawer has in a position where this file has
// none of them. Those that another file of its name has stay with that; where
// the position holds nothing here, and there is only one of these, it is an error.
func (s *Setup) LeftBehind(position int) (left []string, err error) {
	for _, p := range s.Parts {
		if s.Taken[p.ID] != "" || !meter.SameName(p.Fitted, s.Where(position)) {
			continue
		}
		if n, there, other := s.elsewhere(p.ID); other {
			err = s.notHere(p.ID, there, n)
		} else {
			left = append(left, p.ID)
		}
	}
	if len(left) > 0 || !s.IsOpen(position) {
		return left, nil
	}
	if err == nil {
		err = fmt.Errorf("%q is open already; %s", s.Positions[position].Name, s.Path)
	}
	return nil, err
}

// InNamesake is the other file of this meter's name that has the part where the
// drawer says it is: whatever happens here, it stays there.
func (s *Setup) InNamesake(id string) (path string, has bool) {
	n, _, has := s.elsewhere(id)
	return n.Path, has
}
