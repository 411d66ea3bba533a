package check

import (
	"fmt"
	"math"

	"shuntwright/cmd/shuntwright/internal/readings"
	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/meter/reading"
)

// pegged is a point with the pointer at its stop, in JSON. The error is at least
// that of a pointer at the last mark.
type pegged struct {
	Range      string  `json:"range"`
	Reference  float64 `json:"reference"`
	Unit       string  `json:"unit"`
	Direction  string  `json:"direction,omitempty"`
	LeastError float64 `json:"least_error_percent"`
	Verdict    string  `json:"verdict,omitempty"`
}

// holdPegged holds the points with the pointer at its stop against the class:
// one that is outside of it all the same fails, of others nobody can tell.
func (k *Checkup) holdPegged() {
	for _, p := range k.set.Pegged {
		switch verdict := k.peggedVerdict(p); {
		case verdict == reading.Fail:
			k.judged.Verdict = reading.Fail
		case verdict == reading.Undecided && k.judged.Verdict == reading.Pass:
			k.judged.Verdict = reading.Undecided
		}
	}
}

// least is the error, in percent of full scale, that a pointer at its stop has at
// least, and how sure that is.
func (k *Checkup) least(p readings.Pegged) (percent, limit float64) {
	full := k.Ranges[p.Range].FullScale
	return 100 * (1 - p.Reference.Base/full), 100 * p.ReferenceLimit / full
}

// peggedVerdict is Fail or Undecided, none without a class.
func (k *Checkup) peggedVerdict(p readings.Pegged) reading.Verdict {
	least, limit := k.least(p)
	if k.Simple {
		limit = 0
	}
	switch {
	case math.IsNaN(k.Class):
		return reading.NoVerdict
	case least-limit > k.Class:
		return reading.Fail
	}
	return reading.Undecided
}

// peggedWords says of every range where the pointer stood at its stop with the
// least applied, and fills in the answer.
func (k *Checkup) peggedWords(answer *Answer) []string {
	points := map[int]int{}
	first := map[int]readings.Pegged{}
	for _, p := range k.set.Pegged {
		r := k.Ranges[p.Range]
		least, _ := k.least(p)
		answer.Pegged = append(answer.Pegged, pegged{r.Name, p.Reference.Base, string(r.Unit), readings.DirectionWord(p.Direction), least, k.peggedVerdict(p).String()})
		if points[p.Range]++; points[p.Range] == 1 || p.Reference.Base < first[p.Range].Reference.Base {
			first[p.Range] = p
		}
	}
	var out []string
	for at, r := range k.Ranges {
		p, stood := first[at]
		if !stood {
			continue
		}
		reads := "no more can be told"
		if least, _ := k.least(p); least > 0 {
			reads = fmt.Sprintf("more than %s high", report.PercentSize(least, math.NaN()).Text)
		}
		more := ""
		if n := points[at] - 1; n > 0 {
			more = ", and at " + report.Counted(n, "point") + " more"
		}
		out = append(out, fmt.Sprintf("the pointer stood at its stop on %s with %s applied%s: %s; read it where it stands on the scale", r.Name, p.Reference.Text, more, reads))
	}
	return out
}
