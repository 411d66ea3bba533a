package main

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"shuntwright/meter"
	"shuntwright/meter/meterfile"
	"shuntwright/meter/quantity"
)

// describeCircuits makes the circuits of all flags. What the meter file could
// not hold is refused by the name of its flag, and a range that is there twice.
func describeCircuits(flags []circuitFlag) ([]meterfile.CircuitDescription, error) {
	var all []meterfile.CircuitDescription
	var names, kinds []string
	var first []int // by flag, the first of its circuits
	for _, f := range flags {
		described, err := describeCircuit(f)
		if err != nil {
			return nil, err
		}
		for _, d := range described {
			for _, r := range d.Ranges {
				if i := slices.IndexFunc(names, func(name string) bool { return meter.SameName(name, r) }); i >= 0 {
					return nil, misused("--%s %q: the range %q is there twice, first by --%s; put a word before one of them, such as \"grid %s\"", f.kind, f.text, r, kinds[i], r)
				}
				names, kinds = append(names, r), append(kinds, f.kind)
			}
		}
		if err := tryCircuits(f, withoutRings(described)); err != nil {
			return nil, err
		}
		first = append(first, len(all))
		all = append(all, described...)
	}
	for i, at := range first { // each alone is right: what is wrong now is the ring that it names
		trial := withoutRings(all)
		trial[at] = all[at]
		if err := tryCircuits(flags[i], trial); err != nil {
			return nil, err
		}
	}
	return all, nil
}

// tryCircuits holds circuits against what a meter file may say, and refuses by
// the name of the flag that they come from.
func tryCircuits(f circuitFlag, circuits []meterfile.CircuitDescription) error {
	var wrong *meterfile.Error
	if _, err := meterfile.Encode([]meterfile.Given{{Field: "full_scale", Text: "1 mA"}, {Field: "coil", Text: "100 ohm"}}, circuits); errors.As(err, &wrong) {
		asTyped := strings.NewReplacer("_limit_percent", "-limit", "_instrument", "-instrument", "circuit_volts", "circuit-volts", "with_ring", "with-ring")
		return misused("--%s %q: %s", f.kind, f.text, asTyped.Replace(wrong.What+"; "+wrong.Hint))
	}
	return nil
}

// withoutRings are the circuits as if none of them named a ring, which may be
// another flag's.
func withoutRings(circuits []meterfile.CircuitDescription) []meterfile.CircuitDescription {
	out := slices.Clone(circuits)
	for i, c := range out {
		out[i].Given = slices.DeleteFunc(slices.Clone(c.Given), func(g meterfile.Given) bool { return g.Field == "with_ring" })
	}
	return out
}

// describeCircuit makes circuits of one flag: of many ranges one circuit where
// the kind takes many, else one circuit each.
func describeCircuit(f circuitFlag) ([]meterfile.CircuitDescription, error) {
	var ranges []string
	var given []meterfile.Given
	for _, item := range strings.Split(f.text, ",") {
		item = strings.TrimSpace(item)
		if key, value, found := strings.Cut(item, "="); found {
			one, err := f.field(strings.TrimSpace(key), strings.TrimSpace(value))
			if err == nil && slices.ContainsFunc(given, func(g meterfile.Given) bool { return g.Field == one.Field }) {
				err = misused("--%s %q: %q is given twice; take one of them out", f.kind, f.text, strings.TrimSpace(key))
			}
			if err != nil {
				return nil, err
			}
			given = append(given, one)
			continue
		}
		if _, err := meter.ParseRange(item, math.NaN()); err != nil {
			if item != "" && item[len(item)-1] <= '9' {
				err = fmt.Errorf("%w (commas separate ranges: a decimal comma cannot stand here, write 2.5 mA)", err)
			}
			return nil, misused("--%s %q: %w", f.kind, f.text, err)
		}
		ranges = append(ranges, item)
	}
	if len(ranges) == 0 {
		return nil, misused("--%s %q: no range in it", f.kind, f.text)
	}
	if kind, _ := meter.FindKind(f.kind); kind.Many {
		return []meterfile.CircuitDescription{{Circuit: f.kind, Ranges: ranges, Given: given}}, nil
	}
	var out []meterfile.CircuitDescription
	for _, r := range ranges {
		out = append(out, meterfile.CircuitDescription{Circuit: f.kind, Ranges: []string{r}, Given: given})
	}
	return out, nil
}

// field is a field of the meter file as the flag has it: with hyphens, and
// limits as "1%".
func (f circuitFlag) field(key, value string) (meterfile.Given, error) {
	if key == "limit" || key == "instrument" {
		return meterfile.Given{}, misused("--%s %q: the %s of what? write such as shunt-%s, or series-, drop-, contact- or swamp-%s", f.kind, f.text, key, key, key)
	}
	one := meterfile.Given{Field: strings.ReplaceAll(key, "-", "_"), Text: value}
	if strings.HasSuffix(one.Field, "_limit") && value == "" {
		one.Field += "_percent"
	} else if strings.HasSuffix(one.Field, "_limit") {
		limit, err := quantity.Parse(value, quantity.Percent, quantity.NotNegative)
		if err != nil {
			return one, misused("--%s %q: %s: %w", f.kind, f.text, key, err)
		}
		one = meterfile.Given{Field: one.Field + "_percent", Text: strconv.FormatFloat(limit.Base, 'g', -1, 64)}
	}
	return one, nil
}
