package repair

import "math"

// burnt is the fraction by which a part has drifted from which on it is not to
// be trusted any longer: it goes rather than being trimmed (common practice).
const burnt = 0.2

// drifted tells a patient that has drifted so far.
func drifted(p Patient) bool { return math.Abs(p.Now/p.From-1) > burnt }

// replacement is the one of two remedies that replaces the part.
func replacement(a, b Remedy) Remedy {
	if b.Action == Replace {
		return b
	}
	return a
}
