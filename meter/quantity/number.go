package quantity

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// number is a decimal number as typed: digits × 10^power, power being the
// weight of the last digit.
type number struct {
	minus    bool
	digits   string
	power    int
	whole    bool // typed as digits alone: no point, no exponent
	prefixed bool // a prefix has gone into power
}

// scan reads the number that text begins with and returns what follows it.
// The text R47 begins with a number of no digits. why says what is wrong.
func scan(text string, decimal byte) (n number, rest, why string) {
	rest = text
	for _, s := range []string{"+", "-", "−"} {
		if after, found := strings.CutPrefix(rest, s); found {
			n.minus, rest = s != "+", after
			break
		}
	}
	body := rest[:len(rest)-len(strings.TrimLeft(rest, "0123456789.,"))]
	rest = rest[len(body):]
	if why := n.separate(body, decimal); why != "" {
		return n, rest, why
	}
	if n.digits == "" {
		if body == "" && len(rest) > 1 && strings.ContainsRune("Rr", rune(rest[0])) {
			return n, rest, ""
		}
		return n, rest, "does not begin with a number"
	}
	rest, why = n.exponent(rest)
	return n, rest, why
}

// separate takes the digits, and the point or comma between them. The sign
// that is not the file's decimal sign is taken for it only where it cannot
// stand between thousands.
func (n *number) separate(body string, decimal byte) (why string) {
	at := strings.IndexAny(body, ".,")
	if at < 0 {
		n.digits, n.whole = body, true
		return ""
	}
	before, after := body[:at], body[at+1:]
	if strings.ContainsAny(after, ".,") {
		return "has more than one point or comma: write no signs between thousands"
	}
	if body[at] != decimal {
		if after == "" {
			return fmt.Sprintf("ends its number with %q", body[at:])
		}
		if len(after) == 3 && len(before) >= 1 && len(before) <= 3 && before[0] != '0' {
			return fmt.Sprintf("can be %s%c%s or %s%s: write which", before, decimal, after, before, after)
		}
	}
	n.digits, n.power = before+after, -len(after)
	return ""
}

// exponent takes an exponent such as e-3, where there is one.
func (n *number) exponent(text string) (rest, why string) {
	if text == "" || text[0] != 'e' && text[0] != 'E' {
		return text, ""
	}
	digits := strings.TrimLeft(text[1:], "+-")
	signs := len(text) - 1 - len(digits)
	rest = strings.TrimLeft(digits, "0123456789")
	digits = digits[:len(digits)-len(rest)]
	if signs > 1 || digits == "" {
		return text, "" // not an exponent: what it is, the unit decides
	}
	power, err := strconv.Atoi(digits)
	if err != nil || power > 99 {
		return rest, "has an exponent beyond ±99"
	}
	if text[1] == '-' {
		power = -power
	}
	n.power += power
	n.whole = false
	return rest, ""
}

// Magnitudes that Parse takes. Nothing of the trade reaches them, and within
// them a product of a dozen values is still finite.
const (
	largest  = 1e24
	smallest = 1e-24
)

// values returns the number and the weight of its last digit, the
// number rounded once from the decimal text, and holds the number against sign.
func (n number) values(sign Sign) (base, step float64, why string) {
	base, _ = strconv.ParseFloat(n.digits+"e"+strconv.Itoa(n.power), 64)
	step = math.Pow10(n.power)
	none := strings.Trim(n.digits, "0") == ""
	switch {
	case base > largest:
		why = fmt.Sprintf("is beyond %g", largest)
	case base < smallest && !none:
		why = fmt.Sprintf("is nearer to zero than %g", smallest)
	case sign == Positive && none:
		why = "is zero"
	case sign != AnySign && n.minus && !none:
		why = "is negative"
	}
	if n.minus && !none {
		base = -base
	}
	return base, step, why
}
