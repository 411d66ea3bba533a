package reading

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"shuntwright/meter/quantity"
)

// mostCandidates is how many explanations a further reading is asked to separate.
const mostCandidates = 12

// separate looks for the one further reading that tells the explanations apart
// which are still possible: the best one and those that nothing read so far can
// tell from it. What no range can tell it notes, with the measurement that can.
func (d *Diagnosis) separate(s *system, all []*fitted) {
	var left []int // indexes into Explanations
	for i, f := range all {
		same := i == 0 || len(f.causes) == 1 && s.same(all[0], f) || len(f.causes) > 1 && f.chi <= all[0].chi+indistinct
		if f.explains && len(f.causes) == len(all[0].causes) && same && len(left) < mostCandidates {
			left = append(left, i)
		}
	}
	if len(left) < 2 {
		return
	}
	limit := s.pointer()
	parted := make([][]bool, len(left)) // by some reading
	for i := range parted {
		parted[i] = make([]bool, len(left))
	}
	best := separation{}
	for r := range s.full {
		if !s.whole(r) || slices.Contains(d.Explanations[0].Unexplained, r) {
			continue
		}
		for _, tenths := range s.tenths(d, left, r) {
			reference := float64(tenths) / 10 * s.full[r]
			if s.taken(r, reference) {
				continue
			}
			shown := make([]float64, len(left))
			for k, i := range left {
				shown[k] = d.Explanations[i].Indicated(s.m, r, reference, Either) / s.full[r]
			}
			v := compare(shown, 2*limit, parted)
			if s.m.Ranges()[r].Unit == quantity.Volt {
				v.volts = max(reference, touchable)
			}
			if v.better(best) {
				best = v
				d.Next = &Further{Range: r, Reference: reference, Alike: 2 * limit * s.full[r]}
				for k, i := range left {
					d.Next.Predicted = append(d.Next.Predicted, Prediction{i, shown[k] * s.full[r]})
				}
			}
		}
	}
	d.bench(left, parted)
}

// taken reports whether some reading says already what another one would: of the
// pointer at rest, or of a range with as much applied, for the rest of the scale
// follows from that.
func (s *system) taken(r int, reference float64) bool {
	return slices.ContainsFunc(s.readings, func(rd Reading) bool {
		return reference == 0 && rd.Reference == 0 || reference > 0 && rd.Range == r && rd.Reference >= reference*(1-equal)
	})
}

// whole reports whether all resistances of a range are known.
func (s *system) whole(r int) bool {
	s.m.Errors(s.errors, s.state)
	return finite(s.errors[r])
}

// pointer is the limit of a further reading, as a fraction of full scale: the
// widest so far.
func (s *system) pointer() float64 {
	widest := 0.0
	for _, rd := range s.readings {
		widest = math.Max(widest, rd.IndicatedLimit/s.full[rd.Range])
	}
	return widest
}

// tenths are the references to be tried on a range, in tenths of full scale:
// the largest at which no explanation drives the pointer beyond the last mark,
// and none at all, which shows the zero.
func (s *system) tenths(d *Diagnosis, left []int, r int) []int {
	on := func(tenths int) bool {
		return !slices.ContainsFunc(left, func(i int) bool {
			return !(d.Explanations[i].Indicated(s.m, r, float64(tenths)/10*s.full[r], Either) <= s.full[r]*(1+equal))
		})
	}
	largest := 10
	for largest >= 0 && !on(largest) {
		largest--
	}
	switch {
	case largest < 0:
		return nil
	case largest == 0 || !on(0):
		return []int{largest}
	}
	return []int{largest, 0}
}

// separation is how well one reading separates the candidates.
type separation struct {
	pairs    int     // that it separates
	volts    float64 // to be applied, where they may hurt
	smallest float64 // of the distances of the pairs
}

// touchable are the volts up to which one is as harmless as another (IEC 61010-1:
// 60 V d.c.).
const touchable = 60

// better reports whether one reading separates more, or as much with fewer volts, or
// else further apart.
func (v separation) better(w separation) bool {
	return cmp.Or(cmp.Compare(v.pairs, w.pairs), cmp.Compare(w.volts, v.volts), cmp.Compare(v.smallest, w.smallest)) > 0
}

// compare counts the pairs of predictions that differ by more than enough, and
// remembers them.
func compare(shown []float64, enough float64, parted [][]bool) separation {
	v := separation{smallest: math.Inf(1)}
	for i, a := range shown {
		for j, b := range shown[:i] {
			if distance := math.Abs(a - b); distance > enough {
				v.pairs++
				v.smallest = math.Min(v.smallest, distance)
				parted[i][j], parted[j][i] = true, true
			}
		}
	}
	if v.pairs == 0 {
		v.smallest = 0
	}
	return v
}

// bench notes what no reading of the ranges separates, and the measurements
// that do.
func (d *Diagnosis) bench(left []int, parted [][]bool) {
	var names, how []string
	add := func(list *[]string, text string) {
		if !slices.Contains(*list, text) {
			*list = append(*list, text)
		}
	}
	for k, i := range left {
		alike := false
		for l := range left {
			alike = alike || l != k && !parted[k][l]
		}
		if !alike {
			continue
		}
		var together []string
		for _, a := range d.Explanations[i].Amounts {
			if d.everywhere(left, a.Cause) {
				continue
			}
			together = append(together, a.Cause.Name)
			add(&how, measurement(a))
		}
		add(&names, strings.Join(together, " with "))
	}
	if len(names) > 0 {
		d.note(fmt.Sprintf("not all of these can be told apart by readings of the ranges: %s. What can: %s", strings.Join(names, ", "), strings.Join(how, "; ")))
	}
}

// everywhere reports whether a cause is in all of some explanations.
func (d *Diagnosis) everywhere(left []int, c Cause) bool {
	return !slices.ContainsFunc(left, func(i int) bool {
		return !slices.ContainsFunc(d.Explanations[i].Amounts, func(a Amount) bool { return a.Cause == c })
	})
}

// LowOhms is the resistance, in ohms, below which the leads and clips of an
// ohmmeter count too much for its reading (common practice).
const LowOhms = 5

// ByVolts is how a resistance below LowOhms is measured.
const ByVolts = "the volts across it at a known current, four wires"

// measurement is what shows a cause by itself.
func measurement(a Amount) string {
	c := a.Cause
	switch {
	case c.Kind == FullScale || c.Name == "coil":
		return "the movement's current for the last mark and its volts there, with its circuit lifted"
	case c.Kind == Zero:
		return "the pointer at rest"
	case c.Kind == Friction:
		return "one point read rising and falling"
	case strings.HasPrefix(c.Name, "contact "):
		return "the volts across the contact at full scale"
	}
	if a.From < LowOhms {
		return ByVolts + ", one end lifted"
	}
	return "an ohmmeter on the part itself, one end lifted"
}
