package quantity

import (
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// The lists of IEC 60063 as they are tabulated in public, several copies held
// against one another: some have 2.61 for 3.61, 7.79 for 7.96, 378 for 374, or lack
// 205 in E96, and the formula alone has 919 for 920.
var publishedSeries = map[string]string{
	"E3":  "10 22 47",
	"E6":  "10 15 22 33 47 68",
	"E12": "10 12 15 18 22 27 33 39 47 56 68 82",
	"E24": "10 11 12 13 15 16 18 20 22 24 27 30 33 36 39 43 47 51 56 62 68 75 82 91",
	"E48": `100 105 110 115 121 127 133 140 147 154 162 169 178 187 196 205 215 226 237 249 261 274 287 301 316 332 348 365 383 402 422 442 464 487
		511 536 562 590 619 649 681 715 750 787 825 866 909 953`,
	"E96": `100 102 105 107 110 113 115 118 121 124 127 130 133 137 140 143 147 150 154 158 162 165 169 174 178 182 187 191 196 200 205 210 215 221
		226 232 237 243 249 255 261 267 274 280 287 294 301 309 316 324 332 340 348 357 365 374 383 392 402 412 422 432 442 453 464 475 487 499 511 523
		536 549 562 576 590 604 619 634 649 665 681 698 715 732 750 768 787 806 825 845 866 887 909 931 953 976`,
	"E192": `100 101 102 104 105 106 107 109 110 111 113 114 115 117 118 120 121 123 124 126 127 129 130 132 133 135 137 138 140 142 143 145 147 149
		150 152 154 156 158 160 162 164 165 167 169 172 174 176 178 180 182 184 187 189 191 193 196 198 200 203 205 208 210 213 215 218 221 223 226 229
		232 234 237 240 243 246 249 252 255 258 261 264 267 271 274 277 280 284 287 291 294 298 301 305 309 312 316 320 324 328 332 336 340 344 348 352
		357 361 365 370 374 379 383 388 392 397 402 407 412 417 422 427 432 437 442 448 453 459 464 470 475 481 487 493 499 505 511 517 523 530 536 542
		549 556 562 569 576 583 590 597 604 612 619 626 634 642 649 657 665 673 681 690 698 706 715 723 732 741 750 759 768 777 787 796 806 816 825 835
		845 856 866 876 887 898 909 920 931 942 953 965 976 988`,
}

func TestPublishedLists(t *testing.T) {
	sums := map[string]float64{"E24": 901, "E48": 18313, "E96": 37070, "E192": 74599}
	for _, name := range SeriesNames() {
		low, high := 100.0, 999.0
		if name == "E3" || name == "E6" || name == "E12" || name == "E24" {
			low, high = 10, 99
		}
		got, err := PreferredValues(name, low, high)
		if err != nil {
			t.Fatal(err)
		}
		var want []float64
		sum := 0.0
		for _, f := range strings.Fields(publishedSeries[name]) {
			v, _ := strconv.ParseFloat(f, 64)
			want = append(want, v)
			sum += v
		}
		if !slices.Equal(got, want) || strconv.Itoa(len(got)) != name[1:] {
			t.Errorf("%s: %v; want %v", name, got, want)
		}
		if s := sums[name]; s != 0 && sum != s {
			t.Errorf("%s: the members add up to %v; want %v", name, sum, s)
		}
	}
}

func TestBounds(t *testing.T) {
	got, err := PreferredValues("e6", 0.47, 10)
	want := []float64{0.47, 0.68, 1, 1.5, 2.2, 3.3, 4.7, 6.8, 10}
	if err != nil || !slices.Equal(got, want) {
		t.Errorf("%v, error %v; want %v", got, err, want)
	}
	if got, err := PreferredValues("E12", 101, 119); err != nil || len(got) != 0 {
		t.Errorf("%v, error %v; want none", got, err)
	}
	if got, err := PreferredValues("E3", 1e-9, 1e15); err != nil || len(got) != 24*3+1 || got[0] != 1e-9 || got[len(got)-1] != 1e15 {
		t.Errorf("%v, error %v", got, err)
	}
	for _, bad := range [][2]float64{{0, 1}, {-1, 1}, {2, 1}, {1, math.Inf(1)}, {math.NaN(), 1}, {1, math.NaN()}, {1e-10, 1}, {1, 1e16}} {
		if _, err := PreferredValues("E24", bad[0], bad[1]); err == nil || !strings.Contains(err.Error(), "E24") {
			t.Errorf("%v: error %v", bad, err)
		}
	}
	for _, bad := range []string{"", "E23", "24", "E 24"} {
		if _, err := PreferredValues(bad, 1, 2); err == nil || !strings.Contains(err.Error(), "E192") {
			t.Errorf("%q: error %v", bad, err)
		}
		if _, err := SeriesTolerance(bad); err == nil {
			t.Errorf("%q: no error", bad)
		}
	}
}

func TestSeriesOf(t *testing.T) {
	for _, c := range []struct {
		nominals []float64
		want     string
	}{
		{nil, "E24"},
		{[]float64{math.NaN(), 0}, "E24"},
		{[]float64{10, 22, 47e3}, "E6"},
		{[]float64{0.15, 3.3e6}, "E6"},
		{[]float64{100, 120, math.NaN()}, "E12"},
		{[]float64{0.1 * 3, 910}, "E24"}, // 0.30000000000000004
		{[]float64{100, 105}, "E48"},
		{[]float64{102, 205}, "E96"},
		{[]float64{101, 1e3}, "E192"},
		{[]float64{9.2e3}, "E192"},
		{[]float64{9.19e3}, "E24"},
		{[]float64{105, 33}, "E24"}, // 33 is in no series with 105
		{[]float64{100, 99.999999}, "E24"},
		{[]float64{1e6 * (1 - 1e-12)}, "E6"}, // just below a decade
	} {
		if got := SeriesOf(c.nominals); got != c.want {
			t.Errorf("%v: %s; want %s", c.nominals, got, c.want)
		}
	}
}

// Common practice.
func TestTolerance(t *testing.T) {
	for name, want := range map[string]float64{"E3": 40, "E6": 20, "E12": 10, "e24": 5, "E48": 2, "E96": 1, "E192": 0.5} {
		if got, err := SeriesTolerance(name); err != nil || got != want {
			t.Errorf("%s: %v, error %v; want %v", name, got, err, want)
		}
	}
}

// Between two neighbours of a published list the harmonic mean is off by the
// same share of both: just below it the lower one is nearest, just above it the
// higher.
func TestNearest(t *testing.T) {
	for name, list := range publishedSeries {
		members := strings.Fields(list)
		for e := -4; e < 9; e += 3 {
			for i, m := range members {
				next := members[0] + "0" // of the next decade
				if i+1 < len(members) {
					next = members[i+1]
				}
				low, high := scaled(t, m, e), scaled(t, next, e)
				middle := 2 / (1/low + 1/high)
				for ohms, want := range map[float64]float64{low: low, middle * (1 - 1e-9): low, middle * (1 + 1e-9): high} {
					if got, err := NearestPreferred(name, ohms); got != want || err != nil {
						t.Fatalf("%s: nearest to %v is %v, %v; want %v", name, ohms, got, err, want)
					}
				}
			}
		}
	}
	for _, ohms := range []float64{0, -1, math.NaN(), math.Inf(1), 1e-10, 1e16} {
		if v, err := NearestPreferred("E24", ohms); err == nil {
			t.Errorf("nearest to %v is %v", ohms, v)
		}
	}
	if _, err := NearestPreferred("E7", 5); err == nil {
		t.Error("E7 is a series")
	}
}

// scaled is a member of a list times ten to the e.
func scaled(t *testing.T, member string, e int) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(member+"e"+strconv.Itoa(e), 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

func TestFitting(t *testing.T) {
	for percent, want := range map[float64]string{20: "E6", 10: "E12", 5: "E24", 2: "E48", 1: "E96", 0.5: "E192", 0.05: "E192", 3: "E48", 30: "E6", 50: "E3", 0: "E24", -1: "E24"} {
		if got := FittingSeries(percent); got != want {
			t.Errorf("%v %%: %s, want %s", percent, got, want)
		}
	}
	if got := FittingSeries(math.NaN()); got != "E24" {
		t.Error(got)
	}
}

func TestAsSold(t *testing.T) {
	for ohms, want := range map[float64]string{470: "470 Ω", 4.99: "4.99 Ω", 12e3: "12 kΩ"} {
		if got := AsSold(ohms); got != want {
			t.Errorf("%v: %q, want %q", ohms, got, want)
		}
	}
}
