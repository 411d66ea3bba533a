package predict

import (
	"math"
	"slices"
	"testing"

	"shuntwright/cmd/shuntwright/internal/asbuilt/asbuilttest"
)

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
