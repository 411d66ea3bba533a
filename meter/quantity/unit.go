// Package quantity reads and writes physical quantities the way people at the
// bench write them: "98.6 ohm", "4.7k", "4k7", "50 µA". One parser serves
// flags, prompts and files, so a value means the same wherever it stands. It knows
// the values that resistors are sold in, too, and what their colour bands say.
package quantity

import "strings"

// Unit is the symbol of the unit that a Value is in, without prefix.
type Unit string

// The units that Parse knows. The first six take an SI prefix. Number is for
// what has no unit, such as a count.
const (
	Ohm          Unit = "Ω"
	Ampere       Unit = "A"
	Volt         Unit = "V"
	Watt         Unit = "W"
	Metre        Unit = "m"
	OhmPerMetre  Unit = "Ω/m"
	Celsius      Unit = "°C"
	Percent      Unit = "%"
	Division     Unit = "div"
	PPMPerKelvin Unit = "ppm/K"
	Number       Unit = ""
)

// trade is what there is to say about a unit: what it measures, its name in
// the plural, how people write it (in lower case), an example, and whether it
// takes a prefix.
type trade struct {
	unit      Unit
	measures  string
	plural    string
	spellings []string
	example   string
	prefixed  bool
}

// trades holds both code points of the ohm sign, U+03A9 and U+2126, in lower
// case as everything else there; both become ω.
var trades = []trade{
	{Ohm, "a resistance", "ohms", []string{"ohm", "ohms", "ω"}, "98.6 ohm, 4.7k or 4k7", true},
	{Ampere, "a current", "amperes", []string{"a", "amp", "amps", "ampere", "amperes"}, "50 mA", true},
	{Volt, "a voltage", "volts", []string{"v", "volt", "volts"}, "300 V", true},
	{Watt, "a power", "watts", []string{"w", "watt", "watts"}, "0.25 W", true},
	{Metre, "a length", "metres", []string{"m", "metre", "metres"}, "43.3 mm", true},
	{OhmPerMetre, "a resistance per metre", "ohms per metre", []string{"ohm/m", "ohms/m", "ω/m"}, "9.98 ohm/m", true},
	{Celsius, "a temperature", "degrees Celsius", []string{"°c", "c", "℃"}, "20 °C", false},
	{Percent, "a percentage", "percent", []string{"%"}, "2.5 %", false},
	{Division, "a number of divisions", "divisions", []string{"div", "divisions"}, "30.0 div", false},
	{PPMPerKelvin, "a temperature coefficient", "ppm/K", []string{"ppm/k", "ppm", "ppm/°c"}, "50 ppm/K", false},
	{Number, "a number", "numbers", nil, "1", false},
}

// about returns what is known about a unit; a unit from elsewhere is said by
// its own symbol and takes no prefix.
func about(u Unit) trade {
	for _, t := range trades {
		if t.unit == u {
			return t
		}
	}
	return trade{unit: u, measures: "a quantity in " + string(u), plural: string(u), example: "1 " + string(u)}
}

// prefixes in rising order; the first symbol of each power is the one that
// Format writes. K is kilo as well because no kelvin can stand here.
var prefixes = []struct {
	symbol string
	power  int
}{
	{"p", -12}, {"n", -9}, {"µ", -6}, {"μ", -6}, {"u", -6}, {"m", -3},
	{"", 0}, {"k", 3}, {"K", 3}, {"M", 6}, {"G", 9}, {"T", 12},
}

// suffix reads what stands behind a number: nothing, a prefix, a unit, or
// both. An empty unit means that the text left it out.
func suffix(text string) (power int, unit Unit, ok bool) {
	for _, p := range prefixes {
		rest, found := strings.CutPrefix(text, p.symbol)
		if !found {
			continue
		}
		rest = strings.TrimLeftFunc(rest, space)
		if rest == "" {
			return p.power, "", true
		}
		lower := strings.ToLower(rest)
		for _, t := range trades {
			if p.power != 0 && !t.prefixed {
				continue
			}
			for _, s := range t.spellings {
				if lower == s && rest != "M" { // which is mega and no metre
					return p.power, t.unit, true
				}
			}
		}
	}
	return 0, "", false
}
