package meter

import (
	"fmt"
	"slices"
	"strings"

	"shuntwright/meter/quantity"
)

// Kind describes one kind of circuit to whoever builds meters from text, and to
// who types that text.
type Kind struct {
	Name    string
	Many    bool            // it takes a list of ranges
	Units   []quantity.Unit // what its ranges may be in
	Fields  []Field         // what else may be given
	Feeds   bool            // it stands in front of the movement, and may stand in front of a ring that stays across the movement instead
	Needs   string          // what must be given besides, as typed behind a range: "shunt=OHMS"; empty: nothing
	Does    string          // how its ranges are made, in words that follow "ranges": "on one universal (Ayrton) shunt"
	Example string          // of what is typed for it, ranges separated by commas
	New     func(Spec) (Circuit, error)
}

// Field is a quantity that a kind of circuit may be given.
type Field struct {
	Name string
	Unit quantity.Unit
	Sign quantity.Sign
}

// Spec is what a circuit is made from. Ranges has at least one element, and
// exactly one where the kind does not take many; their units are among those of
// the kind. Given holds SI values by the name of the field, and only what was
// said. WithRing names the range whose tap is fed while its ring stays across
// the movement; empty: the movement is fed.
type Spec struct {
	Ranges   []Range
	Given    map[string]float64
	WithRing string
}

var kinds []Kind

// Register makes a kind of circuit known to every command; the file of a kind
// calls it once, from its init. It panics where a kind of that name is known
// already.
func Register(k Kind) {
	if slices.ContainsFunc(kinds, func(known Kind) bool { return known.Name == k.Name }) {
		panic(fmt.Sprintf("meter: circuit %q is registered twice", k.Name))
	}
	kinds = append(kinds, k)
	slices.SortFunc(kinds, func(a, b Kind) int { return strings.Compare(a.order(), b.order()) })
}

// order puts the kinds that make current ranges first.
func (k Kind) order() string {
	if slices.Contains(k.Units, quantity.Ampere) {
		return "current " + k.Name
	}
	return "voltage " + k.Name
}

// Kinds lists every kind of circuit: those that make current ranges first, and
// by name.
func Kinds() []Kind { return slices.Clone(kinds) }

// FindKind is the kind of circuit of that name.
func FindKind(name string) (k Kind, known bool) {
	i := slices.IndexFunc(kinds, func(k Kind) bool { return k.Name == name })
	if i < 0 {
		return Kind{}, false
	}
	return kinds[i], true
}

// NewCircuit makes a circuit of the kind of that name. The error says what the
// kind, its ranges or its fields do not allow.
func NewCircuit(name string, spec Spec) (Circuit, error) {
	k, known := FindKind(name)
	if !known {
		return nil, fmt.Errorf("circuit %q is not known", name)
	}
	if n := len(spec.Ranges); n != 1 && !k.Many {
		return nil, fmt.Errorf("circuit %q with %d ranges; it takes exactly one", name, n)
	} else if n == 0 {
		return nil, fmt.Errorf("circuit %q without a range; it takes one or more", name)
	}
	for _, r := range spec.Ranges {
		if !slices.Contains(k.Units, r.Unit) {
			return nil, fmt.Errorf("range %q is in %s; a %s range is in %s", r.Name, r.Unit, name, orList(k.Units))
		}
	}
	for field := range spec.Given {
		if !slices.ContainsFunc(k.Fields, func(f Field) bool { return f.Name == field }) {
			return nil, fmt.Errorf("circuit %q takes no %q", name, field)
		}
	}
	if spec.WithRing != "" && !k.Feeds {
		return nil, fmt.Errorf("circuit %q cannot feed the tap of a ring", name)
	}
	c, err := k.New(spec)
	if err == nil && spec.WithRing != "" {
		c = fed{c, spec.WithRing}
	}
	return c, err
}

func orList(units []quantity.Unit) string {
	var out []string
	for _, u := range units {
		out = append(out, string(u))
	}
	return strings.Join(out, " or ")
}
