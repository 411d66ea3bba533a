package predict

import (
	"fmt"
	"strings"
	"testing"

	"shuntwright/cmd/shuntwright/internal/asbuilt/asbuilttest"
)

// TestLeadsWords: of three shunts read by two wires the range is named that leads of
// 0.5 ohm would put furthest beyond the class, by Ohm's law; none that is beyond it
// as it was read, and none that leads do not put there.
func TestLeadsWords(t *testing.T) {
	const (
		coil, leads = 97.5, 0.5
		meter       = `{"movement": {"full_scale": "1 mA", "coil": "97.5 ohm"}, "circuits": [{"circuit": "shunt", "range": "22 mA", "fitted": "R1"},
 {"circuit": "shunt", "range": "45 mA", "fitted": "R2"}, {"circuit": "shunt", "range": "30 mA", "fitted": "R3"}]}`
	)
	for _, test := range []struct {
		class float64
		ohms  [3]float64
		says  int // milliamperes, 0: nothing
	}{
		{2.5, [3]float64{4.64, 2.22, 3.36}, 45}, // 10, 22 and 14 % low
		{20, [3]float64{4.64, 2.22, 3.36}, 45},
		{25, [3]float64{4.64, 2.22, 3.36}, 0},
		{2.5, [3]float64{4.64, 1.92, 3.36}, 30}, // 13 % low as it was read
		{2.5, [3]float64{4.64, 1.92, 3}, 22},
		{2.5, [3]float64{4.2, 1.92, 3}, 0},
		{2.5, [3]float64{4.64, 2.7, 3.36}, 30}, // 21 % high as it was read, and true less the leads
	} {
		drawer := "id,ohms,instrument\n"
		for i, ohms := range test.ohms {
			drawer += fmt.Sprintf("R%d,%v,hand\n", i+1, ohms)
		}
		f := unasked(asbuilttest.Open(t, meter, drawer, `{"hand": {"gain_percent": 0.8, "counts": 1, "wires": 2}}`))
		f.Class = test.class
		got := f.leadsWords(f.Meter.Predict(f.Ohms()))
		if len(got) > 1 || (len(got) == 1) != (test.says > 0) {
			t.Fatalf("%+v: %q", test, got)
		}
		if len(got) == 0 {
			continue
		}
		shunt := test.ohms[map[int]int{22: 0, 45: 1, 30: 2}[test.says]] - leads
		off := 100 * (float64(test.says)*shunt/(shunt+coil) - 1)
		if want := fmt.Sprintf("%d mA is off by %.1f %%", test.says, off); !strings.Contains(got[0], want) {
			t.Errorf("%+v: %q, want %q", test, got[0], want)
		}
	}
}
