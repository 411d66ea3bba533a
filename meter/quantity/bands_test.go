package quantity

import (
	"math"
	"strings"
	"testing"
)

// Published readings: Lessons in Electric Circuits, volumes I and V (chapter 2).
func TestPublishedReadings(t *testing.T) {
	for text, want := range map[string]struct{ ohms, percent float64 }{
		"yellow violet orange gold":           {47e3, 5},
		"green red gold silver":               {5.2, 10},
		"white violet black":                  {97, 20},
		"orange orange black brown violet":    {3300, 0.1},
		"brown green grey silver red":         {1.58, 2},
		"blue brown green silver blue":        {6.15, 0.25},
		"White, Violet, Black, none":          {97, 20},
		"yellow,purple,red,gold":              {4700, 5},
		"brown-black-gray-gold":               {1e9, 5},
		"orange,orange,pink,gold":             {0.033, 5},
		"brown black black black brown white": {0, 0}, // white is no coefficient
	} {
		m, err := ParseBands(text)
		if want.ohms == 0 {
			if err == nil {
				t.Errorf("%q: %+v", text, m)
			}
			continue
		}
		if err != nil || m.Nominal.Base != want.ohms || m.TolerancePercent != want.percent || !math.IsNaN(m.TempcoPPM) {
			t.Errorf("%q: %+v, %v; want %+v", text, m, err, want)
		}
	}
}

// The table of IEC 60062 as it is tabulated in public: digit, power of ten,
// tolerance in percent, coefficient in ppm/K; - where a colour stands for none.
const publishedBands = `pink - -3 - -
silver - -2 10 -
gold - -1 5 -
black 0 0 - 250
brown 1 1 1 100
red 2 2 2 50
orange 3 3 0.05 15
yellow 4 4 0.02 25
green 5 5 0.5 20
blue 6 6 0.25 10
violet 7 7 0.1 5
grey 8 8 0.05 1
white 9 9 - -`

// Every marking that the table allows, of three to six bands, is read as the
// table says; every other is refused.
func TestAllBands(t *testing.T) {
	rows := [][]string{}
	for line := range strings.Lines(publishedBands) {
		rows = append(rows, strings.Fields(line))
	}
	number := func(row []string, column int) (float64, bool) {
		if row[column] == "-" {
			return 0, false
		}
		v, err := Parse(row[column], Number, AnySign)
		if err != nil {
			t.Fatal(err)
		}
		return v.Base, true
	}
	tens := func(a, b []string) (float64, bool) {
		x, first := number(a, 1)
		y, second := number(b, 1)
		return 10*x + y, first && second && x > 0
	}
	for _, a := range rows {
		for _, b := range rows {
			for _, c := range rows {
				two, is := tens(a, b)
				power, _ := number(c, 2)
				checkBands(t, is, two*math.Pow(10, power), noBand, math.NaN(), a, b, c)
				third, also := number(c, 1)
				for _, d := range rows {
					percent, tolerated := number(d, 3)
					checkBands(t, is && tolerated, two*math.Pow(10, power), percent, math.NaN(), a, b, c, d)
					if a[0] != "red" || b[0] != "violet" { // for these all of what follows
						continue
					}
					power, _ := number(d, 2)
					three := (10*two + third) * math.Pow(10, power)
					for _, e := range rows {
						percent, tolerated := number(e, 3)
						checkBands(t, is && also && tolerated, three, percent, math.NaN(), a, b, c, d, e)
						for _, f := range rows {
							ppm, known := number(f, 4)
							checkBands(t, is && also && tolerated && known, three, percent, ppm, a, b, c, d, e, f)
						}
					}
				}
			}
		}
	}
}

func checkBands(t *testing.T, is bool, ohms, percent, ppm float64, rows ...[]string) {
	t.Helper()
	var names []string
	for _, row := range rows {
		names = append(names, row[0])
	}
	text := strings.Join(names, ",")
	m, err := ParseBands(text)
	if err != nil || !is {
		if is == (err != nil) {
			t.Fatalf("%s: %+v, %v; want it taken: %v", text, m, err, is)
		}
		return
	}
	same := m.TempcoPPM == ppm || math.IsNaN(m.TempcoPPM) && math.IsNaN(ppm)
	if math.Abs(m.Nominal.Base/ohms-1) > 1e-12 || m.TolerancePercent != percent || !same {
		t.Fatalf("%s: %+v; want %v Ω ±%v %%, %v ppm/K", text, m, ohms, percent, ppm)
	}
}

func TestDoubts(t *testing.T) {
	for text, want := range map[string]string{
		"yellow,violet,red,gold":             "",
		"yellow,violet,red,grey":             "grey as a tolerance is 0.05 % in older editions",
		"yellow,violet,red,gold,brown":       "on old parts these can be four bands, 4.7 kΩ ±5 %, and one for reliability",
		"yellow,violet,black,brown,brown":    "",
		"yellow,violet,black,brown,orange":   "orange as a tolerance is 0.05 %",
		"yellow,violet,black,gold,brown,red": "",
		"yellow,violet,black,pink,brown":     "pink as a fourth band can be a tolerance",
	} {
		m, err := ParseBands(text)
		if got := strings.Join(m.Doubts, "; "); err != nil || !strings.HasPrefix(got, want) || want == "" && got != "" {
			t.Errorf("%q: %q, %v; want %q", text, got, err, want)
		}
	}
}

func TestBandsRefuse(t *testing.T) {
	for text, want := range map[string]string{
		"":                            "0 of them, where 3 to 6 belong",
		"red,red":                     "2 of them",
		"red,red,red,red,red,red,red": "7 of them",
		"red,rod,red":                 `"rod" is no colour of a band; they are pink, silver,`,
		"gold,red,violet,yellow":      "band 1 is gold, which is no digit that a value begins with; read them from the other end",
		"black,red,red":               "band 1 is black",
		"red,gold,red":                "band 2 is gold",
		"red,red,red,black":           "band 4 is black, which is no tolerance",
	} {
		if m, err := ParseBands(text); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: %+v, %v; want %s", text, m, err, want)
		}
	}
}
