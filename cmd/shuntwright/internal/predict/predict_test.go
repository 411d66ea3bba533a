package predict

import (
	"context"
	"errors"
	"math"
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
	return &Forecast{s, asbuilt.Asked{Class: math.NaN()}, More{Celsius: math.NaN(), FromCelsius: math.NaN(), ToCelsius: math.NaN(), SourceOhms: math.NaN()}}
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
