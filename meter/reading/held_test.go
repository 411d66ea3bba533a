package reading_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"shuntwright/meter/reading"
)

// A line through two readings held to full scale, by hand: with e0 at zero and e1
// at a quarter it is e1 + 3·(e1 - e0) there, and rectangles of 0.4 % each count
// 4 and 3 times: 1.96·0.4·5/√3. Without a reading at zero the pointer rests there
// as well as it is read.
func TestHeldToFullScale(t *testing.T) {
	at := func(share, percent float64) reading.Reading {
		return reading.Reading{Reference: share, Indicated: share + percent/100, IndicatedLimit: 0.004}
	}
	limit := 1.96 * 0.4 * 5 / math.Sqrt(3)
	for _, test := range []struct {
		name        string
		read        []reading.Reading
		full, limit float64
		partly      bool
	}{
		{"a quarter of +5.6 %", []reading.Reading{at(0, 0), at(0.25, 1.4)}, 5.6, limit, true},
		{"the same, nothing read at zero", []reading.Reading{at(0.25, 1.4)}, 5.6, limit, true},
		{"a pointer that rests off zero", []reading.Reading{at(0, 0.5), at(0.25, 0.5)}, 0.5, limit, true},
		{"half, and true", []reading.Reading{at(0, 0), at(0.5, 0)}, 0, 1.96 * 0.4 * math.Sqrt(5) / math.Sqrt(3), false},
		{"half of +1.7 %", []reading.Reading{at(0, 0), at(0.5, 0.85)}, 1.7, 1.96 * 0.4 * math.Sqrt(5) / math.Sqrt(3), true},
		{"full scale", []reading.Reading{at(0, 0), at(1, 2)}, 2, 1.65 * 0.4 / math.Sqrt(3), false},
		{"zero alone", []reading.Reading{at(0, 0)}, math.NaN(), math.NaN(), true},
	} {
		j := reading.Judge(one(1), test.read, 2.5, false).Ranges[0]
		if j.Verdict != reading.Pass || j.Partly != test.partly {
			t.Errorf("%s: %v, for a part of the scale: %v", test.name, j.Verdict, j.Partly)
		}
		if math.IsNaN(test.full) && math.IsNaN(j.FullPercent) && math.IsNaN(j.FullLimit) {
			continue
		}
		near(t, test.name, j.FullPercent, test.full, 1e-9)
		near(t, test.name+", limit", j.FullLimit, test.limit, 1e-9)
	}
}

// A meter whose gain is outside the class at full scale passes without a word in
// less than one of a hundred, however much of the scale was read.
func TestNoPassFromAPartOfTheScale(t *testing.T) {
	r := rand.New(rand.NewPCG(2, 5))
	const class, trials = 2.5, 4000
	passed, silent := 0, 0
	for range trials {
		gain := class * (1.02 + r.Float64())
		if r.IntN(2) == 0 {
			gain = -gain
		}
		var read []reading.Reading
		reach := 0.1 + 0.9*r.Float64()
		for n, points := 0, 1+r.IntN(5); n < points; n++ {
			x := reach
			if n > 0 {
				x *= r.Float64()
			}
			read = append(read, reading.Reading{Reference: x, Indicated: x*(1+gain/100) + 0.004*(2*r.Float64()-1), IndicatedLimit: 0.004})
		}
		switch j := reading.Judge(one(1), read, class, false).Ranges[0]; {
		case j.Verdict != reading.Pass:
		case j.Partly:
			passed++
		default:
			silent++
		}
	}
	t.Logf("of %d: %d pass for what was read, %d without a word", trials, passed, silent)
	if passed < trials/10 || silent > trials/100 {
		t.Errorf("of %d meters outside the class %d pass for what was read, and %d without a word", trials, passed, silent)
	}
}
