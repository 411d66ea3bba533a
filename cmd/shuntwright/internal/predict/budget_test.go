package predict

import (
	"math"
	"strings"
	"testing"

	"shuntwright/cmd/shuntwright/internal/asbuilt/asbuilttest"
)

// TestBudgets: of an invented voltmeter the multiplier, 99 % of the resistance, is
// known to 2 % and the coil, 1 % of it, to 1 %: by Ohm's law half-widths of 1.98 %
// and 0.01 %. The multiplier is worth measuring again, ten times better.
func TestBudgets(t *testing.T) {
	const unnamed = "gain of the unnamed instrument"
	s := asbuilttest.Open(t, `{"name": "bench", "movement": {"full_scale": "1 mA", "full_scale_limit_percent": 0, "coil": "100 ohm", "coil_gain_percent": 1, "coil_floor": "0 ohm"},
		"circuits": [{"circuit": "multiplier", "range": "10 V", "fitted": "R001"}]}`,
		"id,ohms,gain_percent,floor_ohms,fitted\nR001,9900,2,0,bench: multiplier 10 V\n", "{}")
	budgets := budgetOf(s, s.Meter.State(s.Ohms()))
	all, table := sharesOf(budgets)
	if len(all) != 2 || len(table.Rows) != 1 { // the coil's share is below one in a hundred
		t.Fatalf("%+v, %d rows", all, len(table.Rows))
	}
	for i, want := range []Share{{"10 V", unnamed, 1.98 * 1.98 / (1.98*1.98 + 0.01*0.01), 1.98}, {"10 V", "coil", 0.01 * 0.01 / (1.98*1.98 + 0.01*0.01), 0.01}} {
		got := all[i]
		if got.Range != want.Range || got.Source != want.Source || !(math.Abs(got.Share-want.Share) < 1e-9) || !(math.Abs(got.Half-want.Half) < 1e-9) {
			t.Errorf("%+v, want %+v", got, want)
		}
	}
	again := measureAgain(budgets)
	if again == nil || again.Source != unnamed || again.Now != "±2 %" || again.Then != "±0.2 %" || len(again.Ranges) != 1 {
		t.Fatalf("%+v", again)
	}
	if gain := again.Ranges[0].Now / again.Ranges[0].Then; !(gain > 9 && gain <= 10) {
		t.Errorf("the limit falls to 1/%.3g", gain)
	}
	if got := again.String(); !strings.HasPrefix(got, "measure again: what was read without a named instrument (R001 [±2 %]), with an instrument of ±0.2 % (now ±2 %); that brings the limit of 10 V from ±1.9 %") {
		t.Error(got)
	}
	if measureAgain(nil) != nil {
		t.Error("something is worth measuring again where nothing is unsure")
	}
}
