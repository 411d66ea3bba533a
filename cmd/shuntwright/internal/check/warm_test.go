package check

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"
)

// TestColdIsNoFault: a meter without a fault that is read in the cold or in the
// heat, its coil being copper of 0.393 %/K at 20 °C (IEC 60028), is told the
// temperature before the coil is blamed, and with that nothing.
func TestColdIsNoFault(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 5))
	told := 0
	for range 30 {
		x := sicken(t, r)
		for i := range x.networks {
			x.networks[i] = fmt.Sprintf("F%d", i)
			x.truth[x.networks[i]] = x.read[x.networks[i]]
		}
		celsius := -10 + 55*r.Float64()
		x.copper = 1 + 0.00393*(celsius-20)
		doc, answer := x.judged(t, x.open(t), math.NaN())
		if answer.Verdict == "pass" {
			continue
		}
		var at *float64
		for _, d := range answer.Diagnosis {
			if at == nil {
				at = d.Celsius
			}
		}
		if at == nil && math.Abs(celsius-17) < 26 || at != nil && math.Abs(*at-celsius) > 2 {
			t.Errorf("at %.0f °C: %v\n%s", celsius, at, strings.Join(doc.BottomLine, "\n"))
		}
		if at == nil {
			continue
		}
		told++
		doc, answer = x.judged(t, x.open(t), *at)
		if said := strings.Join(doc.BottomLine, "\n"); len(answer.Diagnosis) > 0 || len(answer.Repair) > 0 || !strings.Contains(said, "nothing is faulty") {
			t.Errorf("at %.0f °C, with that: %s", celsius, said)
		}
	}
	if told < 10 {
		t.Errorf("only %d meters are told a temperature", told)
	}
}
