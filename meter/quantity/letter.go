package quantity

import (
	"fmt"
	"strings"
)

// letters of the resistance code of IEC 60062, which stand where the decimal
// point would, and the power of ten each is worth. R, K and M are in every
// published table; G, T and L (a thousandth, m in the newer form) are from
// memory. Small r and k, as people write them, have no other reading; m and M
// are never taken for one another.
var letters = map[byte]int{'R': 0, 'r': 0, 'k': 3, 'K': 3, 'M': 6, 'G': 9, 'T': 12, 'm': -3, 'L': -3}

// mark reads what follows the number: a letter code, a prefix, a unit. It
// moves the number's power by them. The unit is empty where the text leaves
// it out; code tells a letter code.
func (n *number) mark(rest string) (unit Unit, code bool, why string) {
	if n.letter(&rest) {
		code, unit = true, Ohm
	}
	rest = strings.TrimLeftFunc(rest, space)
	if rest != "" && rest[0] >= '0' && rest[0] <= '9' {
		return "", code, fmt.Sprintf("goes on with %q: write no spaces between digits", rest)
	}
	power, named, ok := suffix(rest)
	if !ok || code && power != 0 {
		return "", code, fmt.Sprintf("ends with %q, which is neither a prefix nor a unit", rest)
	}
	n.power += power
	n.prefixed = power != 0
	if named != "" {
		unit = named
	}
	return unit, code && unit == Ohm, ""
}

// metres takes the lone m that mark took for milli as the unit.
func (n *number) metres() Unit {
	n.power, n.prefixed = n.power+3, false
	return Metre
}

// letter takes the letter of a code and the digits behind it off rest: R47,
// 4R7, 470R, 4k7. A letter that ends a code is R, as any other is a prefix;
// that only R begins one, scan has seen to.
func (n *number) letter(rest *string) bool {
	if *rest == "" {
		return false
	}
	power, known := letters[(*rest)[0]]
	if !known {
		return false
	}
	after := strings.TrimLeft((*rest)[1:], "0123456789")
	digits := (*rest)[1 : len(*rest)-len(after)]
	switch {
	case digits != "" && n.whole:
		n.digits += digits
		n.power = power - len(digits)
	case digits == "" && power == 0 && n.digits != "":
	default:
		return false
	}
	*rest = after
	return true
}
