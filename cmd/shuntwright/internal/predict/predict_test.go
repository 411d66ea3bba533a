package predict

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"shuntwright/cmd/shuntwright/internal/asbuilt"
	"shuntwright/cmd/shuntwright/internal/asbuilt/asbuilttest"
)

// Two ranges of an invented meter, both 100 ohm off what they should be.
const (
	voltmeter = `{"name": "bench", "movement": {"full_scale": "1 mA", "coil": "100 ohm"}, "circuits": [
		{"circuit": "multiplier", "range": "10 V", "fitted": "9800 ohm"}, {"circuit": "multiplier", "range": "100 V", "fitted": "R001"}]}`
	drawer = "id,ohms,gain_percent,floor_ohms,watts,fitted\nR001,99800,2,0,0.125,bench: multiplier 100 V\n"
)

// unasked is nothing but the errors.
func unasked(s *asbuilt.Setup) *Forecast {
	return &Forecast{Setup: s, Asked: asbuilt.Asked{Class: math.NaN()}, Celsius: math.NaN(), FromCelsius: math.NaN(), ToCelsius: math.NaN(), SourceOhms: math.NaN()}
}

// TestFull: what is answered is Ohm's law, with the coil as copper does (0.393 %/K
// at 20 °C: IEC 60028).
func TestFull(t *testing.T) {
	s := asbuilttest.Open(t, voltmeter, drawer, "{}")
	w := unasked(s)
	w.Class, w.Celsius, w.FromCelsius, w.ToCelsius, w.SourceOhms = 1, 40, 0, 40, 1000
	w.Ratings, w.Budget, w.Sensitivity, w.Draws = true, true, true, &Draws{Number: 20000, Seed: 1}
	doc, err := w.Full(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	var names []string
	for _, table := range doc.Tables {
		names = append(names, table.Name)
	}
	if got := strings.Join(names, " "); got != "ranges positions temperature loading ratings budget trials sensitivity trim-order" {
		t.Errorf("tables %s", got)
	}
	answer := doc.Answer.(Answer)
	coil := func(celsius float64) float64 {
		return 100 * (1 + 0.00393*(celsius-20)) / (1 + 0.00393*(s.Meter.Movement.ReferenceCelsius-20))
	}
	reads := func(celsius float64) float64 { return 100 * (10/((9800+coil(celsius))*1e-3) - 1) }
	points := answer.Temperature[0].Points
	for _, test := range []struct {
		what      string
		got, want float64
	}{
		{"10 V at 40 °C", *answer.Ranges[0].FullScaleError, reads(40)},
		{"worst", *answer.Worst, reads(40)},
		{"10 V at 0 °C in the table", *points[0].Error, reads(0)},
		{"10 V at 20 °C in the table", *points[2].Error, reads(20)},
		{"input of 10 V", answer.Loading[0].InputOhms, 9800 + coil(40)},
		{"loading of 10 V", answer.Loading[0].Loading, 100 * ((9800+coil(40))/(9800+coil(40)+1000) - 1)},
		{"watts of R001", answer.Ratings[1].Watts, 99800 * math.Pow(100/(99800+coil(40)), 2)},
		{"rated watts of R001", *answer.Ratings[1].RatedWatts, 0.125},
		{"10 V by its multiplier", math.Abs(answer.Sensitivity[0].PerPercent) + math.Abs(answer.Sensitivity[1].PerPercent), 1},
	} {
		if !(math.Abs(test.got-test.want) < 1e-6*math.Abs(test.want)) {
			t.Errorf("%s: %v, want %v", test.what, test.got, test.want)
		}
	}
	if answer.ChanceAll == nil || len(answer.Trials) != 2 || answer.Again == nil || answer.Again.Source != "R001" && !strings.HasPrefix(answer.Again.Source, "gain of") {
		t.Errorf("chance %v, %d ranges tried, measure again %+v", answer.ChanceAll, len(answer.Trials), answer.Again)
	}
	if doc.Good {
		t.Errorf("good, with %v %% of error and a class of 1 %%", *answer.Worst)
	}
}

// TestSure: of a small error with a large limit and a larger error that is sure,
// what is worst hangs on what counts.
func TestSure(t *testing.T) {
	s := asbuilttest.Open(t, voltmeter, drawer, "{}")
	for sure, want := range map[bool]string{false: ": worst range 10 V, ", true: ": worst range 100 V, "} {
		w := unasked(s)
		w.Sure = sure
		doc, _ := w.Document()
		if got := doc.Heading; !strings.Contains(got, want) {
			t.Errorf("sure %v: %s, want %s", sure, got, want)
		}
	}
}

// TestTrialsRefused: too few trials are told from trials that were ended.
func TestTrialsRefused(t *testing.T) {
	f := unasked(asbuilttest.Open(t, voltmeter, drawer, "{}"))
	f.Draws = &Draws{Number: 0, Seed: 1}
	if _, err := f.Full(t.Context()); !errors.As(err, new(TrialError)) {
		t.Errorf("no trials: %v", err)
	}
	ended, end := context.WithCancel(t.Context())
	end()
	f.Draws.Number = 20000
	if _, err := f.Full(ended); !errors.Is(err, context.Canceled) || errors.As(err, new(TrialError)) {
		t.Errorf("ended: %v", err)
	}
}

// TestRoom: a coil of 100 ohm in 1000 ohm leaves a class of c percent where
// 1/(1 + 0.1·α·Δt) - 1 is ±c, α being 0.00393/K at 20 °C (IEC 60028): class 0.25
// at 13.65 and 26.38 °C, class 0.1 at 17.46 and 22.55 °C, class 1 outside any room.
func TestRoom(t *testing.T) {
	s := asbuilttest.Open(t, `{"movement": {"full_scale": "1 mA", "coil": "100 ohm"}, "circuits": [
		{"circuit": "multiplier", "range": "1 V", "fitted": "900 ohm"}, {"circuit": "multiplier", "range": "100 V", "fitted": "99900 ohm"},
		{"circuit": "multiplier", "range": "10 V", "fitted": "8000 ohm"}]}`, "id,ohms\n", "{}")
	for _, test := range []struct {
		class, celsius float64
		want           []string
	}{
		{0.25, math.NaN(), []string{"class 0.25 holds up to 26 °C only (the coil drifts): 1 V"}},
		{0.1, math.NaN(), []string{"class 0.1 holds from 18 to 22 °C only (the coil drifts): 1 V"}},
		{0.1, 25, nil},
		{1, math.NaN(), nil},
		{math.NaN(), math.NaN(), nil},
	} {
		f := unasked(s)
		f.Class, f.Celsius = test.class, test.celsius
		if got := f.roomWarning(); !slices.Equal(got, test.want) {
			t.Errorf("class %g: %q, want %q", test.class, got, test.want)
		}
	}
}

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
	for i, want := range []contribution{{"10 V", unnamed, 1.98 * 1.98 / (1.98*1.98 + 0.01*0.01), 1.98}, {"10 V", "coil", 0.01 * 0.01 / (1.98*1.98 + 0.01*0.01), 0.01}} {
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
