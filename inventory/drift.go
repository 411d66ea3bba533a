package inventory

import (
	"fmt"
	"math"
	"strings"

	"shuntwright/meter/quantity"
)

// leastTolerance is the closest tolerance that carbon composition is made to, in
// percent (MIL-R-39008); it stands in where none is marked.
const leastTolerance = 5

// farApart is the ratio of two resistances of one part above which one of them is
// rather a slip of the prefix than drift.
const farApart = 10

// FarApart tells whether one of two resistances of one part is rather a slip of
// the prefix: no part drifts by so much.
func FarApart(a, b float64) bool { return a > farApart*b || b > farApart*a }

// Composition tells that a part is of carbon composition, as far as its kind says.
func (p Part) Composition() bool {
	return !HasWords(p.Kind, "film") && (HasWords(p.Kind, "carbon") || HasWords(p.Kind, "composition"))
}

// Unsteady says how far a part that has so many ohms has drifted, where it is
// carbon composition and has drifted so far that it will go on: by more than its
// tolerance since its first reading, or by more than twice that from what is
// marked on it (common practice). Empty where it has not.
func (p Part) Unsteady(ohms float64) string {
	if !p.Composition() {
		return ""
	}
	allowed := float64(leastTolerance)
	if p.TolerancePercent > 0 {
		allowed = p.TolerancePercent
	}
	if was := p.first(); was.Base > 0 && !FarApart(ohms, was.Base) {
		if drift := 100 * (ohms/was.Base - 1); math.Abs(drift) > allowed {
			return fmt.Sprintf("%+.1f %% since it read %s", drift, was.Text)
		}
	}
	if drift := p.Drift(ohms); math.Abs(drift) > 2*allowed {
		return fmt.Sprintf("%+.1f %% from the %s that it is marked with", drift, p.Nominal.Text)
	}
	return ""
}

// first is the first reading of the part that is known, the zero Value where none
// is.
func (p Part) first() quantity.Value {
	text, _, _ := strings.Cut(p.Earlier, ";")
	text, _, _ = strings.Cut(text, " by ")
	text, _, _ = strings.Cut(text, " on ")
	if v, err := quantity.Parse(strings.TrimSpace(text), quantity.Ohm, quantity.Positive); err == nil {
		return v
	}
	return p.Ohms
}
