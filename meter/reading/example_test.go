package reading_test

import (
	"fmt"
	"log"
	"math"

	"shuntwright/meter"
	"shuntwright/meter/reading"
)

// A voltmeter of two ranges reads true on 10 V and low on 100 V: the upper
// section of its chain has risen by a quarter.
func ExampleDiagnose() {
	var ranges []meter.Range
	for _, text := range []string{"10 V", "100 V"} {
		r, err := meter.ParseRange(text, math.NaN())
		if err != nil {
			log.Fatal(err)
		}
		ranges = append(ranges, r)
	}
	chain, err := meter.NewCircuit("chain", meter.Spec{Ranges: ranges})
	if err != nil {
		log.Fatal(err)
	}
	m, err := meter.New("voltmeter", meter.NewMovement(1e-3, 100), 2, []meter.Circuit{chain})
	if err != nil {
		log.Fatal(err)
	}
	readings := []reading.Reading{
		{Range: 0, Reference: 8, Indicated: 8, IndicatedLimit: 0.04},
		{Range: 1, Reference: 80, Indicated: 65.3, IndicatedLimit: 0.4},
	}
	judged := reading.Judge(m.Ranges(), readings, m.Class, false)
	found := reading.Diagnose(reading.Case{Meter: m, State: m.State([]float64{9900, 90000}), Readings: readings, Divisions: 50, Verdict: judged.Verdict})
	best := found.Explanations[0]
	fmt.Printf("%v: %s is %.0f ± %.0f ohm and should be %.0f\n",
		judged.Verdict, best.Amounts[0].Cause.Name, best.Amounts[0].Implied, best.Amounts[0].Limit, best.Amounts[0].From)
	// Output: fail: chain 100 V is 112511 ± 849 ohm and should be 90000
}
